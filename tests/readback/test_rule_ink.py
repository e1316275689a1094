"""The ink of rules: covered, pale and blotted marks, and digits that stand on shapes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from reportlab.pdfgen.canvas import Canvas

from packbuilder.book.book import Book
from packbuilder.grid import cell_name, parse_cell
from packbuilder.readback import read
from packbuilder.rules.shapes import Corner, Edge, Outside, Shape
from tests.readback import books
from tests.readback.rule_press import RulePress
from tests.readback.tiny_press import Mark, Place, Spot

PUZZLE = 4
"""The page of the puzzle in a book of one."""


def painted_over(book: Book, x: float, down: float, half: float, grey: float = 1.0) -> bytes:
    """The print with a small square over puzzle 1: its middle and half its side, in cells."""
    entry = book.entries[0]

    class Tampered(RulePress):
        def after(self, name: str, canvas: Canvas) -> None:
            if name == "Puzzles":
                left, y, side = self.place_for(name, 0)
                top = y - 12 - self.bands(name, entry, side)[0]
                u = side / entry.puzzle.size
                canvas.setFillGray(grey)
                canvas.rect(left + (x - half) * u, top - (down + half) * u,
                            2 * half * u, 2 * half * u, stroke=0, fill=1)  # fmt: skip

    return Tampered(book).print()


COVERED: dict[str, tuple[str, tuple[float, float, float], str, str]] = {
    "a sum": ("cages", (0.24, 0.22, 0.09), "r1c1", "the small 15 in r1c1"),
    "half a sum": ("cages", (0.32, 0.22, 0.06), "r1c1", "the small 15 in r1c1"),
    "a side of an outline": ("cages", (0.1, 0.7, 0.08), "r1c1", "the dashed outline round r1c1"),
    "a black dot": ("dots", (3, 4.5, 0.14), "r5c3", "the black dot between r5c3 and r5c4"),
    "a white dot": ("dots", (1.5, 2, 0.14), "r2c2", "the white dot between r2c2 and r3c2"),
    "half a white dot": ("dots", (1.42, 2, 0.07), "r2c2", "the white dot between r2c2 and r3c2"),
    "a letter": ("xv", (4, 2.5, 0.13), "r3c4", "the letter X between r3c4 and r3c5"),
    "a sign": ("inequalities", (2, 1.5, 0.13), "r2c2", "the sign < between r2c2 and r2c3"),
    "a number outside": ("sandwich", (1.5, -0.45, 0.25), "r1c2", "the 5 above column 2"),
    "an arrow outside": ("little-sums", (1.8, -0.2, 0.15), "r1c2",
                         "the 12 with an arrow down-right above column 2"),
    "an arrow's head": ("arrows", (3.7, 4.5, 0.12), "r5c4",
                        "the thin line with a head from r5c1 to r5c4"),
    "a piece of a line": ("thermometers", (4.5, 3.5, 0.25), "r4c5",
                          "the broad line from r3c6 to r3c3"),
    "a square": ("parity", (1.2, 0.5, 0.15), "r1c2", "the grey square in r1c2"),
    "a diagonal": ("diagonals", (5.5, 0.5, 0.1), "r1c6", "the rising diagonal"),
    "a dotted line": ("renban", (4.25, 4.5, 0.1), "r5c5", "the dotted line from r5c4 to r5c6"),
    "a piece of a patch": ("extra-regions", (1.4, 0.4, 0.2), "r1c2", "the grey patch at r1c2"),
}  # fmt: skip


@pytest.mark.parametrize("name", COVERED)
def test_each_covered_mark_is_told_by_the_ink(name: str) -> None:
    slug, box, where, words = COVERED[name]
    book = books.ruled(slug)
    told = read(painted_over(book, *box), book).findings
    found = [f for f in told if f.code == "mark-ink"]
    assert len(found) == 1, told
    assert words in found[0].message
    assert where in found[0].cells
    assert (found[0].page, found[0].number) == (PUZZLE, 1)


@pytest.mark.parametrize(
    "slug, kind, where",
    [("cages", Corner, "r1c1"), ("sandwich", Outside, "r1c1"), ("xv", Edge, "r1c4")],
)
@pytest.mark.parametrize("grey", [1.0, 0.6])
def test_text_in_white_or_grey_is_told_by_the_ink(
    slug: str, kind: type, where: str, grey: float
) -> None:
    book = books.ruled(slug)

    class Tampered(RulePress):
        def write(self, place: Place, shape: Shape, text: str) -> str:
            hide = place.section == "Puzzles" and isinstance(shape, kind)
            self.c.setFillGray(grey if hide else 0)
            return text

    told = [f for f in read(Tampered(book).print(), book).findings if f.code == "mark-ink"]
    assert where in told[0].cells
    assert told[0].page == PUZZLE


def test_a_white_dot_filled_with_black_is_told_by_the_ink() -> None:
    book = books.ruled("dots")
    told = read(painted_over(book, 1.5, 2, 0.08, grey=0), book).findings
    (found,) = [f for f in told if f.code == "mark-ink"]
    assert "the white dot between r2c2 and r3c2 is inked over" in found.message
    assert "mark-stray" in {f.code for f in told}  # the other eye tells it by itself


@pytest.mark.parametrize("x, y", [(4.5, 3.5), (4.2, 3.8), (4.7, 3.3)])
def test_a_blot_in_an_empty_cell_is_told_though_a_line_runs_through_it(x: float, y: float) -> None:
    book = books.ruled("thermometers")
    assert not book.entries[0].puzzle.clues[parse_cell("r4c5", 6)]
    told = read(painted_over(book, x, y, 0.05, grey=0), book).findings
    (found,) = [f for f in told if f.code == "ink-stray"]
    assert found.cells == ("r4c5",)


SPOTS = [
    "thermometers",
    "arrows",
    "palindromes",
    "renban",
    "whispers",
    "diagonals",
    "extra-regions",
]


@pytest.mark.parametrize("slug", SPOTS)
def test_digits_on_shapes_are_told_by_both_eyes(slug: str) -> None:
    """Every answer digit that stands on a line, a disc or a patch is changed, one after another."""
    book = books.ruled(slug)
    entry = book.entries[0]
    on = sorted({c for part in entry.puzzle.rules for c in part.cells})[:8]

    class Tampered(RulePress):
        def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
            if spot.section == "Answers" and spot.cell in on:
                return [replace(mark, text=str(int(mark.text) % 6 + 1))]
            return [mark]

    told = read(Tampered(book).print(), book).findings
    for code in ("digit-wrong", "ink-wrong"):
        (found,) = [f for f in told if f.code == code]
        assert found.cells == tuple(cell_name(c, 6) for c in on)


def test_a_stray_digit_on_a_line_is_told_by_both_eyes() -> None:
    book = books.ruled("thermometers")
    empty = parse_cell("r4c5", 6)
    clue = next(c for c, v in enumerate(book.entries[0].puzzle.clues) if v)

    class Tampered(RulePress):
        def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
            if (spot.section, spot.cell) != ("Puzzles", clue):
                return [mark]
            right, down = empty % 6 - clue % 6, empty // 6 - clue // 6
            return [mark, replace(mark, x=mark.x + 60 * right, y=mark.y - 60 * down)]

    told = read(Tampered(book).print(), book).findings
    assert {f.code for f in told if f.cells == ("r4c5",)} == {"digit-extra", "ink-stray"}


@pytest.mark.parametrize("where", [(3, 3.5), (3, 1.2), (1.5, 2)], ids=["plain", "crossed", "level"])
def test_a_covered_border_is_told_among_shapes(where: tuple[float, float]) -> None:
    book = books.ruled("thermometers")
    told = read(painted_over(book, *where, 0.1), book).findings
    assert {"line-missing", "mark-ink"} & {f.code for f in told}


def test_a_hint_may_shade_and_ring_filled_cells_on_shapes() -> None:
    """A step rests on filled cells too: shaded, under shapes, without candidates."""
    book = books.ruled("thermometers")
    (entry,) = book.entries
    (told,) = entry.hints
    on = {c for part in entry.puzzle.rules for c in part.cells}
    filled = tuple(c for c in sorted(on) if told.position[c])
    assert len(filled) > 3
    step = replace(told.step, cells=(*told.step.cells, *filled))
    hint = replace(told, step=step, shown=(*told.shown, *((c, ()) for c in filled)))
    book = replace(book, entries=(replace(entry, hints=(hint,)),))
    assert read(RulePress(book).print(), book).findings == ()


def test_a_ring_over_a_mark_of_an_edge_is_no_fault_of_the_mark() -> None:
    book = books.ruled("xv")

    class Ringed(RulePress):
        def after(self, name: str, canvas: Canvas) -> None:
            if name == "Third hints":
                left, top, side = self.place_for(name, 0)
                u = side / 6
                for cell in range(36):
                    x, y = left + cell % 6 * u, top - 12 - (cell // 6 + 1) * u
                    canvas.roundRect(x + 2, y + 2, u - 4, u - 4, 3)

    assert read(Ringed(book).print(), book).findings == ()
