"""Copies: a file of their own for every supporter, each whole under its name or not there.

What is there already is left alone, so a run that was stopped is taken up where it was. A copy is
written aside and moved into place; the register comes first, so that no copy is out whose number
it does not tell.
"""

from __future__ import annotations

import contextlib
import os
import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice
from pathlib import Path

from packbuilder.editions import Edition
from packbuilder.errors import InputError, Mismatch, Unfinished
from packbuilder.release.staging import staging
from packbuilder.supporters.masters import Master, PdfMaster, TextMaster, Words, master
from packbuilder.supporters.outdated import outdated
from packbuilder.supporters.people import Supporter
from packbuilder.supporters.register import (
    check_folder,
    numbered,
    read_register,
    shown,
    write_register,
)
from packbuilder.workers import Pool

STOPPED = "the copies that are there are whole; run it again to make the others"

_LOT, _LOTS = 32, 16
"""Copies that a thread makes before it is given others, and how many such lots wait at a time."""

_SAMPLE, _PAGES = 3, 4
"""How many copies of a run are looked at, and how many pages of each."""


@dataclass(frozen=True)
class Order:
    """What is to be made: copies of an edition's released ``file`` for some ``people``.

    ``by_name`` puts names into file names; a ``password`` encrypts.
    """

    file: Path
    edition: Edition
    people: Sequence[Supporter]
    password: str | None = None
    by_name: bool = False


@dataclass(frozen=True)
class Copies:
    """What was made: how many copies are new, how many were there, the register, what to know.

    ``cut`` are the lines of names that had to be cut to fit; ``outdated`` the numbers of copies of
    older files, whose owners are not on the list any more.
    """

    made: int
    kept: int
    register: Path
    numbers: tuple[int, ...]
    cut: tuple[int, ...]
    outdated: tuple[int, ...]


class Maker:
    """Makes the copies of one released file. Raises InputError where it has no room for a stamp,
    or where a text is to have a password."""

    def __init__(self, data: bytes, order: Order) -> None:
        self._order, self._master = order, master(data, order.file)
        if order.password is not None and isinstance(self._master, TextMaster):
            raise InputError("a text edition can have no password; leave --password out")

    @property
    def master(self) -> Master:
        """The released file."""
        return self._master

    def words(self, number: int, name: str) -> Words:
        """What a copy says."""
        return self._master.words(number, name)

    def path(self, folder: Path, number: int, name: str) -> Path:
        """Where a copy goes."""
        end = f"-{_in_file_names(name)}" if self._order.by_name else ""
        file = self._order.file
        return folder / f"{file.stem}-{shown(number)}{end}{file.suffix}"

    @property
    def recipe(self) -> Recipe:
        """By which whoever has it makes copies."""
        return Recipe(self._master.data, self._order.file.suffix, self._order.password)

    def put(self, aside: Path, place: Path, made: bytes) -> bool:
        """Write a copy if it is not there; whether it was written. ``made`` is by the recipe."""
        parts = [made]
        if self._order.password is None:
            parts = [self._master.data, made]
            if _is_there(place, parts):
                return False
        draft = aside / place.name
        with draft.open("wb", buffering=0) as out:
            for part in parts:
                rest = memoryview(part)
                while rest:
                    rest = rest[out.write(rest) :]
        draft.replace(place)
        return True


@dataclass(frozen=True)
class Recipe:
    """All that is needed to make copies, anywhere: the released file, and a password if any."""

    data: bytes
    suffix: str
    password: str | None

    def made(self, words: Sequence[str]) -> list[bytes]:
        """For each copy, by what it says, what follows the released file; if encrypted, all."""
        return list(map(_making(self), words))


@lru_cache(maxsize=1)
def _making(recipe: Recipe) -> Callable[[str], bytes]:
    found, password = master(recipe.data, Path(f"released{recipe.suffix}")), recipe.password
    if password is None or isinstance(found, TextMaster):
        return found.tail
    from packbuilder.supporters.passwords import SealedMaster

    sealed = SealedMaster(found)
    return lambda words: sealed.copy(words, password)


