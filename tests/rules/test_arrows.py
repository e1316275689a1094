"""Arrows: deductions and faults by hand. What all lines are held to: `test_lines_alike`."""

from __future__ import annotations

import jsonschema
import pytest
from sympy.utilities.iterables import partitions

from packbuilder.rules.contract import Sight
from tests.rules.random_lines import KINDS, grid_of, refusal, told

KIND = KINDS["arrows"]


def arrow(circle: str, shaft: str) -> list[dict[str, str]]:
    return [{"circle": circle, "shaft": shaft}]


def test_the_shaft_gives_the_circle():
    found = told("arrows", arrow("r1c1", "r2c2 r3c3"), given={"r2c2": "3", "r3c3": "4"})
    assert found[0] == (
        "arrow-total",
        "r1c1 12345689",
        "The shaft of the arrow from r1c1 adds up to 3 + 4, so r1c1 is 7.",
    )


def test_the_circle_gives_the_last_of_the_shaft():
    held = {"r1c1": "9", "r1c2": "3", "r2c3": "4"}
    found = told("arrows", arrow("r1c1", "r1c2 r2c3 r3c4"), given=held)
    assert found[0] == (
        "arrow-total",
        "r3c4 13456789",
        "The circle r1c1 is 9, and the other digits of its shaft make 3 + 4 = 7, so r3c4 is 2.",
    )
    found = told("arrows", arrow("r1c1", "r1c2 r2c3"), given={"r1c1": "C", "r1c2": "A"}, size=12)
    assert found[0][2] == (
        "The circle r1c1 is C, and the other digits of its shaft make A, so r2c3 is 2."
    )


def test_a_shaft_of_one_cell_equals_its_circle():
    assert told("arrows", arrow("r3c3", "r4c4"), given={"r3c3": "7"})[0][::2] == (
        "arrow-total",
        "The circle r3c3 is 7 and r4c4 is its whole shaft, so r4c4 is 7.",
    )
    assert told("arrows", arrow("r3c3", "r4c4"), given={"r4c4": "7"})[0][::2] == (
        "arrow-total",
        "The circle r3c3 equals the one cell of its shaft, so r3c3 is 7.",
    )
    assert [t[::2] for t in told("arrows", arrow("r3c3", "r4c4"), given={"r3c3": "24"})] == [
        (
            "arrow-bounds",
            "The circle r3c3 is at most 4, and r4c4 is its whole shaft: at most 4 too.",
        ),
        (
            "arrow-bounds",
            "The circle r3c3 is at least 2, and r4c4 is its whole shaft: at least 2 too.",
        ),
        (
            "arrow-combinations",
            "The circle r3c3 equals r4c4, its whole shaft. That takes 1, 3, 5, 6, 7, 8 and 9 out "
            "of r4c4.",
        ),
    ]


def test_three_cells_of_a_row_add_up_to_six_at_least():
    # 1 + 2 + 3 = 6; and each leaves at least 1 + 2 to the others, so it is at most 9 - 3.
    found = told("arrows", arrow("r1c1", "r1c2 r1c3 r1c4"))
    assert found[:2] == [
        (
            "arrow-bounds",
            "r1c1 12345",
            "On the arrow, r1c2, r1c3 and r1c4 add up to at least 6, so the circle r1c1 is at "
            "least 6.",
        ),
        (
            "arrow-bounds",
            "r1c2 789, r1c3 789, r1c4 789",
            "The circle r1c1 is at most 9. Leave out any one of r1c2, r1c3 and r1c4, and its shaft "
            "makes at least 3: so each of the three is at most 6.",
        ),
    ]


def test_bounds_from_below():
    # The circle is 8 or 9; r2c2 is at most 3, so r3c3 is at least 5.
    found = told("arrows", arrow("r1c1", "r2c2 r3c3"), given={"r1c1": "89", "r2c2": "123"})
    assert (
        "arrow-bounds",
        "r3c3 1234",
        "The circle r1c1 is at least 8, and without r3c3 its shaft makes at most 3, so r3c3 is at "
        "least 5.",
    ) in found


def test_the_sums_that_are_left():
    # 3 + 4 leaves 2; 3 + 5 leaves 1; 4 + 4 leaves 1, but r1c2 and r1c3 share row 1; 4 + 5 nothing.
    held = {"r1c1": "9", "r1c2": "34", "r1c3": "45"}
    found = told("arrows", arrow("r1c1", "r1c2 r1c3 r2c4"), given=held)
    assert found[-1] == (
        "arrow-combinations",
        "r1c2 4, r2c4 3456789",
        "As its cells stand, the arrow from r1c1 can only be 1 + 3 + 5 = 9 or 2 + 3 + 4 = 9. That "
        "takes 4 out of r1c2; and 3, 4, 5, 6, 7, 8 and 9 out of r2c4.",
    )


