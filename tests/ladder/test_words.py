"""The words of a step, whole sentences as they are printed, and the step as JSON."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from packbuilder.grid import Geometry, parse_cell
from packbuilder.ladder.english import labels
from packbuilder.ladder.path import walk
from packbuilder.ladder.step import Step
from packbuilder.ladder.table import ASSUMING_UNIQUE, TABLE, as_json
from packbuilder.ladder.telling import path_json
from packbuilder.ladder.words import step_json, tell
from tests.ladder import grids
from tests.ladder.positions import GEOMETRIES

CLASSIC = grids.CLASSIC


def step(
    technique: str,
    cells: str,
    digits: str,
    houses: str = "",
    places: str = "",
    removes: str = "",
    *,
    geometry: Geometry = CLASSIC,
    rung: int = 0,
) -> Step:
    """A step from text: cells ``r1c1 r1c2``, houses ``row 1, block 2``, pairs ``r1c1=5``."""
    size = geometry.size

    def pairs(text: str) -> tuple[tuple[int, int], ...]:
        return tuple(
            (parse_cell(cell, size), int(digit))
            for cell, digit in (pair.split("=") for pair in text.split())
        )

    labels = [house.label for house in geometry.houses]
    return Step(
        technique,
        rung or next(t.rung for t in TABLE if t.slug == technique),
        pairs(places),
        pairs(removes),
        tuple(parse_cell(cell, size) for cell in cells.split()),
        tuple(int(d) for d in digits.split()),
        tuple(labels.index(label.strip()) for label in houses.split(",") if label),
    )


SAID = [
    (
        step(
            "x-wing",
            "r2c3 r2c8 r7c3 r7c8",
            "5",
            "row 2, row 7, column 3, column 8",
            removes="r1c3=5 r9c8=5",
        ),
        "In rows 2 and 7, the 5s are held to columns 3 and 8, one in each, so no other cell of "
        "columns 3 and 8 can be 5. That takes 5 out of r1c3 and r9c8.",
    ),
    (
        step(
            "finned-x-wing",
            "r2c3 r2c8 r2c9 r7c3 r7c8",
            "5",
            "row 2, row 7, column 3, column 8",
            removes="r1c8=5",
        ),
        "In rows 2 and 7, the 5s are held to columns 3 and 8, but for r2c9. If r2c9 is 5, r1c8 "
        "cannot be, as it sees r2c9; if not, the 5s of rows 2 and 7 take columns 3 and 8, so no "
        "other cell of those columns can be 5. That takes 5 out of r1c8.",
    ),
    (
        step(
            "finned-x-wing",
            "r2c3 r2c8 r2c7 r2c9 r7c3 r7c8",
            "5",
            "row 2, row 7, column 3, column 8",
            removes="r1c8=5 r3c8=5",
        ),
        "In rows 2 and 7, the 5s are held to columns 3 and 8, but for r2c7 and r2c9. If r2c7 or "
        "r2c9 is 5, neither r1c8 nor r3c8 can be, as both see r2c7 and r2c9; if neither is, the "
        "5s of rows 2 and 7 take columns 3 and 8, so no other cell of those columns can be 5. "
        "That takes 5 out of r1c8 and r3c8.",
    ),
    (
        step(
            "finned-swordfish",
            "r2c1 r2c4 r2c7 r4c1 r4c4 r7c7 r7c8 r8c8 r8c9",
            "5",
            "row 2, row 4, row 7, row 8, column 1, column 4, column 7",
            removes="r9c7=5 r9c1=5 r9c4=5",
        ),
        "In rows 2, 4, 7 and 8, the 5s are held to columns 1, 4 and 7, but for r7c8, r8c8 and "
        "r8c9. If r7c8, r8c8 or r8c9 is 5, none of r9c1, r9c4 and r9c7 can be, as they all see "
        "r7c8, r8c8 and r8c9; if none is, the 5s of rows 2, 4, 7 and 8 take columns 1, 4 and 7, "
        "so no other cell of those columns can be 5. That takes 5 out of r9c1, r9c4 and r9c7.",
    ),
    (
        step("skyscraper", "r2c7 r2c3 r8c3 r8c8", "5", "row 2, row 8, column 3", removes="r1c8=5"),
        "In row 2, the 5s are held to r2c7 and r2c3; in row 8, to r8c3 and r8c8. r2c3 and r8c3 "
        "share column 3 and cannot both be 5, so one of r2c7 and r8c8 is 5. That takes 5 out of "
        "r1c8.",
    ),
    (
        step("xy-wing", "r1c1 r1c7 r5c1", "1 2 3", removes="r5c7=3"),
        "r1c1 is 1 or 2. If it is 1, r1c7 is 3; if it is 2, r5c1 is 3. Either way one of r1c7 and "
        "r5c1 is 3. That takes 3 out of r5c7.",
    ),
    (
        step("xyz-wing", "r2c2 r2c8 r1c1", "1 2 3", removes="r2c1=3"),
        "r2c2 is 1, 2 or 3. If it is 1, r2c8 is 3; if it is 2, r1c1 is 3. So one of r2c2, r2c8 "
        "and r1c1 is 3. That takes 3 out of r2c1.",
    ),
    (
        step("w-wing", "r1c1 r5c1 r5c9 r9c9", "7 2", "row 5", removes="r1c9=2"),
        "r1c1 and r9c9 can each be only 2 or 7. In row 5, the 7s are held to r5c1, which r1c1 "
        "sees, and r5c9, which r9c9 sees; so one of r1c1 and r9c9 is not 7 but 2. That takes 2 out "
        "of r1c9.",
    ),
    (
        step("full-house", "r1c9", "4", "row 1", "r1c9=4"),
        "r1c9 is the last empty cell of row 1, so it is 4.",
    ),
    (
        step("hidden-single", "r1c7", "5", "block 3", "r1c7=5"),
        "In block 3, 5 fits only in r1c7.",
    ),
    (
        step("naked-single", "r5c5", "7", "", "r5c5=7"),
        "r5c5 can only be 7: every other digit is ruled out there.",
    ),
    (
        step("pointing", "r2c7 r2c9", "5", "block 3, row 2", removes="r2c1=5 r2c4=5"),
        "In block 3, the 5s are held to row 2, so no other cell of row 2 can be 5. "
        "That takes 5 out of r2c1 and r2c4.",
    ),
    (
        step("claiming", "r5c1 r5c2", "2", "row 5, block 4", removes="r4c1=2"),
        "In row 5, the 2s are held to block 4, so no other cell of block 4 can be 2. "
        "That takes 2 out of r4c1.",
    ),
    (
        step("locked-pair", "r1c1 r1c2", "1 2", "row 1, block 1", removes="r1c9=1 r1c9=2 r2c2=1"),
        "r1c1 and r1c2 hold 1 and 2 between them. They lie in row 1 and block 1, so no other cell "
        "of either can be 1 or 2. That takes 1 and 2 out of r1c9; and 1 out of r2c2.",
    ),
    (
        step("naked-triple", "r4c1 r4c5 r4c9", "1 2 3", "row 4", removes="r4c2=3"),
        "In row 4, r4c1, r4c5 and r4c9 hold 1, 2 and 3 between them, so no other cell of row 4 "
        "can be 1, 2 or 3. That takes 3 out of r4c2.",
    ),
    (
        step("hidden-pair", "r1c1 r5c1", "6 8", "column 1", removes="r1c1=2 r5c1=2 r1c1=3"),
        "In column 1, 6 and 8 fit only in r1c1 and r5c1, so those two cells can be nothing else. "
        "That takes 2 and 3 out of r1c1; and 2 out of r5c1.",
    ),
    (
        step("hidden-triple", "r1c1 r5c1 r9c1", "6 7 8", "column 1", removes="r1c1=2"),
        "In column 1, 6, 7 and 8 fit only in r1c1, r5c1 and r9c1, so those three cells can be "
        "nothing else. That takes 2 out of r1c1.",
    ),
]


POINTING = next(said for said in SAID if said[0].technique == "pointing")


@pytest.mark.parametrize(("told", "expected"), SAID)
def test_what_is_said(told: Step, expected: str) -> None:
    assert tell(told, CLASSIC) == expected


def chain(*nodes: tuple[str, int], ties: str, technique: str, removes: str) -> Step:
    """A chain from text; its ties are houses, with a dash for one within a cell."""
    told = step(technique, "", "6", removes=removes)
    labels = ["-", *(house.label for house in CLASSIC.houses)]
    named = tuple((tuple(parse_cell(c, 9) for c in cells.split()), d) for cells, d in nodes)
    houses = tuple(labels.index(label) - 1 for label in ties.split(", "))
    return replace(told, nodes=named, ties=houses)


def test_what_is_said_of_chains_and_colours() -> None:
    xy = chain(("r1c1", 1), ("r1c1", 2), ("r1c5", 2), ("r1c5", 3), ("r6c5", 3), ("r6c5", 1),
               ties="-, row 1, -, column 5, -", technique="xy-chain", removes="r6c1=1")  # fmt: skip
    assert tell(xy, CLASSIC) == (
        "If r1c1 (1 or 2) is not 1, it is 2; then in row 1 r1c5 (2 or 3) is 3 and in column 5 r6c5 "
        "(1 or 3) is 1. In any case 1 is in r1c1 or r6c5. That takes 1 out of r6c1."
    )
    grouped = chain(("r1c1", 5), ("r1c7 r1c8", 5), ("r3c9", 5), ("r3c9", 4), ("r3c4 r3c5", 4),
                    ("r3c2", 4), ties="row 1, block 3, -, row 3, row 3", technique="chain",
                    removes="r3c2=5")  # fmt: skip
    assert tell(grouped, CLASSIC) == (
        "If r1c1 is not 5, then in row 1 the 5 is in r1c7 or r1c8; so in block 3 r3c9 is not 5 but "
        "4 (r3c9 has only 4 and 5); so in row 3 neither of r3c4 and r3c5 is 4, and in row 3 the 4 "
        "is in r3c2. In any case r1c1 is 5 or r3c2 is 4. That takes 5 out of r3c2."
    )
    back = chain(("r1c1", 5), ("r9c1", 5), ("r9c9", 5), ("r1c1", 5), technique="chain",
                 ties="column 1, row 9, -", removes="r1c1=3")  # fmt: skip
    assert tell(back, CLASSIC) == (
        "If r1c1 is not 5, then in column 1 the 5 is in r9c1; so in row 9 r9c9 is not 5, and the 5 "
        "is in r1c1. So r1c1 is 5 after all. That takes 3 out of r1c1."
    )
    within = chain(("r2c4", 1), ("r2c6", 1), ("r2c6", 5), ("r2c4", 5), technique="chain",
                   ties="row 2, -, row 2", removes="r2c4=6")  # fmt: skip
    assert tell(within, CLASSIC) == (
        "If r2c4 is not 1, then in row 2 the 1 is in r2c6; so r2c6 is not 5, and in row 2 the 5 is "
        "in r2c4. In any case r2c4 is 1 or 5. That takes 6 out of r2c4."
    )
    trap = chain(("r1c1 r9c3", 6), ("r1c9", 6), technique="simple-colouring", removes="r9c9=6",
                 ties="row 1, row 9, column 9")  # fmt: skip
    assert tell(trap, CLASSIC) == (
        "In rows 1 and 9, and column 9, the 6s have only two places each; so either r1c1 and r9c3 "
        "both are 6, or r1c9 is. r9c9 sees r9c3 and r1c9, so it cannot be 6. That takes 6 out of "
        "r9c9."
    )
    two = replace(trap, removes=((2, 6), (80, 6)))
    assert "r1c3 sees r1c1 and r1c9; and r9c9 sees r9c3 and r1c9, so neither can" in tell(
        two, CLASSIC
    )
    wrap = chain(("r1c1 r6c3 r6c5", 6), ("r1c5 r4c1", 6), technique="simple-colouring",
                 ties="row 1, row 6", removes="r1c1=6 r6c3=6 r6c5=6")  # fmt: skip
    assert tell(wrap, CLASSIC) == (
        "In rows 1 and 6, the 6s have only two places each; so either r1c1, r6c3 and r6c5 all are "
        "6, or r1c5 and r4c1 both are. But r6c3 and r6c5 share row 6 and cannot both be 6; so the "
        "6s are in r1c5 and r4c1. That takes 6 out of r1c1, r6c3 and r6c5."
    )


def test_a_region_is_called_by_its_first_cell() -> None:
    geometry = GEOMETRIES["irregular 6"]
    told = step("hidden-single", "r1c1", "6", "region A", "r1c1=6", geometry=geometry)
    assert tell(told, geometry) == "In the region of r1c1, 6 fits only in r1c1."
    regions = [h for h, house in enumerate(geometry.houses) if house.kind == "region"]
    assert labels(regions[:2], geometry) == "the regions of r1c1 and r1c4"
    assert labels([0, regions[3]], geometry) == "row 1 and the region of r2c6"


def test_digits_past_nine_are_letters() -> None:
    geometry = grids.blocks(3, 4)
    told = step("pointing", "r1c1 r1c2", "11", "block 1, row 1", removes="r1c9=11",
                geometry=geometry)  # fmt: skip
    assert tell(told, geometry) == (
        "In block 1, the B's are held to row 1, so no other cell of row 1 can be B. "
        "That takes B out of r1c9."
    )


def test_every_step_of_every_path_can_be_told() -> None:
    for geometry, clues in grids.everything():
        for taken in walk(geometry, clues).steps:
            words = tell(taken, geometry)
            assert re.fullmatch(r"[A-Zr][^{}_]*\.", words) and "  " not in words


def test_a_step_as_json() -> None:
    assert step_json(POINTING[0], CLASSIC) == {
        "technique": "pointing",
        "rung": 3,
        "places": [],
        "removes": [["r2c1", 5], ["r2c4", 5]],
        "because": {"cells": ["r2c7", "r2c9"], "digits": [5], "houses": ["block 3", "row 2"]},
        "words": POINTING[1],
    }


def test_a_path_as_json() -> None:
    path = walk(CLASSIC, grids.lines(grids.BY_GRADE[2])[0])
    told = path_json(path)
    assert told["grid"] == grids.BY_GRADE[2].split()[0]
    assert (told["solved"], told["grade"], told["hardest"]) == (True, 2, path.hardest)
    assert len(told["steps"]) == len(path.steps)


def test_the_table_is_in_order_and_fit_for_print() -> None:
    for rows in (TABLE, ASSUMING_UNIQUE.techniques):
        weights = [row.weight for row in sorted(rows, key=lambda row: (row.rung, row.weight))]
        assert weights == sorted(set(weights)) and all(w == int(w) for w in weights)
    assert list(TABLE) == sorted(TABLE, key=lambda row: row.weight)
    for row in TABLE:
        assert row.slug == re.sub(r"[^a-z]+", "-", row.name.lower())
        assert row.about.endswith(".") and row.idea.endswith(".")
        assert bool(row.find) != bool(row.sight)
    assert [row["slug"] for row in as_json()] == [row.slug for row in TABLE]
