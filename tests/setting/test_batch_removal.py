"""Removal side by side, judged by OR-Tools and by published counts."""

from __future__ import annotations

import time
from collections import defaultdict

import pytest

from packbuilder.errors import Unfinished
from packbuilder.grid import Geometry, blocks, irregular, latin
from packbuilder.kinship import fingerprint
from packbuilder.proof import kernel
from packbuilder.setting import removal
from packbuilder.setting.removal import remove
from packbuilder.symmetry import holds, orbits
from tests.setting.judge import solutions

JIGSAW = irregular("AABBB\nAACBB\nADCCE\nDDCEE\nDDCEE")
CASES = [
    (blocks(3, 3), "rotational"),
    (blocks(2, 3), "vertical"),
    (latin(5), "diagonal"),
    (JIGSAW, "none"),
]


@pytest.mark.parametrize(("geometry", "symmetry"), CASES)
def test_what_is_left_is_unique_symmetrical_and_has_no_orbit_to_spare(
    geometry: Geometry, symmetry: str
) -> None:
    for one in remove(geometry, orbits(symmetry, geometry.size), range(3), seed="five"):
        clues = one.clues()
        assert solutions(geometry, clues) == [one.start.solution]
        assert holds(symmetry, clues, geometry.size)
        for orbit in orbits(symmetry, geometry.size):
            if clues[orbit[0]]:
                fewer = tuple(0 if i in orbit else v for i, v in enumerate(clues))
                assert len(solutions(geometry, fewer)) == 2


def test_orbits_are_put_back_last_out_first_in() -> None:
    (one,) = remove(blocks(2, 3), orbits("rotational", 6), [1], seed="nought")
    bare, step, full = (one.clues(k) for k in (0, 1, len(one.taken)))
    assert {i for i in range(36) if step[i] and not bare[i]} == set(one.taken[-1])
    assert full == one.start.solution


def test_no_more_is_taken_than_the_fewest_clues_allow() -> None:
    removed = remove(blocks(3, 3), orbits("rotational", 9), range(8), seed="two", fewest=34)
    counts = [sum(v > 0 for v in one.clues()) for one in removed]
    assert set(counts) <= {34, 35}


def test_an_attempt_does_not_depend_on_its_batch() -> None:
    places = orbits("none", 6)
    batch = remove(blocks(2, 3), places, range(10), seed="three")
    assert remove(blocks(2, 3), places, [7], seed="three") == [batch[7]]
    assert remove(blocks(2, 3), places, [7], seed="four") != [batch[7]]


def test_a_batch_is_cut_short_where_solved_grids_are_slow_to_come_by(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    places = orbits("none", 6)
    whole = remove(blocks(2, 3), places, range(5), seed="three")
    monkeypatch.setattr(removal, "FILLING_SECONDS", -1.0)
    assert remove(blocks(2, 3), places, range(5), seed="three") == whole[:1]


def test_nothing_is_taken_after_the_deadline(monkeypatch: pytest.MonkeyPatch) -> None:
    full = kernel.random_solution(blocks(2, 3), 1)
    monkeypatch.setattr(kernel, "random_solution", lambda *_, **__: full)
    late = time.monotonic() - 1
    with pytest.raises(Unfinished, match="the time ran out while clues were taken away"):
        remove(blocks(2, 3), orbits("none", 6), [1], seed="three", deadline=late)


def test_all_minimal_grids_of_four_are_met() -> None:
    """Thirteen kinds of minimal 4x4 grid have 4 clues, 22 have 5, one has 6.

    Rosenhouse and Taalman, "Taking Sudoku Seriously" (2011), from memory.
    """
    kinds = defaultdict(set)
    for one in remove(blocks(2, 2), orbits("none", 4), range(2500), seed="nought"):
        kinds[sum(v > 0 for v in one.clues())].add(fingerprint(blocks(2, 2), one.clues()))
    assert {clues: len(found) for clues, found in kinds.items()} == {4: 13, 5: 22, 6: 1}