@pytest.mark.parametrize("total", range(1, 10))
@pytest.mark.parametrize("cells", [2, 3])
def test_digits_of_a_shaft_against_integer_partitions(total, cells):
    """With a known circle and free cells: the parts of its partitions, by sympy."""
    wanted = {part for p in partitions(total, m=cells) if sum(p.values()) == cells for part in p}
    shaft = {2: "r4c4 r3c3", 3: "r4c4 r3c3 r2c4"}[cells]
    part = KIND.read(arrow("r4c3", shaft), grid_of(9))[0]
    masks = [511] * 81
    masks[part.cells[0]] = 1 << (total - 1)
    possible = part.prune(masks, 9)
    assert possible == bool(wanted)
    if possible:
        union = 0
        for cell in part.cells[1:]:
            union |= masks[cell]
        assert {d for d in range(1, 10) if union >> (d - 1) & 1} == wanted


def test_all_that_one_arrow_says_is_deduced():
    """Where no two cells of a shaft share a house, deductions leave just what `prune` leaves."""
    geometry = grid_of(9)
    part = KIND.read(arrow("r2c3", "r3c4 r4c3"), geometry)[0]
    masks = [511] * 81
    masks[part.cells[0]], masks[part.cells[1]] = 0b10010100, 0b1101100
    pruned = list(masks)
    assert part.prune(pruned, 9)
    # r2c3 and r4c3 share a column, which `prune` does not know; they never hold one digit here.
    for found in part.deduce(Sight(geometry, tuple(masks))):
        for cell, digit in found.removes:
            masks[cell] &= ~(1 << (digit - 1))
    assert masks == pruned != [511] * 81


@pytest.mark.parametrize(
    ("value", "sentence", "path"),
    [
        (
            arrow("r1c1", "r1c2 r1c3 r1c4 r1c5"),
            "the shaft's 4 cells add up to 10 or more, and no digit goes past 9; make the shaft "
            "shorter",
            (0,),
        ),
        (
            arrow("r1c1", "r1c2"),
            "the shaft is r1c2 alone, which can never equal the circle r1c1, for the two share a "
            "house; make the shaft longer",
            (0,),
        ),
        (
            arrow("r1c1", "r1c2 r1c1"),
            "r1c1 is the circle and lies on the shaft too; let the shaft begin with the cell after "
            "the circle",
            (0, "shaft"),
        ),
        (
            arrow("r1c1", "r1c3 r1c4"),
            "r1c1 and r1c3 do not touch; name the cells of a line in order, each beside or "
            "diagonally beside the last",
            (0, "shaft"),
        ),
        (
            arrow("r1c1 r1c2", "r1c3"),
            "'r1c1 r1c2' names 2 cells; write one, such as r1c1",
            (0, "circle"),
        ),
        (
            arrow("r0c1", "r1c3"),
            "r0c1 lies outside a 9x9 grid; rows and columns go from 1 to 9",
            (0, "circle"),
        ),
        (
            [{"circle": "r1c1"}],
            "'shaft' is missing; write it like {circle: r1c1, shaft: \"r1c2 r1c3\"}",
            (0,),
        ),
        (
            [{"circle": "r1c1", "shafts": "r1c2 r1c3"}],
            "unknown key 'shafts'; did you mean 'shaft'?",
            (0, "shafts"),
        ),
        (
            ["r1c1 r1c2"],
            "'r1c1 r1c2' stands where circle and shaft belong; write it like {circle: r1c1, shaft: "
            '"r1c2 r1c3"}',
            (0,),
        ),
        (
            arrow("r1c1", "r1c2 r1c3") * 2,
            "this is number 1 again; leave one of the two out",
            (1,),
        ),
        (
            [],
            'the list is empty; write it like [{circle: r1c1, shaft: "r1c2 r1c3"}]',
            (),
        ),
    ],
)
def test_faults(value, sentence, path):
    assert refusal("arrows", value) == (sentence, path)


def test_a_circle_may_be_shared_and_the_schema_knows_the_keys():
    value = arrow("r2c2", "r1c1 r1c2") + arrow("r2c2", "r3c3 r3c2")
    assert len(KIND.read(value, grid_of(9))) == 2
    jsonschema.validate(value, KIND.schema())
    for wrong in ([{"circle": "r1c1"}], [{"circle": "r1c1", "shaft": "r1c2", "head": "r1c3"}]):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(wrong, KIND.schema())
