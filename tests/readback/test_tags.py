"""What a screen reader is told: whole, in order, and cell by cell the verified grid.

Roles, headings and scopes are those of ISO 32000-1, 14.8.4 and 14.8.5.7 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pypdf
import pytest
from pypdf.generic import ArrayObject, DictionaryObject, NameObject, TextStringObject

from packbuilder.book.book import Book
from packbuilder.editions import PRINT
from packbuilder.grid import blocks
from packbuilder.readback import read
from tests.readback import books
from tests.readback.tagged_press import Node, TaggedPress
from tests.readback.tiny_press import Mark, Press, Spot
from tests.readback.told import told


@cache
def small() -> Book:
    """A 4x4 and a 6x6, a hint each. Pages: 4 and 5 puzzles, 6 to 8 hints, 9 answers."""
    return replace(books.book([(blocks(2, 2), 5), (blocks(2, 3), 11)]), edition=PRINT)


Change = Callable[[Node], None]


def made(change: Change | None = None, **more: Any) -> bytes:
    press = TaggedPress(small())
    if change:
        press.change = change  # type: ignore[method-assign]
    for name, value in more.items():
        setattr(press, name, value)
    return press.print()


def table(document: Node, which: int = 0) -> list[list[Node]]:
    """The cells of the which-th table, headings and all."""
    return [row.kids for row in document.all("Table")[which].kids]


def cell_of(clue: bool, which: int = 0) -> tuple[int, int]:
    """The first cell of a puzzle with a clue, or without, as row and column from 1."""
    puzzle = small().entries[which].puzzle
    cell = next(c for c, v in enumerate(puzzle.clues) if bool(v) is clue)
    return cell // puzzle.size + 1, cell % puzzle.size + 1


def test_a_tagged_print_passes() -> None:
    assert read(made(), small()).findings == ()


def test_a_print_without_tags_is_told() -> None:
    data = Press(small()).print()
    told(data, small(), "tag", "no structure for screen readers")
    assert read(data, replace(small(), edition=books.PLAIN_PRINT)).findings == ()


# --- cells ---------------------------------------------------------------------------------------


def swap_cells(document: Node) -> None:
    (r, c), (s, d) = cell_of(clue=True), cell_of(clue=False)
    cells = table(document)
    cells[r][c].kids, cells[s][d].kids = cells[s][d].kids, cells[r][c].kids


def test_a_swapped_cell_is_told() -> None:
    (r, c), (s, d) = cell_of(clue=True), cell_of(clue=False)
    found = told(made(swap_cells), small(), "tag-cell", "would not be heard", page=4, number=1)
    assert set(found.cells) == {f"r{r}c{c}", f"r{s}c{d}"}
    assert {f.code for f in read(made(swap_cells), small()).findings} == {"tag-cell"}


def test_two_digits_in_each_others_place_are_told() -> None:
    """Of an answer: both cells are heard, and each says the other's digit."""

    def change(document: Node) -> None:
        row = table(document, 4)[1]
        row[1].kids, row[2].kids = row[2].kids, row[1].kids

    a, b = small().entries[0].solution[:2]
    found = told(made(change), small(), "tag-cell", page=9, number=1)
    assert f"r1c1 would be heard as '{b}', and is {a}" in found.message


def test_a_cell_that_is_told_as_another_digit_is_told() -> None:
    r, c = cell_of(clue=True)

    def change(document: Node) -> None:
        table(document)[r][c].more["/ActualText"] = "9"

    told(made(change), small(), "tag-cell", "would be heard as '9'", page=4, cell=f"r{r}c{c}")
    told(made(change), small(), "tag-heading", "would be heard as '9'", page=4)


