"""Every way in which one digit can go wrong is told, with its cell.

By the eyes, where they can tell; a code of the plan says that they cannot.
"""

from __future__ import annotations

import re
from dataclasses import replace
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.book import Book
from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.plan.items import FURNITURE, Disc, Fills, Glyphs, Item, Plan, Strokes, Text
from packbuilder.readback.ink import sizes_in_grids
from packbuilder.reader.likeness import dpi_for
from tests.readback import books
from tests.readback.altering import Change, drawn, findings, letter_in, of_letter, planned, told
from tests.readback.as_planned.sealing import content, sealed, stream

HINT = books.lone().entries[0].hints[0]
GRIDS = {"Puzzle 1": "Puzzles", "Hint for puzzle 1": "Third hints", "Answer 1": "Answers"}
ENTRY = books.lone().entries[0]
CLUE = next(c for c, v in enumerate(ENTRY.puzzle.clues) if v not in (0, 8))
SOLVED = next(c for c, v in enumerate(HINT.position) if v and not ENTRY.puzzle.clues[c])
OPEN, (KEPT, *_) = next(
    (c, [v for v in values if (c, v) not in HINT.struck]) for c, values in HINT.shown
)


@pytest.fixture(scope="module")
def book() -> Book:
    return books.lone()


@pytest.fixture(scope="module")
def plan(book: Book) -> Plan:
    return planned(book)


def put(g: Glyphs, dx: float = 0.0, dy: float = 0.0, text: str = "", size: float = 1.0) -> Glyphs:
    """A letter moved, by its type sizes, or another one, or in another size."""
    ((x, y, letter),) = g.places
    return replace(
        g, places=((x + dx * g.size, y + dy * g.size, text or letter),), size=g.size * size
    )


def other(g: Glyphs) -> Glyphs:
    return put(g, text=str(int(g.places[0][2]) % 9 + 1))


FAULTS: dict[str, tuple[Change, str]] = {
    "changed": (other, "digit-wrong"),
    "missing": (lambda g: None, "digit-missing"),
    "moved": (lambda g: put(g, 0.45), "digit-moved"),
    "lowered": (lambda g: put(g, 0, -0.45), "digit-moved"),
    "doubled": (lambda g: (g, g), "not-as-planned"),  # on top of each other they look like one
    "two digits": (lambda g: (g, put(other(g), 0.1)), "digit-doubled"),
    "white": (lambda g: replace(g, ink="paper"), "ink-missing"),
    "as pale as a fill": (lambda g: replace(g, ink="fill"), "ink-missing"),
    "faint": (lambda g: replace(g, ink="rule"), "ink-faint"),
    "paler than 4.5 to 1": (lambda g: replace(g, ink="rule"), "ink-faint"),
    "grey": (lambda g: replace(g, ink="quiet"), "not-as-planned"),
    "shrunk": (lambda g: put(g, 0.05, 0.06, size=0.8), "not-as-planned"),
    "grown": (lambda g: put(g, -0.05, -0.06, size=1.2), "not-as-planned"),
    "a letter": (lambda g: put(g, text="S"), "stray-text"),
    "another face": (lambda g: replace(g, face="SourceSerifPro-Regular"), "digit-face"),
    "as if solved": (lambda g: replace(g, face="SourceSansPro-Light"), "digit-face"),
}


@pytest.mark.parametrize("grid", GRIDS)
@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_of_a_clue_is_told(book: Book, plan: Plan, grid: str, name: str) -> None:
    change, code = FAULTS[name]
    found = told(of_letter(plan, grid, CLUE, change), book, code)
    if code != "not-as-planned":
        assert cell_name(CLUE, 9) in found.cells
        assert (found.number, found.puzzle) == (1, "p1")


def test_digits_of_a_solver_are_told_from_clues(book: Book, plan: Plan) -> None:
    for grid in ("Hint for puzzle 1", "Answer 1"):
        bold = of_letter(plan, grid, SOLVED, lambda g: replace(g, face="SourceSansPro-Semibold"))
        told(bold, book, "digit-face", "a solved digit", cell=cell_name(SOLVED, 9))


def test_a_digit_in_an_empty_cell_is_told(book: Book, plan: Plan) -> None:
    clues = ENTRY.puzzle.clues
    cell = next(c for c in range(80) if clues[c] and not clues[c + 1] and c % 9 < 8)
    made = of_letter(plan, "Puzzle 1", cell, lambda g: (g, put(g, 51.02 / g.size)))
    told(made, book, "digit-extra", page=5, cell=cell_name(cell + 1, 9))


