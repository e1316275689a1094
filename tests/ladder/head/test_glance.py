"""Rules at a glance: what is closed by hand, and sound for every rule there is."""

from __future__ import annotations

import textwrap

import pytest

from packbuilder.grid import latin
from packbuilder.ladder.head.glance import closed, exclusions
from packbuilder.ladder.head.load import first_failure, no_notes
from packbuilder.ladder.head.solve import tell
from packbuilder.manifest import load_entries
from packbuilder.proof import sat
from packbuilder.rules import kinds
from packbuilder.rules.contract import Part


def part(slug: str, value: object, size: int = 9) -> Part:
    return kinds()[slug].read(value, latin(size))[0]


def left(one: Part, size: int = 9, **values: int) -> dict[str, set[int]]:
    """What a part leaves of its empty cells, by what is closed at a glance."""
    now = [0] * size * size
    for name, digit in values.items():
        row, column = (int(name[1]), int(name[3]))
        now[(row - 1) * size + column - 1] = digit
    gone = set(closed(one, now, size))
    gone |= {
        other
        for a, b in exclusions(one, size)
        for mine, other in ((a, b), (b, a))
        if now[mine[0]] == mine[1]
    }
    return {
        f"r{cell // size + 1}c{cell % size + 1}": {
            d for d in range(1, size + 1) if (cell, d) not in gone
        }
        for cell in one.cells
        if not now[cell]
    }


def test_a_thermometers_bounds() -> None:
    """From the bulb, each digit is greater: of nine digits the first of four is at most 6."""
    rising = part("thermometers", ["r1c1 r1c2 r1c3 r1c4"])
    assert left(rising) == {
        "r1c1": {1, 2, 3, 4, 5, 6},
        "r1c2": {2, 3, 4, 5, 6, 7},
        "r1c3": {3, 4, 5, 6, 7, 8},
        "r1c4": {4, 5, 6, 7, 8, 9},
    }
    assert left(rising, r1c2=5) == {
        "r1c1": {1, 2, 3, 4},
        "r1c3": {6, 7, 8},
        "r1c4": {7, 8, 9},
    }


def test_a_cage_with_one_combination_and_its_last_cell() -> None:
    """3 in two cells is 1 and 2; 24 in three is 7, 8 and 9; 10 in two has four ways."""
    whole = set(range(1, 10))
    two = part("cages", [{"sum": "3", "cells": "r1c1 r1c2"}])
    assert left(two) == {"r1c1": {1, 2}, "r1c2": {1, 2}}
    three = part("cages", [{"sum": "24", "cells": "r1c1 r1c2 r1c3"}])
    assert all(some == {7, 8, 9} for some in left(three).values())
    ways = part("cages", [{"sum": "10", "cells": "r1c1 r1c2"}])
    assert left(ways) == {"r1c1": whole, "r1c2": whole}
    assert left(ways, r1c1=4) == {"r1c2": {6}}
    # Four cells with one combination, or two open ones of three, take more than a glance.
    four = part("cages", [{"sum": "10", "cells": "r1c1 r1c2 r1c3 r1c4"}])
    assert all(some == whole for some in left(four).values())
    assert left(four, r1c1=1, r1c2=4, r1c3=2) == {"r1c4": {3}}


def test_signs_between_two_cells() -> None:
    """Beside a black dot one is twice the other; beside an X the two make ten."""
    black = part("dots", {"black": ["r1c1 r1c2"]})
    assert left(black) == {"r1c1": {1, 2, 3, 4, 6, 8}, "r1c2": {1, 2, 3, 4, 6, 8}}
    assert left(black, r1c1=4) == {"r1c2": {2, 8}}
    assert left(part("xv", {"x": ["r1c1 r1c2"]}), r1c1=3) == {"r1c2": {7}}
    same = part("palindromes", ["r1c1 r2c2 r3c3 r4c2"])
    assert left(same, r2c2=3)["r3c3"] == {3}


@pytest.mark.parametrize("slug", kinds())
def test_each_rules_example_is_decided_and_soundly(slug: str) -> None:
    (puzzle,) = load_entries(textwrap.dedent(kinds()[slug].example))
    solution = sat.prove(puzzle.geometry, puzzle.clues, puzzle.rules).first
    assert solution
    answer = no_notes(puzzle.geometry, puzzle.clues, puzzle.rules)
    assert answer.solved is not None or slug == "renban"  # where a limit runs out, and says so
    assert all(v in (0, right) for v, right in zip(answer.values, solution, strict=True))
    for one in tell(puzzle.geometry, puzzle.clues, puzzle.rules):
        assert all(solution[cell] == digit for cell, digit in one.step.places)
        assert all(solution[cell] != digit for cell, digit in one.step.removes)
    if answer.solved:
        assert answer.marks is not None
        found = first_failure(puzzle.geometry, puzzle.clues, answer.marks, puzzle.rules)
        assert found is None
    elif answer.solved is False:
        failure = first_failure(puzzle.geometry, puzzle.clues, 3, puzzle.rules)
        assert failure and failure.code == "notes-needed"
