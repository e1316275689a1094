"""New grids hold what was asked for; OR-Tools and the ladder say so, not the setter."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from packbuilder.errors import InputError, PackbuilderError, Unfinished
from packbuilder.grid import Geometry, blocks, format_grid, irregular, latin
from packbuilder.kinship import fingerprint
from packbuilder.ladder import promises
from packbuilder.ladder.path import walk
from packbuilder.ladder.rungs import RUNGS
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import kernel
from packbuilder.proof.certify import Proof
from packbuilder.proof.verdict import Verdict
from packbuilder.puzzle import BEYOND
from packbuilder.setting import new_grid
from packbuilder.setting.new_grid import NewGrid
from packbuilder.setting.search import set_grids
from packbuilder.symmetry import holds
from tests.setting.judge import solutions

CROOKED = irregular(
    "DBDABFEHG\nDIHFACBCE\nEBEIFDHBH\nBADAGHGHF\nFEHCIGABF\nABCGAHDII\nFDCACCGDE\nBFEHGIEIA\n"
    "DIGIFCCGE"
)
JIGSAW = irregular("AABBB\nAACBB\nADCCE\nDDCEE\nDDCEE")


def some(geometry: Geometry, **request: Any) -> list[NewGrid]:
    return list(set_grids(geometry, **{"count": 2, "seed": 1, **request}))


def until_unfinished(grids: Iterator[NewGrid]) -> tuple[list[NewGrid], str]:
    found = []
    with pytest.raises(Unfinished) as ended:
        for grid in grids:
            found.append(grid)
    return found, str(ended.value)


REQUESTS = [
    (blocks(3, 3), 1, "rotational", (30, 36)),
    (blocks(3, 3), 2, "full", (28, 36)),
    (blocks(3, 3), 3, "diagonal", (24, 30)),
    (blocks(3, 3), 4, "none", (22, 28)),
    (blocks(2, 3), 1, "horizontal", (12, 18)),
    (blocks(2, 2), 1, "rotational", (4, 8)),
    (blocks(2, 4), 2, "both-axes", (16, 32)),
    (latin(5), 2, "quarter-turn", (5, 13)),
    (JIGSAW, 2, "none", (5, 10)),
]


@pytest.mark.parametrize(("geometry", "grade", "symmetry", "clues"), REQUESTS)
def test_every_request_is_met(
    geometry: Geometry, grade: int, symmetry: str, clues: tuple[int, int]
) -> None:
    grids = some(geometry, grade=grade, symmetry=symmetry, clues=clues)
    assert len(grids) == 2
    for grid in grids:
        assert solutions(geometry, grid.clues) == [grid.solution]
        assert clues[0] <= sum(v > 0 for v in grid.clues) == grid.clue_count <= clues[1]
        assert holds(symmetry, grid.clues, geometry.size)
        path = walk(geometry, grid.clues)
        assert path.grade == grade == grid.grade
        assert (path.hardest, path.effort) == (grid.hardest, grid.effort)


def test_a_needed_technique_is_needed() -> None:
    (grid,) = some(blocks(3, 3), count=1, grade=4, clues=(22, 30), needs=("naked-pair",))
    (need,) = promises.needs(grid.geometry, grid.clues, ("naked-pair",))
    assert need.holds
    assert grid.needs == ("naked-pair",)


def test_without_a_grade_the_ladder_finishes_every_grid() -> None:
    grids = some(blocks(3, 3), count=12, symmetry="none", clues=(20, 24))
    assert all(grid.grade != BEYOND for grid in grids)
    assert len({grid.grade for grid in grids}) > 1


def test_the_top_rung_can_be_asked_for() -> None:
    (grid,) = some(blocks(3, 3), count=1, grade=RUNGS, symmetry="none", clues=(20, 24))
    assert walk(grid.geometry, grid.clues).grade == RUNGS


def test_a_technique_can_be_asked_for_that_alone_will_do() -> None:
    (grid,) = some(blocks(3, 3), count=1, grade=4, clues=(22, 30), only=("naked-pair",))
    assert grid.only == ("naked-pair",)
    rest = DEFAULT.up_to(5).without("naked-pair")
    assert walk(grid.geometry, grid.clues, ladder=DEFAULT.up_to(4, "naked-pair")).solved
    assert not walk(grid.geometry, grid.clues, ladder=rest).solved


def test_the_same_seed_gives_the_same_grids_in_another_process() -> None:
    script = (
        "from packbuilder.setting.search import set_grids\n"
        "from packbuilder.grid import blocks, format_grid\n"
        "for one in set_grids(blocks(2, 3), count=4, grade=1, clues=(10, 16), seed=9):\n"
        "    print(format_grid(one.clues))\n"
    )
    outputs = {
        subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "PYTHONHASHSEED": hash_seed, "NUMBA_NUM_THREADS": "1"},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for hash_seed in ("0", "77")
    }
    here = [
        format_grid(grid.clues)
        for grid in some(blocks(2, 3), count=4, grade=1, clues=(10, 16), seed=9)
    ]
    assert outputs == {"".join(f"{line}\n" for line in here)}


def test_another_seed_gives_other_grids() -> None:
    one, other = (some(blocks(2, 3), clues=(10, 16), seed=seed) for seed in (1, 2))
    assert not {grid.clues for grid in one} & {grid.clues for grid in other}


def test_a_longer_run_begins_like_a_shorter_one() -> None:
    short, long = (some(blocks(2, 3), count=k, clues=(10, 16)) for k in (2, 5))
    assert long[:2] == short


def test_no_two_grids_of_a_run_are_kin() -> None:
    """Of 4x4 grids with 4 clues there are 13 kinds (from memory: Rosenhouse and Taalman 2011)."""
    grids = set_grids(
        blocks(2, 2), count=1000, symmetry="none", clues=(4, 4), seed=0, attempts=1500
    )
    found, words = until_unfinished(grids)
    assert len(found) == len({fingerprint(blocks(2, 2), grid.clues) for grid in found}) == 13
    assert words.startswith(
        "13 of 1000 grids found (4x4, blocks 2x2, none symmetry, 4 clues) before the search ended"
    )


def test_when_the_attempts_run_out_what_was_found_is_given() -> None:
    found, words = until_unfinished(
        set_grids(blocks(3, 3), count=500, grade=3, clues=(24, 30), seed=0, attempts=64)
    )
    assert 0 < len(found) < 64
    assert words.startswith(f"{len(found)} of 500 grids found (9x9, blocks 3x3, rotational")
    assert "24 to 30 clues, grade 3" in words


def test_when_the_time_runs_out_nothing_more_is_tried() -> None:
    found, _ = until_unfinished(
        set_grids(blocks(3, 3), count=1, symmetry="none", clues=(17, 17), budget=0.0)
    )
    assert found == []


BAD_REQUESTS = {
    "no symmetry 'spiral'; the symmetries are: none, rotational": {"symmetry": "spiral"},
    "40 to 30 clues: write the lower number first": {"clues": (40, 30)},
    "200 clues in a grid of 81 cells: it can have 0 to 80": {"clues": (200, 200)},
    "70 to 90 clues in a grid of 81 cells: it can have 0 to 80": {"clues": (70, 90)},
    "81 clues in a grid of 81 cells: it can have 0 to 80, as at least one": {"clues": (81, 81)},
    "-3 to 20 clues in a grid of 81 cells": {"clues": (-3, 20)},
    "budget nan: write a number of seconds, such as 120": {"budget": float("nan")},
    "budget inf: write a number of seconds": {"budget": float("inf")},
    "no picture of 22 clues has full symmetry": {"symmetry": "full", "clues": (22, 22)},
    "grade 9: the ladder goes from 1 to": {"grade": 9},
    "'x-ray' is not a technique of the ladder": {"needs": ("x-ray",)},
    "seed -1: a seed is 0 or more": {"seed": -1},
}


@pytest.mark.parametrize("words", BAD_REQUESTS)
def test_a_request_that_cannot_be_met_is_refused_at_once(words: str) -> None:
    with pytest.raises(InputError) as refused:
        set_grids(blocks(3, 3), **{"count": 1, "clues": (24, 30), **BAD_REQUESTS[words]})
    assert words in str(refused.value)


def test_regions_that_no_grid_fits_are_refused() -> None:
    """Row 1 but its last cell lies in region A, whose fourth cell stands right below that one.

    So both must hold the one digit that is left, in one column: worked out by hand.
    """
    nowhere = irregular("AAAB\nBBBA\nCCCC\nDDDD")
    with pytest.raises(InputError, match=r"no full grid fits these regions .*; redraw them"):
        some(nowhere, clues=(4, 8))


def test_the_budget_is_kept_where_solved_grids_are_hard_to_find(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The search for a full grid knows the deadline; without it, it goes on for minutes."""
    real, deadlines = kernel.random_solution, []

    def watched(geometry: Geometry, seed: int, *, deadline: float) -> Any:
        deadlines.append(deadline)
        return real(geometry, seed, deadline=deadline)

    monkeypatch.setattr(kernel, "random_solution", watched)
    grids = set_grids(CROOKED, count=1, clues=(24, 32), budget=0.3)
    latest = time.monotonic() + 0.3
    found, words = until_unfinished(grids)
    assert found == []
    assert "ended: no full grid of these regions was found, and there may be none" in words
    assert len(deadlines) == 1 and deadlines[0] <= latest