def test_a_candidate_that_is_not_heard_is_told() -> None:
    """The third table is the first hint's; its cell loses its content."""
    cell = small().entries[0].hints[0].shown[0][0]

    def change(document: Node) -> None:
        table(document, 2)[cell // 4 + 1][cell % 4 + 1].kids.clear()

    told(made(change), small(), "tag-cell", "would not be heard", page=8, number=1)


def drop_row(document: Node) -> None:
    document.all("Table")[0].kids.pop()


def drop_cell(document: Node) -> None:
    table(document)[2].pop()


def plain_heading(document: Node) -> None:
    table(document)[2][0].role = "TD"


@pytest.mark.parametrize("change", [drop_row, drop_cell, plain_heading])
def test_a_table_of_another_shape_is_told(change: Change) -> None:
    told(made(change), small(), "tag-cell", "headings round 4 by 4 cells", page=4, number=1)


def wrong_words(document: Node) -> None:
    table(document)[2][0].more["/ActualText"] = "row 3"


def wrong_scope(document: Node) -> None:
    table(document)[2][0].more["/Scope"] = "Column"


def no_words(document: Node) -> None:
    del table(document)[2][0].more["/ActualText"]


@pytest.mark.parametrize("change", [wrong_words, wrong_scope, no_words])
def test_a_heading_that_names_another_row_is_told(change: Change) -> None:
    told(made(change), small(), "tag-heading", "the heading of row 2", page=4, number=1)


@pytest.mark.parametrize("words", ["", "Puzzle 2: 4x4, blocks 2x2.", "Puzzle 1: 6x6."])
def test_a_summary_of_another_grid_is_told(words: str) -> None:
    found = told(made(summary=lambda _: words), small(), "tag-heading", "the summary", number=1)
    assert found.page in (4, 8, 9)


def test_a_missing_or_an_extra_table_is_told() -> None:
    def drop(document: Node) -> None:
        sect = document.kids[3]
        sect.kids = [k for k in sect.kids if k.role != "Table"]

    def double(document: Node) -> None:
        document.kids[3].kids.append(Node("Table"))

    told(made(drop), small(), "tag-cell", "no table", page=4, number=1)
    told(made(double), small(), "tag", "3 tables for 2 grids")


# --- sections, headings, order -------------------------------------------------------------------


def test_sections_out_of_order_are_told() -> None:
    def change(document: Node) -> None:
        document.kids[3], document.kids[4] = document.kids[4], document.kids[3]

    told(made(change), small(), "tag", "content of another section")


def test_a_section_read_backwards_is_told() -> None:
    def change(document: Node) -> None:
        document.kids[3].kids.reverse()

    told(made(change), small(), "tag", "not read in the order of its pages", page=4)


def test_headings_in_another_order_are_told() -> None:
    """Both answers stand on one page, and are told from the second to the first."""

    def change(document: Node) -> None:
        sect = document.kids[-2]
        start = [k.role for k in sect.kids].index("H2")
        second = [k.role for k in sect.kids].index("H2", start + 1)
        sect.kids = [*sect.kids[:start], *sect.kids[second:], *sect.kids[start:second]]

    told(made(change), small(), "tag", "headings of Answers are not told in the order")


def test_a_section_without_its_part_is_told() -> None:
    def change(document: Node) -> None:
        document.kids[3].kids += document.kids.pop(4).kids

    told(made(change), small(), "tag", "sections need a Sect each")


def lower(document: Node) -> None:
    document.kids[3].all("H1")[0].role = "P"


def renamed(document: Node) -> None:
    document.kids[3].all("H1")[0].more["/ActualText"] = "Answers"


@pytest.mark.parametrize("change", [lower, renamed])
def test_a_section_without_its_heading_is_told(change: Change) -> None:
    told(made(change), small(), "tag-heading", "the heading of Puzzles is told as", page=4)


def test_a_puzzle_without_its_heading_is_told() -> None:
    def change(document: Node) -> None:
        document.kids[3].all("H2")[1].role = "P"

    found = told(made(change), small(), "tag-heading", "no heading in Puzzles tells '2'", number=2)
    assert found.page == 5


# --- whole ---------------------------------------------------------------------------------------


def test_text_that_is_not_in_the_tree_is_told() -> None:
    def change(document: Node) -> None:
        document.kids[3].kids = [k for k in document.kids[3].kids if k.role != "P"]

    told(made(change), small(), "tag-text", "'setbyAdaQuill' is not in the structure", page=4)


def test_text_that_is_twice_in_the_tree_is_told() -> None:
    def change(document: Node) -> None:
        paragraph = document.kids[3].all("P")[0]
        paragraph.kids.append(paragraph.kids[0])

    told(made(change), small(), "tag", "stands in the tree 2 times", page=4)


def test_text_that_is_not_marked_is_told() -> None:
    class Unmarked(TaggedPress):
        def mark(self, node: Node | None) -> None:
            if node is None or node.role != "H1":
                super().mark(node)
            else:
                self.c._code.append("/Span BMC")

    told(Unmarked(small()).print(), small(), "tag-text", "neither in the structure", page=4)


def test_lines_that_are_not_marked_are_told() -> None:
    class Unmarked(TaggedPress):
        def after(self, section: str, canvas: Any) -> None:
            if section == "Puzzles":
                canvas.line(100, 90, 200, 90)

    told(Unmarked(small()).print(), small(), "tag-text", "lines or fills", page=4)


def test_a_footer_that_is_read_out_is_told() -> None:
    class Told(TaggedPress):
        def text(self, x: float, y: float, words: str, size: float, face: str = "") -> None:
            super().text(x, y + 6 if y < 50 else y, words, size, face)

    told(Told(small()).print(), small(), "tag-text", "the footer would be heard", page=4)


def test_words_that_marked_content_is_told_by_are_told() -> None:
    class Lying(TaggedPress):
        def mark(self, node: Node | None) -> None:
            super().mark(node)
            if node and node.role == "TD" and self.number == 4:
                self.c._code[-1] = self.c._code[-1].replace(">> BDC", "/ActualText (7)>> BDC")

    data = Lying(small()).print()
    told(data, small(), "tag-cell", "would be heard as '7'", page=4, number=1)
    told(data, small(), "tag-text", "would be heard as '7'", page=4)


def test_a_figure_without_words_is_told() -> None:
    def change(document: Node) -> None:
        document.kids[2].all("P")[0].role = "Figure"

    told(made(change), small(), "tag-heading", "no alternative text", page=3)


def test_an_unknown_role_is_told() -> None:
    def change(document: Node) -> None:
        document.kids[2].all("P")[0].role = "Poem"

    told(made(change), small(), "tag", "'Poem', which readers do not know")


def test_a_link_outside_the_tree_is_told() -> None:
    def change(document: Node) -> None:
        document.kids[3].all("Link")[0].kids.pop()

    told(made(change), small(), "tag", "a Link is not in the structure", page=4)


def test_roles_of_its_own_may_stand_for_standard_ones() -> None:
    def change(document: Node) -> None:
        document.kids[2].all("P")[0].role = "Poem"

    def edit(writer: pypdf.PdfWriter) -> None:
        tree: Any = writer.root_object["/StructTreeRoot"]
        tree[NameObject("/RoleMap")] = DictionaryObject({NameObject("/Poem"): NameObject("/P")})

    assert read(made(change, edit=edit), small()).findings == ()


def unset(key: str) -> Callable[[pypdf.PdfWriter], None]:
    def edit(writer: pypdf.PdfWriter) -> None:
        del writer.root_object[NameObject(key)]

    return edit


@pytest.mark.parametrize(
    "key, words",
    [
        ("/Lang", "its language"),
        ("/MarkInfo", "that it is tagged"),
        ("/ViewerPreferences", "its title to be shown"),
    ],
)
def test_what_the_catalogue_lacks_is_told(key: str, words: str) -> None:
    message = told(made(edit=unset(key)), small(), "tag", words.split(" to be")[0]).message
    assert "does not" in message


def test_a_parent_tree_that_leads_elsewhere_is_told() -> None:
    def edit(writer: pypdf.PdfWriter) -> None:
        tree: Any = writer.root_object["/StructTreeRoot"]["/ParentTree"]
        nums = tree["/Nums"]
        owners = nums[7].get_object()
        assert isinstance(owners, ArrayObject)
        owners[0], owners[1] = owners[1], owners[0]

    told(made(edit=edit), small(), "tag", "do not lead back to their element", page=4)


def test_a_tree_that_bites_its_tail_is_told() -> None:
    def edit(writer: pypdf.PdfWriter) -> None:
        document: Any = writer.root_object["/StructTreeRoot"]["/K"]
        sect = document["/K"][2].get_object()
        sect["/K"].append(document["/K"][2])

    told(made(edit=edit), small(), "tag", "stands in the tree twice")


def test_a_tree_that_cannot_be_read_is_refused_in_words() -> None:
    from packbuilder.errors import InputError

    def edit(writer: pypdf.PdfWriter) -> None:
        writer.root_object[NameObject("/StructTreeRoot")] = TextStringObject("none")

    with pytest.raises(InputError, match="its structure for screen readers is damaged"):
        read(made(edit=edit), small())


# --- figures -------------------------------------------------------------------------------------


class Pictured(TaggedPress):
    """Shows a small grid on the how-to-play page, as a figure."""

    alt = ""
    pictured = False

    def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
        return [mark] if self.pictured else super().digit(spot, mark)

    def taught(self) -> None:
        entry = self.book.entries[0]
        figure = Node("Figure", [], {"/Alt": self.alt or told_in_rows(entry.puzzle.clues)})
        self.sect.kids.append(figure)
        self.mark(figure)
        self.pictured = True
        Press.grid(self, "x", entry, 0, entry.puzzle.clues, 100, 500, 120)
        self.pictured = False
        self.unmark()


def told_in_rows(clues: tuple[int, ...]) -> str:
    rows = [clues[k : k + 4] for k in range(0, 16, 4)]
    words = [", ".join(str(v) if v else "blank" for v in row) for row in rows]
    return "4 by 4 grid; " + "; ".join(f"row {k}: {w}" for k, w in enumerate(words, start=1))


def test_a_grid_that_is_a_figure_is_heard_row_by_row() -> None:
    assert read(Pictured(small()).print(), small()).findings == ()


def test_a_figure_that_tells_another_grid_is_told() -> None:
    clues = small().entries[0].puzzle.clues
    cell = next(c for c, v in enumerate(clues) if v)
    press = Pictured(small())
    press.alt = told_in_rows((*clues[:cell], clues[cell] % 4 + 1, *clues[cell + 1 :]))
    name = f"r{cell // 4 + 1}c{cell % 4 + 1}"
    assert told(press.print(), small(), "tag-cell", "in its alternative", page=3).cells == (name,)
    press = Pictured(small())
    press.alt = "A small grid."
    told(press.print(), small(), "tag-cell", "is told as ''", page=3)
