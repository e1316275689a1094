"""Specimens: what each layout looks like, as a picture of its first page of puzzles.

The grids were set by this program, with `packbuilder set` and
`--grade 1 --symmetry rotational --clues 30-34 --seed 5`,
`--grade 1 --symmetry rotational --clues 12-14 --seed 2 --size 6`,
`--grade 2 --symmetry vertical --clues 28-32 --seed 8`, and
`--grade 3 --symmetry rotational --clues 26-28 --seed 3`.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

from packbuilder import grid
from packbuilder.book.assembling import assemble
from packbuilder.book.book import Book
from packbuilder.errors import InputError
from packbuilder.gate import check
from packbuilder.layouts import Layout
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.release.staging import move_in, staging

NOT_MADE = "no pictures were made"
DPI = 80
"""Of the pictures: an A4 page is 661 pixels wide."""

# fmt: off
_GRIDS = (
    ("Two Boats Out", 9, "An easy one: every step can be seen without a note.",
     "4.8.1.65.26..8....3.59....8.....9..2.8.....1.5..8.....1....35.4....5..69.53.4.7.1"),
    ("Six Hooks", 6, "",
     ".4...5..5.....4.1353.2.....6..1...4."),
    ("The Net Loft", 9, "Begin in the middle column, where the sun comes in.",
     "9.12.85.47.......9..49.58...9.5.1.2.2...4...3.8.....4.3.6.5.9.7...6.4............"),
    ("Slack Water", 9, "Two digits keep to two cells; let them, and look elsewhere.",
     ".7..42........587.5..1.83...2......94.1...6.76......1...45.1..6.527........89..4."),
)
# fmt: on


def thumbnails(layouts: Sequence[Layout], out: Path) -> tuple[Path, ...]:
    """One PNG a layout in ``out``, named after it: all or none. Gives their paths.

    Each is drawn in the first paper that the layout is made for. The same layouts give the same
    bytes. Raises InputError where a layout cannot hold the specimens, or ``out`` cannot be used.
    """
    if out.exists() and not out.is_dir():
        raise InputError(f"{out}: is a file; name a folder for the pictures")
    pictures = [(layout.name, _picture(layout)) for layout in layouts]
    with staging(out, NOT_MADE) as aside:
        made = []
        for name, data in pictures:
            made.append(aside / f"{name}.png")
            made[-1].write_bytes(data)
        return move_in(made, out)


def _picture(layout: Layout) -> bytes:
    """The first page of puzzles, as a PNG in grey."""
    import pypdfium2

    from packbuilder.pages.plan import plan
    from packbuilder.plan.items import Table
    from packbuilder.press import write_pdf

    planned = plan(_book(layout.name, next(iter(layout.margins))), layout)
    index = next(
        k
        for k, page in enumerate(planned.pages)
        if page.section == "Puzzles" and any(isinstance(item, Table) for item in page.items)
    )
    file, picture = io.BytesIO(), io.BytesIO()
    write_pdf(planned, file)
    document = pypdfium2.PdfDocument(file.getvalue())
    try:
        page = document[index]
        page.render(scale=DPI / 72, grayscale=True).to_pil().save(picture, "PNG")
    finally:
        document.close()
    return picture.getvalue()


def _book(layout: str, paper: str) -> Book:
    """The specimens as a book in a layout."""
    book = _specimens()
    return replace(book, pack=replace(book.pack, paper=paper, layout=layout))


@cache
def _specimens() -> Book:
    puzzles = (_puzzle(k, *one) for k, one in enumerate(_GRIDS, start=1))
    pack = Pack("specimens", Path(), "Specimens", "2026-12", "The Press", tuple(puzzles))
    return assemble(check(pack))


def _puzzle(number: int, title: str, size: int, intro: str, text: str) -> Puzzle:
    return Puzzle(
        id=f"specimen-{number}",
        title=title,
        setter="The Press",
        geometry=grid.read_blocks(None, size),
        clues=grid.parse_grid(text, size),
        intro=intro or None,
    )
