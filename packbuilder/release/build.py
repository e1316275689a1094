"""Build: the pipeline from a checked pack to released files, all or nothing.

Files are made in a folder beside their final place, read back there, and only then moved into
it. Whatever goes wrong on the way, what an earlier build left stays whole.
"""

from __future__ import annotations

import contextlib
import errno
import shutil
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from packbuilder.binding import bind
from packbuilder.book import Book
from packbuilder.errors import InputError, Mismatch, Unfinished
from packbuilder.gate import Report
from packbuilder.pages import print_book
from packbuilder.readback import ReadBack, read
from packbuilder.release import record

EDITIONS = ("print",)


@dataclass(frozen=True)
class Built:
    """What a build released: the files' paths, and how many pages and grids were read back."""

    files: tuple[Path, ...]
    pages: int
    grids: int


def build(
    report: Report,
    out: Path,
    editions: Sequence[str] = EDITIONS,
    stage: Callable[[str], None] = lambda _words: None,
) -> Built:
    """Print, read back and release a pack that the gate let pass.

    ``out`` is the folder to release into, made where it is missing. ``stage`` is told in words
    what is being done. Raises Refused where the gate refused the pack, InputError for an unknown
    edition or a text that does not fit its place, Mismatch where the read-back differs, Unfinished
    where the disk is full; in each case ``out`` is left as it was.
    """
    for edition in editions:
        if edition not in EDITIONS:
            raise InputError(f"no edition {edition!r}; the editions are: {', '.join(EDITIONS)}")
    book = bind(report)
    with _staging(out) as staging:
        files, pages, grids = {}, 0, 0
        for edition in dict.fromkeys(editions):
            stage(f"setting the {edition} edition")
            files[edition] = staging / f"{report.pack.slug}-{edition}.pdf"
            _print(book, files[edition])
            stage(f"reading the {edition} edition back")
            seen = read(files[edition], book)
            _insist(seen, files[edition].name)
            pages, grids = pages + seen.pages, grids + seen.grids
        record.write(record.as_json(report, files), staging / record.NAME)
        made = [*files.values(), staging / record.NAME]
        return Built(tuple(_move_in(made, out)), pages, grids)


def _print(book: Book, path: Path) -> None:
    with path.open("wb") as file:
        print_book(book, file)


def _insist(seen: ReadBack, name: str) -> None:
    """Raise Mismatch with everything that the read-back found wrong."""
    if not seen.ok:
        lines = "\n".join(f"  {f.words()}" for f in seen.findings)
        raise Mismatch(
            f"{name}: the printed file is not the verified pack; nothing was released\n{lines}"
        )


@contextlib.contextmanager
def _staging(out: Path) -> Iterator[Path]:
    """A new folder inside ``out``, gone at the end; so is ``out`` if it was made for nothing."""
    made: list[Path] = []
    staging: Path | None = None
    try:
        if out.exists() and not out.is_dir():
            raise InputError(f"{out}: is a file; name a folder with --out")
        made += [folder for folder in (out, *out.parents) if not folder.exists()]
        out.mkdir(parents=True, exist_ok=True)
        staging = Path(tempfile.mkdtemp(prefix=".making-", dir=out))
        yield staging
    except OSError as fault:
        raise _disk_fault(fault, out) from fault
    finally:
        if staging is not None:
            shutil.rmtree(staging, ignore_errors=True)
        for folder in made:
            with contextlib.suppress(OSError):
                folder.rmdir()  # only where nothing was released into it


def _disk_fault(fault: OSError, out: Path) -> Exception:
    if fault.errno in (errno.ENOSPC, errno.EDQUOT):
        return Unfinished(
            f"{out}: the disk is full; nothing was released. Make room and build again"
        )
    return InputError(
        f"{fault.filename or out}: {fault.strerror or fault}; nothing was released. "
        "Check that the folder may be written to, or name another with --out"
    )


def _move_in(made: Sequence[Path], out: Path) -> list[Path]:
    """Move finished files into ``out``; put the earlier ones back if any move fails."""
    aside = made[0].parent / "earlier"
    aside.mkdir()
    places = [out / path.name for path in made]
    for place in places:
        if place.is_symlink() or (place.exists() and not place.is_file()):
            raise InputError(
                f"{place}: stands where a file of the release goes; move it away, "
                "or name another folder with --out"
            )
    taken = {place for place in places if place.exists()}
    try:
        for path, place in zip(made, places, strict=True):
            if place in taken:
                place.replace(aside / path.name)
            path.replace(place)
    except BaseException:  # an interrupt too must leave the earlier release whole
        for place in places:
            if (aside / place.name).exists():
                (aside / place.name).replace(place)
            elif place not in taken:
                place.unlink(missing_ok=True)
        raise
    return places
