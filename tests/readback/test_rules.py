"""Rules in print: good prints pass, and each way in which one mark can go wrong is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from reportlab.pdfgen.canvas import Canvas

from packbuilder.book.book import Book, Entry
from packbuilder.grid import parse_cell
from packbuilder.readback import Finding, read
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
from tests.readback.rule_press import RulePress
from tests.readback.tiny_press import LEFT, TOP, Place

PUZZLE, HINT, ANSWER = 4, 7, 8
"""Pages of a book of one puzzle with one hint."""


def test_every_rule_passes_and_is_proved_from_print() -> None:
    book = books.ruled(*kinds())
    asked: list[tuple[int, int]] = []

    def prove(geometry: Any, clues: Any, parts: Any) -> Any:
        from packbuilder.readback.proofs import by_engines

        asked.append((len(parts), geometry.size))
        return by_engines(geometry, clues, parts)

    seen = read(RulePress(book).print(), book, prove=prove)
    assert seen.findings == ()
    assert seen.grids == 3 * len(kinds())
    assert asked == [(len(e.puzzle.rules), e.puzzle.size) for e in book.entries]


def test_many_rules_in_one_grid_pass() -> None:
    book = books.combined()  # 9x9 and 16x16
    assert {len(e.puzzle.rule_names) for e in book.entries} == {7}
    assert read(RulePress(book, "naive").print(), book).findings == ()


def test_what_the_print_lacks_is_not_proved() -> None:
    """A rule that is only told in words holds where its name is printed."""
    book = books.ruled("anti-knight")

    class Unnamed(RulePress):
        def named(self, entry: Entry, names: list[str]) -> list[str]:
            return []

    told = {f.code: f for f in read(Unnamed(book).print(), book).findings}
    assert set(told) == {"rule-name", "not-unique"}
    assert told["rule-name"].message.endswith("beside it are none; the manifest has 'Anti-knight'")


# --- one mark drawn wrongly ---------------------------------------------------------------------

Change = Callable[[Shape], list[Shape]]


def one(slug: str) -> Book:
    return books.ruled(slug)


def drawn_wrongly(book: Book, section: str, target: Shape, change: Change) -> bytes:
    """The print with one shape of one section changed."""

    class Tampered(RulePress):
        def shapes(self, where: str, entry: Entry, shapes: list[Shape]) -> list[Shape]:
            if where != section:
                return shapes
            assert target in shapes
            return [new for s in shapes for new in (change(s) if s == target else [s])]

    return Tampered(book).print()


def cell(name: str) -> int:
    return parse_cell(name, 6)


def pair(a: str, b: str) -> tuple[int, int]:
    return cell(a), cell(b)


def line(text: str) -> tuple[int, ...]:
    return tuple(map(cell, text.split()))


def becomes(**fields: Any) -> Change:
    return lambda shape: [replace(shape, **fields)]


def gone(shape: Shape) -> list[Shape]:
    return []


def turned(shape: Shape) -> list[Shape]:
    assert isinstance(shape, Path)
    return [replace(shape, cells=shape.cells[::-1])]


THERMOMETER = Path(line("r6c4 r5c5 r5c6 r4c6"), "broad")
ARROW = Path(line("r5c1 r5c2 r5c3 r5c4"), "thin", head=True)
TOP_5 = Outside("top", 1, "5")
LITTLE = Outside("top", 1, "12", "down-right")
CAGE = Fence(line("r1c1 r1c2 r1c3 r2c1"))

WRONG: dict[str, tuple[str, Shape, Change, str, str, str]] = {
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
        "arrows", ARROW, turned, "rule-missing", "r5c1",
        "arrow from r5c1 to r5c4 is not whole",
    ),
    "a clue outside changed": (
        "sandwich", TOP_5, becomes(text="6"), "rule-wrong", "r1c2",
        "sandwich 5 above column 2 is printed as sandwich 6 above column 2",
    ),
    "a clue outside lost": (
        "sandwich", TOP_5, gone, "rule-missing", "r1c2", "sandwich 5 above column 2 is not printed",
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


@pytest.mark.parametrize("name", WRONG)
def test_each_mark_drawn_wrongly_is_told(name: str) -> None:
    slug, target, change, code, where, words = WRONG[name]
    book = one(slug)
    told = read(drawn_wrongly(book, "Puzzles", target, change), book).findings
    found = [f for f in told if f.code == code]
    assert len(found) == 1, told
    assert words in found[0].message
    assert where in found[0].cells
    assert (found[0].page, found[0].number, found[0].puzzle) == (PUZZLE, 1, slug)
    assert {f.page for f in told} == {PUZZLE}


SOME = ["a thermometer without a cell", "a disc for a square", "an arrow without a head",
        "a dot of the other colour"]  # fmt: skip


@pytest.mark.parametrize(
    "section, page", [("Third hints", HINT), ("Answers", ANSWER)], ids=["hints", "answers"]
)
@pytest.mark.parametrize("name", SOME)
def test_marks_of_hints_and_answers_are_held_to_the_same(
    name: str, section: str, page: int
) -> None:
    slug, target, change, code, where, _ = WRONG[name]
    book = one(slug)
    told = read(drawn_wrongly(book, section, target, change), book).findings
    assert any((f.code, f.page) == (code, page) and where in f.cells for f in told)


def test_a_changed_rule_is_another_puzzle_to_the_proof() -> None:
    slug, target, change, *_ = WRONG["a dot of the other colour"]
    told = read(drawn_wrongly(one(slug), "Puzzles", target, change), one(slug)).findings
    assert "not-unique" in {f.code for f in told}


def test_a_sum_on_an_answer_is_told() -> None:
    book = one("cages")

    class Tampered(RulePress):
        def shapes(self, where: str, entry: Entry, shapes: list[Shape]) -> list[Shape]:
            return [*shapes, Corner(0, "15")] if where == "Answers" else shapes

    told = read(Tampered(book).print(), book).findings
    assert any((f.code, f.page) == ("mark-stray", ANSWER) and "r1c1" in f.cells for f in told)


# --- one mark said wrongly: what is drawn is no shape of the house style -------------------------


def said_wrongly(book: Book, kind: type, old: str, new: str) -> tuple[Finding, ...]:
    """What is told of a print in whose puzzle one kind of shape has other operators."""
    count = 0

    class Tampered(RulePress):
        def say(self, place: Place, shape: Shape, operators: list[str]) -> list[str]:
            nonlocal count
            if place.section != "Puzzles" or not isinstance(shape, kind) or count:
                return operators
            changed = [text.replace(old, new) for text in operators]
            count += changed != operators
            return changed

    told = read(Tampered(book).print(), book).findings
    assert count == 1
    return told


SAID: dict[str, tuple[str, type, str, str]] = {
    "an outline that is not closed": ("cages", Fence, " h ", " "),
    "an outline without dashes": ("cages", Fence, " d ", " d [] 0 d "),
    "dashes with square ends": ("whispers", Path, "0 J", "2 J"),
    "dots without round ends": ("renban", Path, "1 J", "0 J"),
    "a line of another grey": ("palindromes", Path, "0.55 G", "0.4 G"),
    "a thin line too wide": ("between-lines", Path, " 2.600 w", " 5 w"),
    "a square without a rim": ("parity", Box, " B", " f"),
    "a disc in black": ("thermometers", Ring, "0.86 g", "0 g"),
    "a dot with dashes": ("dots", Edge, " w ", " w [1 1] 0 d "),
    "a sign in grey": ("inequalities", Edge, "0 G", "0.55 G"),
    "a region in another grey": ("extra-regions", Patch, "0.86 g", "0.7 g"),
}


@pytest.mark.parametrize("name", SAID)
def test_what_the_house_style_does_not_know_is_told(name: str) -> None:
    slug, kind, old, new = SAID[name]
    told = said_wrongly(one(slug), kind, old, new)
    assert {"mark-stray", "rule-missing"} <= {f.code for f in told}
    assert {f.page for f in told} == {PUZZLE}


def test_a_double_line_of_one_stroke_is_told() -> None:
    book = one("palindromes")

    class Tampered(RulePress):
        def say(self, place: Place, shape: Shape, operators: list[str]) -> list[str]:
            white = [text for text in operators if text.startswith("1 G")]
            return (
                operators
                if place.section != "Puzzles"
                else [t for t in operators if t not in white]
            )

    told = {f.code for f in read(Tampered(book).print(), book).findings}
    assert {"mark-stray", "rule-missing"} <= told


# --- names and bands ----------------------------------------------------------------------------


@pytest.mark.parametrize("slug", ["cages", "dots", "thermometers", "extra-regions"])
def test_a_thin_border_is_told_among_shapes(slug: str) -> None:
    book = one(slug)

    class Tampered(RulePress):
        def edge(self, section: str, number: int, cells: tuple[int, int], width: float) -> float:
            thin = section == "Puzzles" and cells == pair("r4c3", "r4c4")
            return 0.6 if thin else width

    told = read(Tampered(book).print(), book).findings
    assert any(f.code == "border-thin" and f.cells == ("r4c3",) for f in told)


NAMES: dict[str, Callable[[list[str]], list[str]]] = {
    "another name": lambda names: ["Dots"],
    "none": lambda names: [],
    "one too many": lambda names: [*names, "Dots"],
}


@pytest.mark.parametrize("name", NAMES)
def test_rules_are_named_as_the_manifest_has_them(name: str) -> None:
    book = one("cages")

    class Tampered(RulePress):
        def named(self, entry: Entry, names: list[str]) -> list[str]:
            return NAMES[name](names)

    told = read(Tampered(book).print(), book).findings
    assert [(f.code, f.page, f.number) for f in told] == [("rule-name", PUZZLE, 1)]


def test_the_order_of_names_is_the_manifests() -> None:
    book = books.combined()

    class Tampered(RulePress):
        def named(self, entry: Entry, names: list[str]) -> list[str]:
            return names[::-1] if entry.number == 1 else names

    told = read(Tampered(book).print(), book).findings
    assert [(f.code, f.number) for f in told] == [("rule-name", 1)]


def test_a_rule_that_is_not_explained_is_told() -> None:
    book = one("cages")

    class Tampered(RulePress):
        def title(self, title: str) -> str:
            return "Boxes"

    (found,) = read(Tampered(book).print(), book).findings
    assert (found.code, found.page) == ("rule-name", 3)
    assert "'Cages'" in found.message


def test_nothing_else_stands_in_a_band() -> None:
    book = one("sandwich")
    entry = book.entries[0]

    class Tampered(RulePress):
        def after(self, name: str, canvas: Canvas) -> None:
            if name == "Puzzles":
                band = self.bands(name, entry, 360)[0]
                self.text(LEFT + 40 + 150, TOP - 72 - band + 20, "7", 12)

    told = read(Tampered(book).print(), book).findings
    assert [(f.code, f.page) for f in told] == [("stray-text", PUZZLE)]