CANDIDATE_FAULTS: dict[str, tuple[Change, str]] = {
    "changed": (other, "candidate"),
    "missing": (lambda g: None, "candidate"),
    "doubled": (lambda g: (g, g), "not-as-planned"),
    "twice": (lambda g: (g, put(g, 0, 0.4)), "candidate"),
    "as large as a digit": (lambda g: put(g, size=2), "candidate"),
    "off its place": (lambda g: put(g, 0, -0.45), "struck"),
    "white": (lambda g: replace(g, ink="paper"), "ink-missing"),
    "faint": (lambda g: replace(g, ink="rule"), "ink-faint"),
    "a letter": (lambda g: put(g, text="S"), "stray-text"),
    "tiny": (lambda g: put(g, 0.2, 0.2, size=0.6), "not-as-planned"),
    "in another face": (lambda g: replace(g, face="SourceSerifPro-Regular"), "not-as-planned"),
}


@pytest.mark.parametrize("name", CANDIDATE_FAULTS)
def test_each_fault_of_a_candidate_is_told(book: Book, plan: Plan, name: str) -> None:
    change, code = CANDIDATE_FAULTS[name]
    made = of_letter(plan, "Hint for puzzle 1", OPEN, change, SYMBOLS[KEPT])
    cell = None if code == "not-as-planned" else cell_name(OPEN, 9)
    told(made, book, code, cell=cell)


@settings(max_examples=10, deadline=None, derandomize=True)
@given(st.data())
def test_any_changed_digit_is_told(data: st.DataObject) -> None:
    book = books.lone()
    grid = data.draw(st.sampled_from(list(GRIDS)))
    shown = {"Puzzle 1": ENTRY.puzzle.clues, "Answer 1": ENTRY.solution}.get(grid, HINT.position)
    cell = data.draw(st.sampled_from([c for c, v in enumerate(shown) if v]))
    new = data.draw(st.sampled_from([v for v in range(1, 10) if v != shown[cell]]))
    made = of_letter(planned(book), grid, cell, lambda g: put(g, text=SYMBOLS[new]))
    told(made, book, "digit-wrong", f"shows {new} where", cell=cell_name(cell, 9))


# --- what lies over a digit ----------------------------------------------------------------------


def over(g: Glyphs) -> dict[str, tuple[Item, str]]:
    """Things drawn over a letter, each with what is told of it."""
    ((x, y, _),), s = g.places, g.size
    left, foot, middle = x - 0.05 * s, y - 0.05 * s, (x + 0.25 * s, y + 0.33 * s)
    whole, half = (left, foot, x + 0.55 * s, y + 0.75 * s), (left, foot, middle[0], y + 0.75 * s)
    slant = ((left, foot, left + 0.6 * s, foot + 0.8 * s),)
    return {
        "a white box": (Fills((whole,), "paper"), "ink-missing"),
        "a black box": (Fills((whole,)), "ink-missing"),
        "a box of the shade": (Fills((whole,), "shade"), "ink-missing"),
        "half a white box": (Fills((half,), "paper"), "ink-wrong"),
        "a black dot": (Disc(*middle, 0.04 * s, fill="ink"), "mark-stray"),
        "a white dot": (Disc(*middle, 0.04 * s, fill="paper"), "mark-stray"),
        "a hair line": (Strokes(0.1, slant), "mark-stray"),
        "a white stroke": (Strokes(0.1 * s, slant, "paper"), "mark-stray"),
        "a thick stroke": (Strokes(0.8 * s, slant), "ink-missing"),
        "words": (Text(left, foot, "over", g.face, 0.4 * s, tag=FURNITURE), "stray-text"),
    }


OVER = list(over(Glyphs("", 1.0, ((0.0, 0.0, "1"),))))


@pytest.mark.parametrize("grid", GRIDS)
@pytest.mark.parametrize("name", OVER)
def test_what_lies_over_a_digit_is_told(book: Book, plan: Plan, grid: str, name: str) -> None:
    item, code = over(letter_in(plan, grid, CLUE))[name]
    told(drawn(plan, GRIDS[grid], item), book, code, cell=cell_name(CLUE, 9))


@pytest.mark.parametrize("name", ["a white box", "a black box", "a black dot", "a white dot"])
def test_what_lies_over_a_candidate_is_told(book: Book, plan: Plan, name: str) -> None:
    item, code = over(letter_in(plan, "Hint for puzzle 1", OPEN, SYMBOLS[KEPT]))[name]
    told(drawn(plan, "Third hints", item), book, code, cell=cell_name(OPEN, 9))


