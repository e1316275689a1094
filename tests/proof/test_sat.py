"""The SAT proof's own promises: time limits and clashing clues."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.errors import Unfinished
from packbuilder.grid import Values, blocks, latin, parse_grid
from packbuilder.proof import kernel, sat
from tests.proof.geometries import MANY, random_clues, with_houses

NINE = blocks(3, 3)


def test_no_time_is_undecided_and_never_an_answer() -> None:
    verdict = sat.prove(NINE, (0,) * 81, time_limit=0)
    assert (verdict.solutions, verdict.first, verdict.second) == (None, None, None)


def test_time_that_runs_out_after_the_first_solution_is_undecided(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    clues = random_clues(NINE, 3, 0.7)
    assert sat.prove(NINE, clues).solutions == 1
    now = iter([0.0, 0.5, *[1.5] * 100])  # set the deadline, first question, then too late
    monkeypatch.setattr(sat.time, "monotonic", lambda: next(now))
    verdict = sat.prove(NINE, clues, time_limit=1)
    assert verdict.solutions is None
    assert verdict.first is not None


def test_an_interrupt_stops_a_solver_at_work() -> None:
    """Twelve pigeons and eleven holes keep resolution busy for long (Haken 1985; from memory)."""
    with sat.Prover(NINE) as prover:
        solver, first = prover._solver, 10_000  # the prover's own solver, with more to do
        holes = [[first + 11 * pigeon + hole for hole in range(11)] for pigeon in range(12)]
        for pigeon in holes:
            solver.add_clause(pigeon)
        for hole in zip(*holes, strict=True):
            for one, other in combinations(hole, 2):
                solver.add_clause([-one, -other])
        stop = f"import os, time; time.sleep(0.5); os.kill({os.getpid()}, {int(signal.SIGINT)})"
        with subprocess.Popen([sys.executable, "-c", stop]), pytest.raises(KeyboardInterrupt):
            prover.prove((0,) * 81)
    with pytest.raises(KeyboardInterrupt):  # and the next is heard
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(1)


def test_one_solver_serves_many_grids() -> None:
    with sat.Prover(NINE) as prover:
        for seed in range(30):
            clues = random_clues(NINE, seed, 0.4, wrong=seed % 2)
            for _ in range(2):  # a solution once found must not be missing the next time
                assert prover.prove(clues).solutions == kernel.prove(NINE, clues).solutions


def test_clues_that_do_not_fit_are_refused() -> None:
    for clues in ((0,) * 80, (10,) + (0,) * 80):
        with pytest.raises(ValueError, match="the clues do not fit a 9x9, blocks 3x3"):
            sat.prove(NINE, clues)


def test_a_clash_found_by_hand() -> None:
    # r1c4 sees 1, 2 and 3 in its row and 4 in its column; r4c1 is beside the matter.
    clues = parse_grid("123. ...4 .... 3...".replace(" ", ""), 4)
    assert sat.clash(latin(4), clues) == (0, 1, 2, 7)


def test_equal_clues_in_a_house_are_the_clash() -> None:
    clues = parse_grid("5.......5" + "." * 63 + "5........", 9)
    assert sat.clash(NINE, clues) == (0, 8)
    assert sat.clash(NINE, clues, time_limit=0) == (0, 8), "which takes no solver"


def assert_minimal_clash(clues: Values, cells: tuple[int, ...]) -> None:
    alone = tuple(digit if cell in cells else 0 for cell, digit in enumerate(clues))
    assert all(alone[cell] for cell in cells)
    assert kernel.prove(NINE, alone).solutions == 0
    for cell in cells:
        fewer = (*alone[:cell], 0, *alone[cell + 1 :])
        assert kernel.prove(NINE, fewer).solutions != 0


def clashing(seed: int, share: float) -> Values:
    """Clues without a solution, though no two of them are equal within a house."""
    clues = random_clues(NINE, seed, share)
    for cell, digit in enumerate(clues):
        seen = {clues[peer] for peer in NINE.peers[cell]}
        for other in {*range(1, 10)} - seen - {digit}:
            wrong = (*clues[:cell], other, *clues[cell + 1 :])
            if digit and kernel.prove(NINE, wrong).solutions == 0:
                return wrong
    raise AssertionError("no such grid; choose another seed or share")


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([0.4, 0.5, 0.6]))
def test_a_clash_contradicts_and_no_clue_of_it_can_be_spared(seed: int, share: float) -> None:
    clues = clashing(seed, share)
    cells = sat.clash(NINE, clues)
    assert len(cells) > 2
    assert_minimal_clash(clues, cells)
    assert sat.clash(NINE, clues) == cells


def test_restarts_find_smaller_clashes(monkeypatch: pytest.MonkeyPatch) -> None:
    grids = [clashing(seed, 0.4) for seed in range(12)]
    best = [len(sat.clash(NINE, clues)) for clues in grids]
    monkeypatch.setattr(sat, "RESTARTS", 1)
    once = [len(sat.clash(NINE, clues)) for clues in grids]
    assert all(a <= b for a, b in zip(best, once, strict=True))
    assert sum(best) < sum(once)


def test_no_clash_where_there_is_a_solution() -> None:
    with pytest.raises(ValueError, match="do not clash"):
        sat.clash(NINE, (0,) * 81)


def test_the_clash_is_empty_where_no_grid_fits_at_all() -> None:
    impossible = with_houses(latin(4), (0, 5, 10, 3, 12))
    assert sat.clash(impossible, (1,) + (0,) * 15) == ()


def test_no_time_for_a_clash_says_so() -> None:
    clues = parse_grid("123. ...4 .... ....".replace(" ", ""), 4)
    with pytest.raises(Unfinished, match="time limit"):
        sat.clash(latin(4), clues, time_limit=0)


@pytest.mark.parametrize("name", ["5x5-irregular", "12x12", "16x16"])
def test_other_sizes_with_a_time_limit(name: str) -> None:
    clues = random_clues(MANY[name], 1, 0.6)
    limited = sat.prove(MANY[name], clues, time_limit=60)
    assert limited.solutions == kernel.prove(MANY[name], clues).solutions