def make_copies(
    data: bytes,
    order: Order,
    folder: Path,
    advance: Callable[[int], None] = lambda _more: None,
    *,
    workers: int = os.cpu_count() or 1,
    pool: Pool | None = None,
) -> Copies:
    """Make every copy that is not in the folder yet; ``data`` are the released file's bytes.

    They are made here, by ``workers`` threads, or by the workers of a ``pool``, and written here.
    Encrypted copies are always made anew: no two are the same. Raises InputError for a folder that
    cannot be used or has another run at work, Unfinished where the disk is full (then what is
    there is whole), Mismatch where a copy of the sample does not show what it must.
    """
    check_folder(folder)
    maker = Maker(data, order)
    with staging(folder, STOPPED, "--to") as aside:
        register = read_register(folder)
        numbers = numbered((one.name for one in order.people), register)
        kept_in = write_register(register, aside, folder)
        jobs = [
            (maker.path(folder, number, register[number]), number, register[number])
            for number in numbers
        ]
        with contextlib.ExitStack() as begun:
            far = begun.enter_context(pool(workers)) if pool else None
            made = sum(_all(maker, aside, jobs, advance, workers, far))
        _look(maker, order, [jobs[k] for k in _sample(len(jobs))])
    cut = tuple(
        one.line
        for one, number in zip(order.people, numbers, strict=True)
        if maker.words(number, register[number]).cut
    )
    left = outdated(data, folder, order.file.stem, order.file.suffix, set(numbers))
    return Copies(made, len(jobs) - made, kept_in, tuple(numbers), cut, left)


Job = tuple[Path, int, str]
"""A copy's place, its number, and whose it is."""


def _all(
    maker: Maker,
    aside: Path,
    jobs: Sequence[Job],
    advance: Callable[[int], None],
    workers: int,
    far: Executor | None,
) -> Iterator[bool]:
    """Whether each copy was made. Threads share the master; the system writes beside them."""
    waiting, recipe = iter(jobs), maker.recipe

    def put(lot: Sequence[Job]) -> list[bool]:
        words = [maker.words(number, name).text for _, number, name in lot]
        made = far.submit(recipe.made, words).result() if far else map(_making(recipe), words)
        return [maker.put(aside, place, one) for (place, _, _), one in zip(lot, made, strict=True)]

    with ThreadPoolExecutor(workers) as pool:
        try:
            while lots := [lot for _ in range(_LOTS) if (lot := list(islice(waiting, _LOT)))]:
                for made in pool.map(put, lots):
                    yield from made
                    advance(len(made))
        except KeyboardInterrupt:
            pool.shutdown(cancel_futures=True)
            raise Unfinished(f"stopped: {STOPPED}") from None


def _is_there(place: Path, parts: Sequence[bytes]) -> bool:
    """Whether a file has these very bytes."""
    try:
        if place.is_symlink() or place.stat().st_size != sum(map(len, parts)):
            return False
        with place.open("rb") as file:
            return all(file.read(len(part)) == part for part in parts)
    except OSError:
        return False


def _sample(count: int) -> list[int]:
    """The first, the last, and some between."""
    return sorted({k * (count - 1) // (_SAMPLE - 1) for k in range(_SAMPLE)})


def _look(maker: Maker, order: Order, sample: Sequence[Job]) -> None:
    """Look at some copies with the eyes. Raises Mismatch with the first fault."""
    if not isinstance(maker.master, PdfMaster):
        return
    from packbuilder.reader.pdfium import File
    from packbuilder.supporters.looking import faults

    with File(maker.master.data) as released:
        for place, number, name in sample:
            words = maker.words(number, name).text
            with File(place.read_bytes(), order.password) as copy:
                folded = order.edition.folded
                for told in faults(copy, released, words, folded=folded, most=_PAGES):
                    raise Mismatch(f"copy {shown(number)}: {told}; send none of them out")


def _in_file_names(name: str) -> str:
    """A name as file names may have it: letters and digits of any script, hyphens between."""
    return re.sub(r"[\W_]+", "-", unicodedata.normalize("NFC", name)).strip("-") or "supporter"