def test_a_bite_in_a_bold_digit_is_told(book: Book, plan: Plan) -> None:
    """Part of the bow of a small 9: a light digit that falls between pixels is as unlike its
    glyph."""
    letter = letter_in(plan, "Answer 1", CLUE)
    ((x, y, digit),), s = letter.places, letter.size
    assert digit == "9"
    bite = Fills(((x, y + 0.4 * s, x + 0.25 * s, y + 0.65 * s),), "paper")
    told(drawn(plan, "Answers", bite), book, "ink-wrong", "(87% alike)", cell=cell_name(CLUE, 9))


# --- a press that lies ---------------------------------------------------------------------------

TURNED = {
    "on its head": (rb"1 0 0 1 (\S+ \S+ Tm)", rb"-1 0 0 -1 \1"),
    "mirrored": (rb"1 0 0 1 (\S+ \S+ Tm)", rb"-1 0 0 1 \1"),
    "aslant": (rb"1 0 0 1 (\S+ \S+ Tm)", rb"0.97 0.26 -0.26 0.97 \1"),
    "squeezed": (rb"1 0 0 1 (\S+ \S+ Tm)", rb"0.5 0 0 1 \1"),
    "of a size below nothing": (rb" (\S+) Tf", rb" -\1 Tf"),
}
HIDDEN = {
    "invisible": (rb"BT ", b"BT 3 Tr "),
    "only a clip": (rb"BT ", b"BT 7 Tr "),
    "only outlined": (rb"BT ", b"BT 1 Tr "),
}
GONE = {"of no size": (rb" \S+ Tf", b" 0 Tf"), "immense": (rb" \S+ Tf", b" 10000000 Tf")}
LIES = {name: (*lie, code) for code, lies in {"digit-turned": TURNED, "hidden-text": HIDDEN,
        "digit-missing": GONE}.items() for name, lie in lies.items()}  # fmt: skip


@pytest.mark.parametrize("grid", GRIDS)
@pytest.mark.parametrize("name", LIES)
def test_letters_that_are_set_in_other_ways_are_told(
    book: Book, plan: Plan, grid: str, name: str
) -> None:
    old, new, code = LIES[name]
    ((x, y, _),) = letter_in(plan, grid, CLUE).places
    at = re.escape(b"%.2f %.2f Tm" % (x, y))
    own = re.compile(rb"BT (?:(?!BT).)*?" + at + rb".*?ET", re.DOTALL)

    def change(data: bytes) -> bytes:
        return own.sub(lambda found: re.sub(old, new, found[0], count=1), data)

    lying = sealed(
        of_letter(plan, grid, CLUE, lambda g: g),
        stream(lambda head, data: own.search(data), change),
    )
    told(lying, book, code)


def test_what_is_hidden_is_told_by_its_ink_too(book: Book, plan: Plan) -> None:
    lying = sealed(plan, content(rb"/F1\+0 30\.61 Tf", b"/F1+0 30.61 Tf 3 Tr"))
    told(lying, book, "ink-missing", cell=cell_name(CLUE, 9))


def digits_of(head: bytes, data: bytes) -> bool:
    """Whether a stream says what letters the codes of the clues' font are: it has few beside."""
    return b"begincmap" in data and b"<0034>" in data and b"<0037>" in data


def exchanged(data: bytes) -> bytes:
    return (
        data.replace(b"<0034>", b"<??>").replace(b"<0037>", b"<0034>").replace(b"<??>", b"<0037>")
    )


def test_a_text_that_lies_is_told_by_text_and_ink(book: Book, plan: Plan) -> None:
    """All 4s say that they are 7s, and the other way round."""
    lying = sealed(plan, stream(digits_of, exchanged))
    codes = {one.code for one in findings(lying, book)}
    assert codes & {"digit-wrong", "candidate"}
    assert "ink-wrong" in codes


def test_the_smallest_digit_has_sixteen_pixels_to_the_em_within_bounds() -> None:
    glyphs = [SimpleNamespace(size=size) for size in (24.0, 7.5, 1.5)]  # none is as small as 1.5
    page = SimpleNamespace(grids=[SimpleNamespace(glyphs=glyphs)])
    assert dpi_for(sizes_in_grids(page)) == 16 * 72 / 7.5  # type: ignore[arg-type]
    assert (dpi_for([100.0]), dpi_for([2.0]), dpi_for([])) == (110, 250, 110)
