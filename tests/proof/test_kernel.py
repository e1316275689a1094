"""The kernel's own promises: limits, many grids at once, random grids, first use."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from packbuilder.errors import InputError, Unfinished
from packbuilder.grid import blocks, irregular, latin
from packbuilder.proof import kernel
from tests.proof.geometries import MANY, random_clues, with_houses

NINE = blocks(3, 3)
EMPTY = (0,) * 81


def test_a_limit_that_runs_out_is_undecided_and_never_an_answer() -> None:
    verdict = kernel.prove(NINE, EMPTY, node_limit=3)
    assert verdict.solutions is None
    assert kernel.prove(NINE, EMPTY).solutions == 2
    counts, _ = kernel.prove_many(NINE, np.zeros((2, 81), np.uint8), node_limit=3)
    assert counts.tolist() == [-1, -1]


def test_one_solution_is_undecided_until_the_search_has_ended() -> None:
    # Every limit from none to enough: undecided, then the answer, and nothing else.
    clues = random_clues(NINE, 11, 0.32)
    full = kernel.prove(NINE, clues)
    assert full.nodes > 2
    for limit in range(full.nodes):
        assert kernel.prove(NINE, clues, node_limit=limit).solutions is None
    assert kernel.prove(NINE, clues, node_limit=full.nodes) == full


def test_equal_clues_in_a_house_have_no_solution() -> None:
    for cells in ((0, 8), (0, 72), (0, 10)):  # a row, a column, a block
        clues = tuple(5 if cell in cells else 0 for cell in range(81))
        assert kernel.prove(NINE, clues).solutions == 0


def test_many_grids_are_answered_as_one_by_one_and_in_order() -> None:
    grids = [random_clues(NINE, seed, 0.4, wrong=seed % 2) for seed in range(60)]
    stacked = np.array(grids, np.uint8)
    single = [kernel.prove(NINE, grid) for grid in grids]
    counts, solutions = kernel.prove_many(NINE, stacked)
    assert counts.dtype == np.int8
    assert counts.tolist() == [verdict.solutions for verdict in single]
    assert [tuple(row) if any(row) else None for row in solutions.tolist()] == [
        verdict.first for verdict in single
    ]


def test_threads_and_chunks_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    grids = np.array([random_clues(NINE, seed, 0.4) for seed in range(23)], np.uint8)
    expected = kernel.prove_many(NINE, grids, threads=1)
    monkeypatch.setattr(kernel, "CHUNK", 5)
    for threads in (1, 3):
        answers = kernel.prove_many(NINE, grids, threads=threads)
        assert all(np.array_equal(a, b) for a, b in zip(answers, expected, strict=True))


def test_no_grids_give_no_answers() -> None:
    counts, solutions = kernel.prove_many(NINE, np.zeros((0, 81), np.uint8))
    assert (counts.shape, solutions.shape) == ((0,), (0, 81))


def test_counting_and_listing_stop_at_their_limit() -> None:
    assert kernel.count(NINE, EMPTY, limit=1000) == 1000
    listed, complete = kernel.explore(NINE, EMPTY, limit=50)
    assert not complete
    assert len({tuple(row) for row in listed.tolist()}) == 50
    assert all(NINE.holds(tuple(row)) for row in listed.tolist())


def test_a_list_cut_short_by_the_node_limit_is_not_complete() -> None:
    four = blocks(2, 2)
    listed, complete = kernel.explore(four, (0,) * 16, limit=1000, node_limit=20)
    assert not complete
    assert 0 < len(listed) < 288
    assert kernel.explore(four, (0,) * 16, limit=1000)[1]


@pytest.mark.parametrize("name", MANY)
def test_random_grids_hold_and_come_back_for_the_same_seed(name: str) -> None:
    grids = [kernel.random_solution(MANY[name], seed) for seed in (1, 2, -3, 2**70)]
    assert all(MANY[name].holds(grid) for grid in grids)
    assert len(set(grids)) == 4
    assert grids == [kernel.random_solution(MANY[name], seed) for seed in (1, 2, -3, 2**70)]


def test_random_grids_vary_in_every_cell() -> None:
    grids = np.array([kernel.random_solution(NINE, seed) for seed in range(200)])
    assert all(len(set(column)) == 9 for column in grids.T.tolist())


def test_no_random_grid_where_none_fits() -> None:
    with pytest.raises(InputError, match="no full grid fits these regions"):
        kernel.random_solution(with_houses(latin(4), (0, 5, 10, 3, 12)), 1)


CROOKED = irregular(
    "DBDABFEHG\nDIHFACBCE\nEBEIFDHBH\nBADAGHGHF\nFEHCIGABF\nABCGAHDII\nFDCACCGDE\nBFEHGIEIA\n"
    "DIGIFCCGE"
)
"""Regions strewn over the grid: no full grid was found in minutes, and none was ruled out."""


def test_a_search_without_end_is_left_at_the_deadline(monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[int] = []
    real = kernel._run

    def counted(*args: Any, **options: Any) -> Any:
        tried.append(args[3])
        return real(*args, **options)

    monkeypatch.setattr(kernel, "_run", counted)
    with pytest.raises(Unfinished, match="no full grid of these regions was found"):
        kernel.random_solution(CROOKED, 1, deadline=time.monotonic() + 0.2)
    # No try may take more branches than a slow machine makes in the time that is left.
    assert max(tried) <= kernel._FIRST_TRY + 0.2 * kernel._PACE


def test_a_deadline_never_changes_the_grid() -> None:
    for seed in range(5):
        free = kernel.random_solution(MANY["9x9-irregular"], seed)
        assert (
            kernel.random_solution(MANY["9x9-irregular"], seed, deadline=time.monotonic() + 5)
            == free
        )


def test_a_deadline_that_has_passed_tries_nothing() -> None:
    with pytest.raises(Unfinished):
        kernel.random_solution(NINE, 1, deadline=time.monotonic() - 1)


@pytest.mark.parametrize(
    ("clues", "said"),
    [
        ((0,) * 80, "80 cells; a 9x9, blocks 3x3 has 81"),
        ((10,) + (0,) * 80, "a clue is outside 0 to 9"),
        ((-1,) + (0,) * 80, "a clue is outside 0 to 9"),
    ],
)
def test_clues_that_do_not_fit_are_refused(clues: tuple[int, ...], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        kernel.prove(NINE, clues)


def test_a_house_named_twice_changes_nothing() -> None:
    doubled = replace(NINE, houses=NINE.houses + NINE.houses)
    for seed in range(20):
        clues = random_clues(NINE, seed, 0.38)
        assert kernel.prove(doubled, clues).solutions == kernel.prove(NINE, clues).solutions
