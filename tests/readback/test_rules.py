"""Rules in print: each way in which one mark can go wrong is told, in puzzles, hints, answers."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from typing import Any
from unittest import mock

import pytest

from packbuilder.book import Book
from packbuilder.book.assembling import book_of
from packbuilder.editions import EDITIONS
from packbuilder.grid import blocks, parse_cell
from packbuilder.pages import answer_pages, hint_steps, plan_book, puzzle_pages
from packbuilder.pages.prose import NO_BREAK
from packbuilder.plan.items import FURNITURE, Disc, Fills, Item, Plan, Text, Trace
from packbuilder.proof import sat
from packbuilder.readback import read
from packbuilder.reader.drawn.edges import dot
from packbuilder.rules import kinds
from packbuilder.rules.shapes import (
    Box,
    Corner,
    Diagonal,
    Edge,
    Fence,
    Outside,
    Patch,
    Path,
    Ring,
    Shape,
)
from tests.readback import books
from tests.readback.altering import Change, altered, drawn, findings, planned, printed, told
from tests.readback.test_drawn import Place

DRAWS = {"Puzzles": (puzzle_pages, "shapes_of"), "Third hints": (hint_steps, "shapes_of"),
         "Answers": (answer_pages, "small_shapes_of")}  # fmt: skip


def printed_wrongly(book: Book, section: str, change: Callable[[Shape], list[Shape]]) -> Plan:
    """The plan in which one section has other shapes."""
    room, name = DRAWS[section]
    shapes_of = getattr(room, name)
    with mock.patch.object(room, name, lambda p: tuple(n for s in shapes_of(p) for n in change(s))):
        return plan_book(book)


def cell(name: str) -> int:
    return parse_cell(name, 6)


def pair(a: str, b: str) -> tuple[int, int]:
    return cell(a), cell(b)


def line(text: str) -> tuple[int, ...]:
    return tuple(map(cell, text.split()))


def becomes(**fields: Any) -> Callable[[Any], list[Shape]]:
    return lambda shape: [replace(shape, **fields)]


def gone(_: Shape) -> list[Shape]:
    return []


THERMOMETER = Path(line("r6c4 r5c5 r5c6 r4c6"), "broad")
ARROW = Path(line("r5c1 r5c2 r5c3 r5c4"), "thin", head=True)
TOP_5 = Outside("top", 1, "5")
LITTLE = Outside("top", 1, "12", "down-right")
SEEN = Outside("top", 0, "2", ringed=True)
CAGE = Fence(line("r1c1 r1c2 r1c3 r2c1"))

WRONG: dict[str, tuple[str, Shape, Callable[[Any], list[Shape]], str, str, str]] = {
    "a sum changed": (
        "cages", Corner(0, "15"), becomes(text="16"), "rule-wrong", "r1c1",
        "cage 15 at r1c1 is printed as cage 16 at r1c1",
    ),
    "a sum left out": (
        "cages", Corner(0, "15"), gone, "rule-wrong", "r1c1",
        "cage 15 at r1c1 is printed as the cage without a sum at r1c1",
    ),
    "a sum in another cell": (
        "cages", Corner(0, "15"), becomes(cell=1), "rule-missing", "r1c1",
        "cage 15 at r1c1 is not whole: the small 15 in r1c1 is not printed",
    ),
    "a cage without a cell": (
        "cages", CAGE, becomes(cells=line("r1c1 r1c2 r1c3")), "rule-wrong", "r2c1",
        "cage 15 at r1c1 is printed without r2c1",
    ),
    "a cage left out": (
        "cages", CAGE, gone, "rule-missing", "r1c1",
        "cage 15 at r1c1 is not whole: the dashed outline round r1c1 is not printed",
    ),
    "a dot of the other colour": (
        "dots", Edge(pair("r5c3", "r5c4"), "black"), becomes(mark="white"), "rule-wrong", "r5c3",
        "black dot at r5c3-r5c4 is printed as white dot at r5c3-r5c4",
    ),
    "a dot moved": (
        "dots", Edge(pair("r5c3", "r5c4"), "black"), becomes(cells=pair("r5c4", "r5c5")),
        "rule-missing", "r5c3", "black dot at r5c3-r5c4 is not printed",
    ),
    "a dot too many": (
        "dots", Edge(pair("r5c3", "r5c4"), "black"),
        lambda s: [s, Edge(pair("r1c1", "r1c2"), "black")], "rule-extra", "r1c1",
        "a black dot at r1c1-r1c2 is printed, which the puzzle does not have",
    ),
    "an X for a V": (
        "xv", Edge(pair("r3c4", "r3c5"), "X"), becomes(mark="V"), "rule-wrong", "r3c4",
        "X at r3c4-r3c5 is printed as V at r3c4-r3c5",
    ),
    "a sign turned round": (
        "inequalities", Edge(pair("r2c2", "r2c3"), "<"), becomes(mark=">"), "rule-wrong", "r2c2",
        "sign r2c2 < r2c3 is printed as sign r2c3 < r2c2",
    ),
    "a thermometer without a cell": (
        "thermometers", THERMOMETER, becomes(cells=line("r6c4 r5c5 r5c6")), "rule-wrong", "r4c6",
        "thermometer from r6c4 to r4c6 is printed as thermometer from r6c4 to r5c6 without r4c6",
    ),
    "a thermometer without a bulb": (
        "thermometers", Ring(cell("r6c4"), solid=True), gone, "rule-missing", "r6c4",
        "thermometer from r6c4 to r4c6 is not whole: the disc in r6c4 is not printed",
    ),
    "an arrow without a head": (
        "arrows", ARROW, becomes(head=False), "rule-missing", "r5c1",
        "the thin line with a head from r5c1 to r5c4 is not printed",
    ),
    "an arrow turned round": (
        "arrows", ARROW, becomes(cells=ARROW.cells[::-1]), "rule-missing", "r5c1",
        "arrow from r5c1 to r5c4 is not whole",
    ),
    "a clue outside changed": (
        "sandwich", TOP_5, becomes(text="6"), "rule-wrong", "r1c2",
        "sandwich 5 above column 2 is printed as sandwich 6 above column 2",
    ),
    "a clue outside lost": (
        "sandwich", TOP_5, gone, "rule-missing", "r1c2", "sandwich 5 above column 2 is not printed",
    ),
    "a ring outside lost": (
        "sightlines", SEEN, becomes(ringed=False), "rule-missing", "r1c1",
        "sightline 2 above column 1 is not printed",
    ),
    "a ring round another rule's number": (
        "sandwich", TOP_5, becomes(ringed=True), "rule-missing", "r1c2",
        "sandwich 5 above column 2 is not printed",
    ),
    "an arrow outside turned": (
        "little-sums", LITTLE, becomes(towards="down-left"), "rule-missing", "r1c2",
        "little sum 12 from r1c3 down-right is not printed",
    ),
    "a little sum changed": (
        "little-sums", LITTLE, becomes(text="13"), "rule-wrong", "r1c2",
        "little sum 12 from r1c3 down-right is printed as little sum 13 from r1c3 down-right",
    ),
    "a disc for a square": (
        "parity", Box(cell("r1c2")), lambda s: [Ring(cell("r1c2"), solid=True)], "rule-wrong",
        "r1c2", "even mark at r1c2 is printed as odd mark at r1c2",
    ),
    "a diagonal lost": (
        "diagonals", Diagonal("up"), gone, "rule-missing", "r1c6", "rising diagonal is not printed",
    ),
    "a region without a cell": (
        "extra-regions", Patch(line("r1c2 r1c3 r1c4 r1c5 r2c3 r2c4")),
        becomes(cells=line("r1c2 r1c3 r1c4 r1c5 r2c3")), "rule-wrong", "r2c4",
        "extra region at r1c2 is printed without r2c4",
    ),
    "a line of another look": (
        "palindromes", Path(line("r5c3 r6c4 r6c5"), "double"), becomes(style="dashed"),
        "rule-missing", "r5c3", "palindrome from r5c3 to r6c5 is not printed",
    ),
    "a ring lost": (
        "between-lines", Ring(cell("r4c5")), gone, "rule-missing", "r4c5",
        "between line from r4c5 to r6c5 is not whole: the ring in r4c5 is not printed",
    ),
    "a dash for a dot": (
        "renban", Path(line("r5c4 r5c5 r5c6"), "dotted"), becomes(style="dashed"), "rule-missing",
        "r5c4", "renban line from r5c4 to r5c6 is not printed",
    ),
}  # fmt: skip


EACH = [
    (name, section)
    for name, (_, target, *_) in WRONG.items()
    for section in DRAWS
    if section != "Answers" or not isinstance(target, Corner)  # answers have none
]


@pytest.mark.parametrize("name, section", EACH)
def test_each_mark_drawn_wrongly_is_told(name: str, section: str) -> None:
    slug, target, change, code, where, words = WRONG[name]
    book = books.ruled(slug)
    made = printed_wrongly(book, section, lambda s: change(s) if s == target else [s])
    found = told(made, book, code, words, number=1, cell=where)
    assert {one.page for one in findings(made, book)} == {found.page}


def test_a_changed_rule_is_another_puzzle_to_the_proof() -> None:
    slug, target, change, *_ = WRONG["a dot of the other colour"]
    made = printed_wrongly(
        books.ruled(slug), "Puzzles", lambda s: change(s) if s == target else [s]
    )
    told(made, books.ruled(slug), "not-unique", "as printed")


def test_a_sum_on_an_answer_is_told() -> None:
    book = books.ruled("cages")
    made = printed_wrongly(book, "Answers", lambda s: [s, Corner(0, "15")])
    told(made, book, "mark-stray", number=1, cell="r1c1")


# --- one mark said wrongly: what is drawn is no shape of the house style -------------------------


def trace(**fields: Any) -> Callable[[Item], bool]:
    return lambda item: (
        isinstance(item, Trace) and all(getattr(item, k) == v for k, v in fields.items())
    )


def dashed(item: Item) -> bool:
    return isinstance(item, Trace) and bool(item.dash)


def disc(item: Item) -> bool:
    return isinstance(item, Disc)


def band(**fields: Any) -> Callable[[Item], bool]:
    return trace(ink="contour", **fields)


def makes(**fields: Any) -> Change:
    return lambda item: replace(item, **fields)


def moved(far: float, *, run: int | None = None, point: int | None = None) -> Change:
    """A path, or one of its runs, or one point of its runs, that stands so far to the right."""

    def change(item: Trace) -> Trace:
        runs = [list(one) for one in item.runs]
        for k, one in enumerate(runs):
            for j, (x, y) in enumerate(one):
                if run in (None, k) and (point is None or j == point % len(one)):
                    one[j] = (x + far, y)
        return replace(item, runs=tuple(map(tuple, runs)))

    return change


def _turned(item: Trace) -> Trace:
    """A triangle on its other side."""
    ((one, tip, other),) = item.runs
    foot = (one[0] + other[0]) / 2, (one[1] + other[1]) / 2
    return replace(item, runs=((one, (2 * foot[0] - tip[0], 2 * foot[1] - tip[1]), other),))


SAID: dict[str, tuple[str, Callable[[Item], bool], Change]] = {
    "an outline that is not closed": ("cages", dashed, makes(closed=False)),
    "an outline without dashes": ("cages", dashed, makes(dash=())),
    "a grey outline": ("cages", dashed, makes(ink="rule")),
    "an outline moved": (
        "cages", dashed,
        lambda i: replace(i, runs=tuple(tuple((x + 4, y) for x, y in run) for run in i.runs)),
    ),
    "dashes moved": ("whispers", band(closed=True), moved(4)),
    "dashes without a tint": ("whispers", band(closed=True), makes(fill=None)),
    "beads without round ends": ("renban", band(), makes(round_ends=False)),
    "a bead moved": ("renban", band(), moved(4, run=1)),
    "rails of another grey": ("palindromes", band(), makes(ink="rule")),
    "rails that are not clear between": ("palindromes", trace(ink="paper"), lambda i: None),
    "a thin line too wide": ("between-lines", band(closed=False), makes(width=9.0)),
    "a bend moved": ("thermometers", band(), moved(6, point=1)),
    "an end too short": ("thermometers", band(), moved(-6, point=-1)),
    "a line that is filled": ("thermometers", band(), makes(fill="shade")),
    "a band without its tint": ("thermometers", trace(ink="fill"), lambda i: None),
    "a band without its contour": ("thermometers", band(), lambda i: None),
    "an arrowhead gone": ("arrows", band(closed=True), lambda i: None),
    "an arrowhead turned": ("arrows", band(closed=True), lambda i: _turned(i)),
    "an arrowhead in black": ("arrows", band(closed=True), makes(fill="ink")),
    "a ring that shows the line": ("between-lines", disc, makes(fill=None)),
    "a diagonal too wide": ("diagonals", trace(closed=False), makes(width=9.0)),
    "a square without a rim": ("parity", trace(fill="fill"), makes(width=None)),
    "a disc in black": ("thermometers", disc, makes(fill="ink")),
    "a grey dot": ("dots", disc, makes(fill="rule")),
    "a sign in grey": ("inequalities", trace(closed=False), makes(ink="rule")),
    "a sign without its ground": ("inequalities", disc, lambda i: None),
    "a region in another grey": ("extra-regions", trace(closed=True), makes(fill="shade")),
}  # fmt: skip


def test_a_sum_without_its_ground_is_told() -> None:
    book = books.ruled("cages")

    def ground(item: Item) -> bool:
        return isinstance(item, Fills) and item.ink == "paper"

    told(altered(planned(book), "Puzzles", ground, lambda i: None), book, "rule-wrong", number=1)


def test_a_line_is_cleared_away_for_what_is_written_and_for_nothing_else() -> None:
    book = books.ruled("thermometers")
    place = Place(book, "Puzzle 1")
    clear = Disc(*place.at(4.5, 4.5), 0.3 * place.cell, fill="paper")
    told(drawn(planned(book), "Puzzles", clear), book, "mark-stray", number=1, cell="r5c5")


@pytest.mark.parametrize("edition", ["print", "screen-dark"])
def test_dots_are_as_dark_as_they_are_called_on_any_ground(edition: str) -> None:
    book = book_of(books.ruled("dots"), EDITIONS[edition])
    plan = planned(book)
    inks = replace(plan, inks={**plan.inks, "black": plan.inks["white"]})
    found = findings(inks, book)
    assert any("is printed as white dot" in one.message for one in found)
    with mock.patch.object(
        sys.modules["packbuilder.reader.drawn.find"],
        "dot",
        lambda figure, frame: _other(dot(figure, frame)),
    ):
        found = findings(plan, book)  # the eyes of one who takes black for white
    assert any(one.code == "ink-wrong" and "is light" in one.message for one in found)


def _other(edge: Edge | None) -> Edge | None:
    return edge and replace(edge, mark="white" if edge.mark == "black" else "black")


@pytest.mark.parametrize("name", SAID)
def test_what_the_house_style_does_not_know_is_told(name: str) -> None:
    slug, where, change = SAID[name]
    book = books.ruled(slug)
    made = altered(planned(book), "Puzzles", where, change)
    told(made, book, "mark-stray", number=1)
    told(made, book, "rule-missing", number=1)


COVERED: dict[str, tuple[str, tuple[float, float, float], str]] = {
    "a sum": ("cages", (0.24, 0.22, 0.09), "r1c1"),
    "half a sum": ("cages", (0.32, 0.22, 0.06), "r1c1"),
    "a side of an outline": ("cages", (0.1, 0.7, 0.08), "r1c1"),
    "a black dot": ("dots", (3, 4.5, 0.14), "r5c3"),
    "half a white dot": ("dots", (1.42, 2, 0.07), "r2c2"),
    "a letter": ("xv", (4, 2.5, 0.13), "r3c4"),
    "a sign": ("inequalities", (2, 1.5, 0.13), "r2c2"),
    "a number outside": ("sandwich", (1.5, -0.45, 0.25), "r1c2"),
    "an arrow outside": ("little-sums", (1.8, -0.2, 0.15), "r1c2"),
    "an arrow's head": ("arrows", (3.7, 4.5, 0.12), "r5c4"),
    "a piece of a line": ("thermometers", (4.5, 3.5, 0.25), "r4c5"),
    "a square": ("parity", (1.2, 0.5, 0.15), "r1c2"),
    "a diagonal": ("diagonals", (5.5, 0.5, 0.1), "r1c6"),
    "a dotted line": ("renban", (4.25, 4.5, 0.1), "r5c5"),
    "a piece of a patch": ("extra-regions", (1.4, 0.4, 0.2), "r1c2"),
    "a border": ("thermometers", (3, 3.5, 0.1), "r4c3"),
}
"""By the middle and half the side of a square, in cells."""


@pytest.mark.parametrize("ink", ["paper", "ink"])
@pytest.mark.parametrize("name", COVERED)
def test_what_covers_a_mark_is_told(name: str, ink: Any) -> None:
    slug, box, where = COVERED[name]
    book = books.ruled(slug)
    x, y, half = box  # on the side of a border that the cell is on
    square = Fills((Place(book, "Puzzle 1").box(x - 0.01, y - 0.01, half),), ink)
    told(drawn(planned(book), "Puzzles", square), book, "mark-stray", number=1, cell=where)


@pytest.mark.parametrize("slug, digit", [("cages", "15"), ("sandwich", "5"), ("xv", "X")])
@pytest.mark.parametrize("ink, code", [("paper", "ink-missing"), ("rule", "ink-faint")])
def test_text_of_rules_in_white_or_grey_is_told(slug: str, digit: str, ink: str, code: str) -> None:
    book = books.ruled(slug)

    def text(item: Item) -> bool:
        return isinstance(item, Text) and item.text == digit and not item.tag

    told(altered(planned(book), "Puzzles", text, makes(ink=ink)), book, code, number=1)


@pytest.mark.parametrize("old, new", [("greater", "less"), ("along", "off"), ("rise", "fall")])
def test_what_a_rule_means_is_told_word_for_word_beside_its_puzzle(old: str, new: str) -> None:
    book = books.ruled("thermometers")

    def words(item: Item) -> bool:
        return isinstance(item, Text) and old in item.text and not item.quoted

    made = altered(
        planned(book), "Puzzles", words, lambda i: replace(i, text=i.text.replace(old, new))
    )
    told(made, book, "words", "what its rules mean", number=1)


# --- two rules with numbers outside -------------------------------------------------------------


def both(change: Callable[[Outside], list[Shape]], section: str = "Puzzles") -> tuple[Book, Plan]:
    """A print in which something becomes of the numbers outside."""
    book = books.outside()
    plan = printed_wrongly(book, section, lambda s: change(s) if isinstance(s, Outside) else [s])
    return book, plan


@pytest.mark.parametrize("section", ["Puzzles", "Third hints"])
def test_a_ring_lost_makes_a_number_another_rules(section: str) -> None:
    book, made = both(lambda s: [replace(s, ringed=s.ringed and s.side != "left")], section)
    told(made, book, "rule-missing", "sightline 2 left of row 2 is not printed", number=1)
    told(made, book, "rule-extra", "a sandwich 2 left of row 2 is printed", number=1, cell="r2c1")


def test_a_ring_too_many_makes_a_number_another_rules() -> None:
    book, made = both(lambda s: [replace(s, ringed=s.ringed or s.towards is None)])
    told(made, book, "rule-missing", "sandwich", number=1)
    told(made, book, "rule-extra", "a sightline", number=1)


def test_a_bare_ring_and_a_ring_off_its_place_are_told() -> None:
    book = books.outside()
    place = Place(book, "Puzzle 1")
    for x, y in ((-0.45, 3.5), (-0.2, 2.9)):
        ring = Disc(*place.at(x, y), 0.36 * place.cell, place.cell * 0.025)
        told(drawn(planned(book), "Puzzles", ring), book, "mark-stray", number=1)


def test_a_book_with_both_says_which_are_ringed() -> None:
    book = books.outside()
    made = altered(
        planned(book), "Puzzles", rules,
        lambda i: replace(i, text=i.text.replace(f"Sightlines{NO_BREAK}(ringed)", "Sightlines")),
    )  # fmt: skip
    told(made, book, "rule-name", "has 'Sandwich sums', 'Sightlines (ringed)'", number=1)


# --- names and bands -----------------------------------------------------------------------------


def rules(item: Item) -> bool:
    return isinstance(item, Text) and item.text.startswith("Rules:")


@pytest.mark.parametrize("words", ["Rules: Dots", "Rules: Cages, Dots", "Rules:", "Note: Cages"])
def test_rules_are_named_as_the_manifest_has_them(words: str) -> None:
    book = books.ruled("cages")
    told(altered(planned(book), "Puzzles", rules, makes(text=words)), book, "rule-name", number=1)


def test_the_order_of_names_is_the_manifests() -> None:
    book = books.combined()
    titles = [kinds()[slug].title for slug in book.entries[0].puzzle.rule_names]
    other = "Rules: " + ", ".join([titles[1], titles[0], *titles[2:]])
    made = altered(planned(book), "Puzzles", rules, lambda i: replace(i, text=other, size=4.0))
    told(made, book, "rule-name", number=1)


def test_a_rule_that_is_told_in_words_holds_where_its_name_is_printed() -> None:
    book = books.ruled("anti-knight")
    made = altered(planned(book), "Puzzles", rules, lambda i: None)
    told(made, book, "rule-name", "beside it are none; the manifest has 'Anti-knight'")
    told(made, book, "not-unique")


@pytest.mark.parametrize(
    "make, code",
    [
        (lambda x, y: Text(x, y, "7", "SourceSansPro-Semibold", 12.0, tag=FURNITURE), "stray-text"),
        (lambda x, y: Disc(x, y, 3, fill="ink"), "mark-stray"),
        (lambda x, y: Disc(x, y, 3, fill="paper"), "mark-stray"),
    ],
)
def test_nothing_else_stands_in_a_band(make: Callable[[float, float], Item], code: str) -> None:
    book = books.ruled("sandwich")
    x, y = Place(book, "Puzzle 1").at(3.4, -0.3)
    told(drawn(planned(book), "Puzzles", make(x, y)), book, code, number=1)


def test_loops_are_read_back_as_loops() -> None:
    """By both proofs; a loop that is not closed in print, or a line that is, is told."""
    values = {
        "whispers": ["r2c1 r1c2 r2c3 r3c2 r2c1", "r5c4 r5c5 r6c5"],
        "renban": ["r3c5 r4c5 r4c6 r3c6 r3c5"],
    }
    empty = books.with_rules(blocks(2, 3), values, (0,) * 36, "loops")
    solution = sat.prove(empty.geometry, empty.clues, empty.rules).first
    assert solution is not None
    puzzle = replace(empty, clues=(*[0] * 6, *solution[6:]))
    book = books.bound([books.entry(1, puzzle, solution)])
    plan = planned(book)
    assert read(printed(plan), book, plan).findings == ()

    def opened(shape: Shape) -> list[Shape]:
        return [replace(shape, cells=shape.cells[:-1])] if isinstance(shape, Path) else [shape]

    def other(shape: Shape) -> list[Shape]:
        if isinstance(shape, Path) and shape.cells[0] != shape.cells[-1]:
            return [Path((*shape.cells, cell("r5c4")), shape.style)]
        return [shape]

    told(printed_wrongly(book, "Puzzles", opened), book, "rule-wrong", "closed whisper line")
    told(printed_wrongly(book, "Puzzles", other), book, "rule-wrong", "closed whisper line")
