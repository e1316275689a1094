"""Signs over a hint's grid: dots keep clear of digits, and the legend has each sign, once."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from packbuilder.book.book import Entry
from packbuilder.grid import latin
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.step import Step
from packbuilder.layouts import load
from packbuilder.pages.evidence_marks import evidence_marks
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.hint_legend import legend
from packbuilder.pages.page_design import PageDesign
from packbuilder.plaintext.hint_list import position
from packbuilder.plan.items import Trace
from packbuilder.puzzle import Puzzle
from tests.pages.sample_book import sample_book

PLACE = GridPlace(0, 0, 36, 4)
PAIR = Step("naked-pair", 4, (), ((2, 3), (2, 4), (3, 3)), (0, 1), (3, 4), ())
"""In row 1 of four, r1c1 and r1c2 hold 3 and 4: r1c3 keeps 2 alone, r1c4 keeps 1 and 2."""
DIGIT = Because("digit", 1, (0,), (3,), houses=(0,))
"""A digit at r1c1 that closes r1c4, along row 1."""
HINT = Hint("", "", "", PAIR, (0,) * 16, ((0, (3, 4)), (1, (3, 4)), (3, (1, 2, 3))), ((3, 3),),
            gives=((2, 2),))  # fmt: skip


@cache
def entry() -> Entry:
    return sample_book().entries[0]


def told(*hints: Hint) -> str:
    puzzle: Puzzle = replace(entry().puzzle, geometry=latin(4), clues=(0,) * 16)
    one = replace(entry(), puzzle=puzzle, hints=hints)
    return legend(PageDesign(load("one-up"), "a4"), [one], 36)


def test_dots_stop_before_a_digit_that_a_strike_leaves() -> None:
    """Common practice, no source: a figure that is struck through is one that is taken back."""
    hint = replace(HINT, because=(DIGIT,))
    assert hint.pictured[2] == 2
    runs = [run for item in evidence_marks(PLACE, latin(4), hint) if isinstance(item, Trace)
            for run in item.runs]  # fmt: skip
    x, _ = PLACE.middle(2)
    near = 0.4 * PLACE.cell  # a figure is no wider, and the frame round it is no nearer
    assert runs
    assert all(run[0][0] > x + near or run[-1][0] < x - near for run in runs)


def test_candidates_of_a_settled_cell_are_spoken_of() -> None:
    assert HINT.settled == ((2, 2),)
    assert dict(HINT.spoken) == {**dict(HINT.shown), 2: (2, 3, 4)}
    assert "2 3 4; strike 3 4" in str([*position(HINT, latin(4))])


BARE = Step("naked-single", 1, ((3, 2),), (), (3,), (2,), (0,))
PLACED = Hint("", "", "", BARE, (1, *[0] * 15))
COLOURS = Step("simple-colouring", 6, (), ((3, 3),), (0, 1), (3,), (), (((0,), 3), ((1,), 3)))
COLOURED = replace(HINT, step=COLOURS, gives=())
CROSSED = replace(PLACED, because=(replace(DIGIT, closes=(1,)),))
SIGNS = {"heavy frame": "heavy", "leaves of a cell": "settled", "grey": "grey",
         "striped": "striped", "Small digits": "candidates", "with a cross goes": "struck",
         "Ringed": "rings", "dots": "dots", "large cross": "crosses", "Small rings": "colours",
         "Arrows": "arrows"}  # fmt: skip


@pytest.mark.parametrize(
    ("hint", "signs"),
    [
        (PLACED, "heavy"),
        (CROSSED, "heavy rings dots crosses"),
        (HINT, "heavy settled grey striped candidates struck"),
        (COLOURED, "grey striped candidates struck colours"),
        (replace(COLOURED, because=(replace(DIGIT, cells=(4,), closes=(5,), houses=(1,)),)),
         "grey striped candidates struck rings dots crosses colours"),
    ],
)  # fmt: skip
def test_the_legend_has_the_signs_of_its_section(hint: Hint, signs: str) -> None:
    """A reader looks up what is seen, and looks for what is told: neither without the other."""
    words = told(hint)
    assert {sign for said, sign in SIGNS.items() if said in words} == set(signs.split())


def test_the_legend_tells_a_sign_of_several_hints_once() -> None:
    assert told(PLACED, HINT, COLOURED).count("heavy frame") == 1
    assert "Small rings" in told(PLACED, COLOURED)
