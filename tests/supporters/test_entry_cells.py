"""Letters in cells: where they stand, and how well a code can be guessed.

Odds are counted by trying every way on small grids; how late a digit falls, by a plain simulation
of singles in the tests' own words.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packbuilder import cli, gate, manifest
from packbuilder.errors import Exit
from packbuilder.gate.entry_cells import LATE, codes, entry_cells
from packbuilder.grid import Geometry, Values, blocks, irregular, latin
from packbuilder.ladder.falls import falls
from packbuilder.ladder.table import DEFAULT
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED
from tests.readback.books import CROOKED, carve

WritePack = Callable[..., Path]
SMALL = [blocks(2, 2), latin(4), irregular(CROOKED), latin(5)]


def by_trying(geometry: Geometry, clues: Values, cells: tuple[int, ...]) -> int:
    """The ways to fill some cells so that no house has a digit twice: all of them are tried."""
    count = 0
    for digits in itertools.product(range(1, geometry.size + 1), repeat=len(cells)):
        grid = list(clues)
        for cell, digit in zip(cells, digits, strict=True):
            grid[cell] = digit
        seen = ([grid[c] for c in house.cells if grid[c]] for house in geometry.houses)
        count += all(len(some) == len(set(some)) for some in seen)
    return count


@pytest.mark.parametrize("geometry", SMALL, ids=lambda g: g.name())
@pytest.mark.parametrize("seed", range(4))
def test_odds_are_what_counting_gives(geometry: Geometry, seed: int) -> None:
    clues, _ = carve(geometry, seed, geometry.size + 2)
    empty = [cell for cell, clue in enumerate(clues) if not clue]
    for cells in itertools.islice(itertools.combinations(empty, 4), seed, None, 97):
        assert codes(geometry, clues, cells) == by_trying(geometry, clues, cells)


def singles_in_turn(geometry: Geometry, clues: Values, solution: Values) -> list[int]:
    """For each cell the round in which it falls to naked and hidden singles, all at once."""
    grid, found = list(clues), [0] * len(clues)
    for turn in itertools.count(1):
        may = {
            c: {d for d in range(1, geometry.size + 1)
                if all(grid[p] != d for p in geometry.peers[c])}
            for c, digit in enumerate(grid) if not digit
        }  # fmt: skip
        falls = {c for c, digits in may.items() if len(digits) == 1}
        for house in geometry.houses:
            for d in range(1, geometry.size + 1):
                places = [c for c in house.cells if d in may.get(c, ())]
                if len(places) == 1 and len(house.cells) == geometry.size:
                    falls |= set(places)
        if not falls:
            return found
        for cell in falls:
            grid[cell], found[cell] = solution[cell], turn
    raise AssertionError


@pytest.mark.parametrize("seed", range(5))
def test_rounds_of_singles_are_those_of_a_plain_simulation(seed: int) -> None:
    geometry = blocks(3, 3)
    clues, solution = carve(geometry, seed, 34)
    ladder = DEFAULT.only(
        [slug for slug in DEFAULT.slugs if "single" in slug or slug == "full-house"]
    )
    found, due = falls(geometry, clues, ladder), singles_in_turn(geometry, clues, solution)
    last = max(found)
    assert [0 if at == last and not was else at for at, was in zip(found, due, strict=True)] == due


@pytest.mark.parametrize("seed", range(4))
def test_of_the_last_third_the_cell_that_is_hardest_to_guess_has_the_letter(seed: int) -> None:
    geometry = blocks(3, 3)
    clues, _ = carve(geometry, seed, 26)
    fallen = falls(geometry, clues, DEFAULT)
    empty = sorted((c for c, clue in enumerate(clues) if not clue), key=lambda c: -fallen[c])
    least = fallen[empty[round(len(empty) / 3) - 1]]
    found = entry_cells(geometry, clues, 1, DEFAULT)
    assert found is not None
    assert fallen[found.cells[0]] >= least
    assert found.odds == max(codes(geometry, clues, [c]) for c in empty if fallen[c] >= least)


def test_of_cells_that_are_alike_those_that_are_read_first_have_the_letters() -> None:
    empty = (0,) * 16  # nothing falls, and every cell leaves a guesser as many ways
    for taken in ((), (0, 1)):
        found = entry_cells(latin(4), empty, 1, DEFAULT, taken)
        assert found is not None
        assert found.cells == (len(taken),)


@pytest.mark.parametrize("geometry", [blocks(3, 3), blocks(2, 3), latin(6)], ids=lambda g: g.name())
@pytest.mark.parametrize("seed", range(3))
def test_letters_stand_in_late_cells_that_are_no_clues(geometry: Geometry, seed: int) -> None:
    clues, _ = carve(geometry, seed, 3 * geometry.size)
    found = entry_cells(geometry, clues, 5, DEFAULT)
    assert found is not None
    assert len(set(found.cells)) == 5
    assert list(found.cells) == sorted(found.cells)
    assert all(not clues[cell] for cell in found.cells)
    fallen = falls(geometry, clues, DEFAULT)
    empty = sorted(fallen[c] for c, clue in enumerate(clues) if not clue)
    bound = empty[-max(5, round(LATE * len(empty)))]
    assert all(fallen[cell] >= bound for cell in found.cells)
    assert found.odds == codes(geometry, clues, found.cells)


def test_the_gate_tells_cells_and_odds(write_pack: WritePack, capsys: Any) -> None:
    folder = write_pack(
        f"- id: kettle\n  title: Kettle\n  entry: true\n  grid: {EXAMPLE}\n"
        "- id: cup\n  title: Cup\n  size: 4\n  grid: ..3. ..2. .4.. .2..\n",
        pack="entry: 7",
    )
    assert cli.run(["check", str(folder), "--json"]) == Exit.GOOD
    kettle, cup = json.loads(capsys.readouterr().out)["puzzles"]
    assert cli.run(["check", str(folder)]) == Exit.GOOD
    assert "send the pack out when entries have closed" in capsys.readouterr().out
    assert len(kettle["entry"]["cells"]) == 7
    assert kettle["entry"]["odds"] > 1000
    assert "entry" not in cup


def test_a_grid_too_small_for_letters_is_refused_and_a_guessable_one_told(
    write_pack: WritePack,
) -> None:
    small = "- id: cup\n  title: Cup\n  entry: true\n  size: 4\n  grid: ..3. ..2. .4.. .2..\n"
    (one,) = gate.check(manifest.load(write_pack(small, pack="entry: 4"))).checked
    assert [finding.code for finding in one.findings] == ["guessable"]
    full = "- id: cup\n  title: Cup\n  entry: true\n  size: 4\n  grid: 1234 3412 2143 4...\n"
    (one,) = gate.check(manifest.load(write_pack(full, pack="entry: 4"))).checked
    assert [finding.code for finding in one.findings] == ["no-entry"]


def test_letters_keep_off_the_sums_in_corners(write_pack: WritePack) -> None:
    """Every empty cell but six has a cage of its own, with its sum in the corner."""
    empty = [cell for cell, letter in enumerate(EXAMPLE) if letter == "."]
    free = empty[::9][:6]
    cages = [
        f"{{sum: {EXAMPLE_SOLVED[c]}, cells: r{c // 9 + 1}c{c % 9 + 1}}}"
        for c in empty if c not in free
    ]  # fmt: skip
    folder = write_pack(
        f"- id: kettle\n  title: Kettle\n  entry: true\n  grid: {EXAMPLE}\n"
        f"  rules:\n    - cages: [{', '.join(cages)}]\n"
    )
    (one,) = gate.check(manifest.load(folder)).checked
    assert one.entry is not None
    assert list(one.entry.cells) == free
