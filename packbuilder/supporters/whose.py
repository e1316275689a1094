"""Whose: to whom a copy was given, and whether it still is what they were given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from packbuilder.confined import confined, seconds_for
from packbuilder.editions import EDITIONS, Edition
from packbuilder.errors import InputError
from packbuilder.files import read_file
from packbuilder.reader.file import MAX_BYTES
from packbuilder.release import record
from packbuilder.release.leftovers import file_name
from packbuilder.release.staging import settled
from packbuilder.supporters.masters import master, number_and_name
from packbuilder.supporters.register import read_register


@dataclass(frozen=True)
class Whose:
    """What is known of a file.

    ``number`` and ``name`` are those that it says; ``registered`` is the name that the register
    has for the number. ``untouched``: its pages are the released ones, and ``exact``: so is every
    byte but the stamp's. ``words`` say so in a sentence.
    """

    edition: str
    number: int | None
    name: str | None
    registered: str | None
    untouched: bool
    exact: bool
    words: str


@dataclass(frozen=True)
class _Released:
    """A released file, also one that was released before."""

    edition: Edition
    path: Path
    data: bytes


def whose(file: Path, slug: str, out: Path, register: Path, password: str | None = None) -> Whose:
    """Whose copy a file is. ``out`` is where the pack was released to, ``register`` the folder of
    its register. Raises InputError where the file cannot be read, or nothing is released."""
    data = read_file(file, MAX_BYTES, "a copy")
    settled(out)
    masters = _all_released(slug, out)
    if not masters:
        raise InputError(f"{out}: nothing is released there; build the pack first, or say --out")
    names = read_register(register)
    same = [one for one in masters if data.startswith(one.data)]
    if same:
        return _exact(data, max(same, key=lambda one: len(one.data)), names)
    if file.suffix != ".pdf":
        return _nobodys()
    pdfs = [one for one in masters if one.path.suffix == ".pdf"]
    pages = max((_pages(one) for one in pdfs), default=0)
    return confined(file.name, _ready, seconds_for(pages), _seen, data, file, pdfs, names, password)


def _nobodys() -> Whose:
    return Whose("", None, None, None, False, False, "no released file has these pages")


def _pages(released: _Released) -> int:
    from packbuilder.reader.pdfium import File

    with File(released.data) as opened:
        return opened.count


def _ready() -> None:
    """What is needed to look at a copy is loaded."""
    from packbuilder.supporters import looking  # noqa: F401


def _all_released(slug: str, out: Path) -> list[_Released]:
    """The released files, and those of earlier releases that are kept."""
    found = []
    for one in EDITIONS.values():
        name = file_name(slug, one)
        lines = [line for line in record.file_lines(out) if line["name"] == name]
        kept = sorted((out / record.KEPT).glob(f"*/{name}"))
        for path in [*(out / name for _ in lines), *kept]:
            if path.is_file():
                found.append(_Released(one, path, path.read_bytes()))
    return found


def _exact(data: bytes, released: _Released, names: dict[int, str]) -> Whose:
    """A file that begins with a released one: all the rest must be a tail."""
    tail, made = data[len(released.data) :], master(released.data, released.path)
    words = made.said(tail)
    found = number_and_name(words)
    if not tail:
        told = "this is the released file itself, nobody's copy"
        return Whose(released.edition.name, None, None, None, True, True, told)
    if found is None or made.tail(words) != tail:
        told = "it begins with the released file, and what follows is no stamp of ours"
        return Whose(released.edition.name, None, None, None, False, False, told)
    told = "its pages are untouched: every byte is the released file's and the stamp's"
    return Whose(released.edition.name, *found, names.get(found[0]), True, True, told)


def _seen(
    data: bytes, file: Path, masters: Sequence[_Released], names: dict[int, str],
    password: str | None,
) -> Whose:  # fmt: skip
    """A file that was encrypted or saved anew: by what a viewer shows."""
    from packbuilder.reader.file import load
    from packbuilder.reader.pdfium import File
    from packbuilder.supporters.looking import faults, words_of

    best = _nobodys()
    try:
        opened = File(load(data), password)
    except InputError as fault:
        more = "; say its password with --password" if "encrypted" in str(fault) else ""
        raise InputError(f"{file}: {fault}{more}") from None
    with opened as copy:
        for one in masters:
            with File(one.data) as released:
                if released.count != copy.count:
                    continue
                words = words_of(copy, released)
                found = number_and_name(words)
                if found is None:
                    continue
                wrong = next(faults(copy, released, words, folded=one.edition.folded), "")
            told = wrong or "its pages look as they were released; it was encrypted or saved anew"
            here = Whose(one.edition.name, *found, names.get(found[0]), not wrong, False, told)
            if here.untouched:
                return here
            best = best if best.number else here
    return best