def test_a_technique_that_is_asked_for_twice_is_one_wish() -> None:
    asked = {"count": 1, "grade": 4, "clues": (22, 30)}
    (twice,) = some(blocks(3, 3), needs=("naked-pair", "naked-pair"), **asked)
    (once,) = some(blocks(3, 3), needs=("naked-pair",), **asked)
    assert twice == once
    assert once.needs == ("naked-pair",)


def test_a_run_is_named_after_all_that_it_was_asked_for() -> None:
    requests: list[dict[str, Any]] = [
        {}, {"symmetry": "none"}, {"grade": 1}, {"clues": (12, 16)}, {"seed": 2},
        {"needs": ("hidden-single",), "grade": 2},
    ]  # fmt: skip
    names = [some(blocks(2, 3), count=1, **{"clues": (10, 16), **w})[0].request for w in requests]
    names += [some(blocks(3, 2), count=1, clues=(10, 16))[0].request]
    assert len(set(names)) == len(requests) + 1
    assert names[0] == some(blocks(2, 3), count=1, clues=(10, 16))[0].request == NAMED


NAMED = "cb3c"
"""The same name in every release: what was pasted into a pack keeps its id."""


def test_a_grid_that_the_engines_do_not_both_confirm_is_never_given(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(new_grid, "certify", lambda *_, **__: Proof(Verdict(None), agree=False))
    with pytest.raises(PackbuilderError, match=r"do not both confirm the grid .*, attempt"):
        some(blocks(2, 3), clues=(10, 16))


def test_a_grid_that_the_engines_cannot_decide_is_passed_over(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    proved = iter([Proof(Verdict(None), undecided="a limit ran out")])
    real = new_grid.certify
    monkeypatch.setattr(new_grid, "certify", lambda *a, **k: next(proved, None) or real(*a, **k))
    after = some(blocks(2, 3), count=1, clues=(10, 16))
    monkeypatch.setattr(new_grid, "certify", real)
    assert after == some(blocks(2, 3), count=2, clues=(10, 16))[1:]


def test_a_wrong_solution_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    real = new_grid.certify

    def swapped(*args: Any, **options: Any) -> Proof:
        proof = real(*args, **options)
        first = proof.verdict.first
        assert first is not None
        return replace(proof, verdict=replace(proof.verdict, first=first[::-1]))

    monkeypatch.setattr(new_grid, "certify", swapped)
    with pytest.raises(PackbuilderError, match="do not both confirm"):
        some(blocks(2, 3), clues=(10, 16))


def test_two_requests_with_one_seed_share_no_solution() -> None:
    requests = [{"symmetry": "none"}, {"symmetry": "rotational"}, {"grade": 1}, {"clues": (12, 16)}]
    runs = [some(blocks(2, 3), count=6, **{"clues": (10, 16), **request}) for request in requests]
    answers = [grid.solution for run in runs for grid in run]
    assert len(set(answers)) == len(answers) == 24


def test_a_grid_that_is_too_hard_gets_clues_back() -> None:
    """Any solved grid becomes gentle with enough clues, so no attempt fails."""
    grids = some(blocks(3, 3), count=6, grade=1, clues=(24, 60), attempts=6)
    assert [grid.attempt for grid in grids] == [1, 2, 3, 4, 5, 6]


def test_an_interrupt_keeps_what_was_found(tmp_path: Path) -> None:
    """Ctrl-C as a terminal sends it, once the first grid is there."""
    command = [sys.executable, "-m", "packbuilder.cli", "set", "--count", "100000", "--seed", "1"]
    file = tmp_path / "out"
    with (
        file.open("w") as out,
        subprocess.Popen(
            command, stdout=out, stderr=subprocess.PIPE, text=True, start_new_session=True
        ) as process,
    ):
        while "symmetry:" not in file.read_text():
            assert process.poll() is None
            time.sleep(0.05)
        os.killpg(process.pid, signal.SIGINT)
        _, err = process.communicate(timeout=60)
    found = file.read_text().count("- id: set-1-")
    assert (process.returncode, found >= 1) == (5, True), err
    told = re.search(r"stopped: (\d+) of 100000 grids found", err)
    assert told and int(told[1]) in (found - 1, found), "the last may come as the stop does"
