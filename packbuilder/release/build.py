"""Build: the pipeline from a checked pack to released files, all or nothing.

Files are made in a folder beside their final place, read back there, and only then moved into
it. Whatever goes wrong on the way, in whichever edition, what an earlier build left stays whole.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from packbuilder.binding import bind, book_of
from packbuilder.book import Book
from packbuilder.editions import EDITIONS, PRINT, Edition, edition
from packbuilder.errors import InputError, Mismatch
from packbuilder.gate import Report
from packbuilder.pages import print_book
from packbuilder.readback import ReadBack, read
from packbuilder.release import record
from packbuilder.release.earlier import NOTHING_LEFT, Earlier, file_name, look
from packbuilder.release.proofs import Prove, remembered
from packbuilder.release.staging import move_in, staging
from packbuilder.release.stamp import Stamps

ALL = "all"
"""Stands for every edition."""

Floors = Mapping[str, Mapping[str, int]]
"""By edition and section, the least numbers of pages: see `pages.print_book`."""


@dataclass(frozen=True)
class Built:
    """What a build released: the files' paths, and how many pages and grids were read back.

    ``earlier`` says what became of the files of other editions that an earlier build left.
    """

    files: tuple[Path, ...]
    pages: int
    grids: int
    earlier: Earlier = NOTHING_LEFT


def chosen(names: Sequence[str]) -> tuple[Edition, ...]:
    """The editions of those names, each once, in the order of `editions.EDITIONS`.

    ``all`` names every one. Raises InputError for an unknown name.
    """
    wanted = {one.name for name in names if name != ALL for one in (edition(name),)}
    return tuple(one for one in EDITIONS.values() if ALL in names or one.name in wanted)


def build(
    report: Report,
    out: Path,
    editions: Sequence[str] = (PRINT.name,),
    stage: Callable[[str], None] = lambda _words: None,
    floors: Floors | None = None,
    prove: Prove | None = None,
) -> Built:
    """Print, read back and release a pack that the gate let pass, in one edition or more.

    ``out`` is the folder to release into, made where it is missing. ``stage`` is told in words
    what is being done. ``floors`` keep page numbers steady from build to build; ``prove`` proves
    the printed grids, by default once for all editions. Raises Refused where the gate refused the
    pack, InputError for an unknown edition or what cannot be set in one, Mismatch where the
    read-back differs, Unfinished where the disk is full; in each case ``out`` is left as it was.
    """
    forms = chosen(editions)
    whole = bind(report)
    stamps, prove = Stamps(whole), prove or remembered()
    with staging(out) as aside:
        lines, made, pages, grids = [], [], 0, 0
        for form in forms:
            book, least = book_of(whole, form), (floors or {}).get(form.name, {})
            path = aside / file_name(report.pack.slug, form)
            stage(f"setting the {form.name} edition")
            _print(book, path, least)
            stage(f"reading the {form.name} edition back")
            seen = read_edition(path, book, prove)
            _insist(seen, path.name)
            lines.append(record.line(form.name, path, seen.pages, stamps.of(form, least)))
            made.append(path)
            pages, grids = pages + seen.pages, grids + seen.grids
        earlier = look(out, report.pack.slug, [form.name for form in forms], stamps)
        lines = sorted(
            [*lines, *earlier.kept], key=lambda line: list(EDITIONS).index(line["edition"])
        )
        record.write(record.as_json(report, lines), aside / record.NAME)
        made.append(aside / record.NAME)
        return Built(move_in(made, out, earlier.gone), pages, grids, earlier)


def _print(book: Book, path: Path, floors: Mapping[str, int]) -> None:
    """Write one edition to a file. Raises InputError, with the edition's name and the mend."""
    try:
        with path.open("wb") as file:
            if book.edition.suffix == ".txt":
                from packbuilder.plaintext import write_text

                write_text(book, file)
            elif floors:
                print_book(book, file, floors=floors)
            else:
                print_book(book, file)
    except InputError as fault:
        name = book.edition.name
        raise InputError(
            f"the {name} edition cannot be set; nothing was released\n{fault}\n"
            f"To mend: do as the line above says, or build the pack without its {name} edition"
        ) from fault


def read_edition(file: Path, book: Book, prove: Prove | None = None) -> ReadBack:
    """Read a file back against a book in the form of its edition: a PDF, or a text.

    Raises InputError where the file cannot be read at all.
    """
    if book.edition.suffix == ".txt":
        from packbuilder.readback import read_text

        return read_text(file, book, prove=prove)
    return read(file, book, prove=prove)


def _insist(seen: ReadBack, name: str) -> None:
    """Raise Mismatch with everything that the read-back found wrong."""
    if not seen.ok:
        lines = "\n".join(f"  {f.words()}" for f in seen.findings)
        raise Mismatch(
            f"{name}: the printed file is not the verified pack; nothing was released\n{lines}"
        )
