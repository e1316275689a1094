"""Signs over a hint's grid: dots keep clear of digits, and the key has each sign, once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packbuilder.grid import latin
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.step import Step
from packbuilder.layouts import load
from packbuilder.pages.evidence_marks import reach
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.hint_legend import key, signs
from packbuilder.pages.page_design import PageDesign
from packbuilder.plaintext.hint_list import position
from packbuilder.plan.items import Figure, Text, Trace

PLACE = GridPlace(0, 0, 36, 4)
PAIR = Step("naked-pair", 4, (), ((2, 3), (2, 4), (3, 3)), (0, 1), (3, 4), ())
"""In row 1 of four, r1c1 and r1c2 hold 3 and 4: r1c3 keeps 2 alone, r1c4 keeps 1 and 2."""
DIGIT = Because("digit", 1, (0,), (3,), house=0, houses=(0,))
"""A digit at r1c1 that closes r1c4, along row 1."""
HINT = Hint("", "", "", PAIR, (0,) * 16, ((0, (3, 4)), (1, (3, 4)), (3, (1, 2, 3))), ((3, 3),),
            gives=((2, 2),))  # fmt: skip


def means(*hints: Hint) -> list[str]:
    return [sign.means for sign in signs([(hint, latin(4)) for hint in hints])]


def test_dots_stop_before_a_digit_that_a_strike_leaves() -> None:
    """Common practice, no source: a figure that is struck through is one that is taken back."""
    hint = replace(HINT, because=(DIGIT,))
    assert hint.pictured[2] == 2
    runs = [run for item in reach(PLACE, latin(4), hint) if isinstance(item, Trace)
            for run in item.runs]  # fmt: skip
    x, _ = PLACE.middle(2)
    near = 0.4 * PLACE.cell  # a figure is no wider, and the tile under it is no nearer
    assert runs
    assert all(run[0][0] > x + near or run[-1][0] < x - near for run in runs)


def test_candidates_of_a_settled_cell_are_spoken_of() -> None:
    assert HINT.settled == ((2, 2),)
    assert dict(HINT.spoken) == {**dict(HINT.shown), 2: (2, 3, 4)}
    assert "2 3 4; strike 3 4" in str([*position(HINT, latin(4))])


BARE = Step("naked-single", 1, ((3, 2),), (), (3,), (2,), (0,))
PLACED = Hint("", "", "", BARE, (1, *[0] * 15))
CROSSED = replace(PLACED, because=(replace(DIGIT, closes=(1,)),))
TIES = ((0,), 3), ((1,), 3), ((5,), 3), ((6,), 3)
CHAIN = Step("chain", 7, (), ((4, 3),), (0, 1, 5, 6), (3,), (), TIES, (0, 5, 1))
CHAINED = Hint("", "", "", CHAIN, (0,) * 16, tuple((c, (3,)) for c in (0, 1, 4, 5, 6)), ((4, 3),),
               letters=((0, "A"), (1, "B"), (5, "C"), (6, "D")))  # fmt: skip
COLOURS = replace(CHAIN, technique="simple-colouring", cells=(0, 1), ties=(0,),
                  nodes=(((0,), 3), ((1,), 3)))  # fmt: skip
COLOURED = replace(CHAINED, step=COLOURS)
RESTS, FRAME, LETTERS = "the step rests on it", "loses what has a cross", "so called in the words"


@pytest.mark.parametrize(
    ("hint", "due"),
    [
        (PLACED, ["write it"]),
        (CROSSED, ["closes", "its reach", "closed to it", "write it"]),
        (HINT, ["write it", RESTS, FRAME]),
        (CHAINED, ["its reach", FRAME, "one of the two, no third", "not both", LETTERS]),
        (COLOURED, [FRAME, "one of the two, no third", LETTERS]),
    ],
)  # fmt: skip
def test_the_key_has_the_signs_of_its_section(hint: Hint, due: list[str]) -> None:
    """A reader looks up what is seen, and looks for what is told: neither without the other."""
    assert means(hint) == due


def test_the_key_tells_a_sign_of_several_hints_once_in_one_order() -> None:
    told = means(PLACED, HINT, COLOURED, CROSSED)
    assert len(told) == len({*told})
    assert told == means(COLOURED, CROSSED, HINT, PLACED)


def test_each_sign_is_a_picture_with_words_for_those_who_do_not_see_it() -> None:
    sheet = PageDesign(load("one-up"), "a4")
    used = signs([(hint, latin(4)) for hint in (CROSSED, HINT, CHAINED)])
    items = key(sheet, used, sheet.measure).draw(50, 700)
    figures = [item for item in items if isinstance(item, Figure)]
    texts = [item.text for item in items if isinstance(item, Text)]
    assert texts == [sign.means for sign in used]
    assert [figure.tag.alt for figure in figures] == [sign.look for sign in used]
    assert all(figure.items for figure in figures)
