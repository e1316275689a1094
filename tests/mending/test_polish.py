"""Polish: what can go goes, and what is promised is reached; OR-Tools judges every grid."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from packbuilder import gate, manifest
from packbuilder.cli import run
from packbuilder.errors import InputError
from packbuilder.grid import Values, blocks
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.path import rate
from packbuilder.mending import Polished, polished
from packbuilder.puzzle import Pack, Promise, Puzzle
from packbuilder.setting.search import set_grids
from tests.mending.test_mend import written
from tests.setting.judge import solutions

CLASSIC = blocks(3, 3)
(MINIMAL,) = set_grids(
    CLASSIC, count=1, clues=(17, 32), symmetry="none", minimal=True, seed=5
)  # fmt: skip
(GENTLE,) = set_grids(CLASSIC, count=1, clues=(28, 32), grade=1, seed=2)


def polish(clues: Values, /, **promise: Any) -> Polished:
    puzzle = Puzzle("lamp", "The Lamp", "Ada Quill", CLASSIC, clues, Promise(**promise))
    pack = Pack("kites", Path(), "Kites", "2026-12", "Ada Quill", (puzzle,))
    return polished(puzzle, pack, budget=100)


def more(count: int) -> Values:
    """The minimal grid with clues that it does not need."""
    spare = [c for c, digit in enumerate(MINIMAL.clues) if not digit][:count]
    return tuple(
        MINIMAL.solution[c] if c in spare else digit for c, digit in enumerate(MINIMAL.clues)
    )


def test_clues_to_spare_go_and_no_more() -> None:
    found = polish(more(12))
    assert not found.broken and found.whole
    lightest = found.lighter[0].clues
    assert len(solutions(CLASSIC, lightest)) == 1
    for cell, digit in enumerate(lightest):
        if digit:
            fewer = (*lightest[:cell], 0, *lightest[cell + 1 :])
            assert len(solutions(CLASSIC, fewer)) == 2, "without any clue more there are several"
    for one in found.lighter[1:]:
        assert len(one.cells) == 1 and len(solutions(CLASSIC, one.clues)) == 1


def test_nothing_can_go_where_no_clue_is_to_spare() -> None:
    assert polish(MINIMAL.clues).lighter == ()


def test_promises_hold_as_clues_go() -> None:
    """Of a gentle grid clues can go, but not so many that it is no longer gentle."""
    found = polish(GENTLE.clues, grade=1, symmetry="rotational", clues=GENTLE.clue_count)
    free = polish(GENTLE.clues)
    for change in found.lighter:
        assert rate(CLASSIC, change.clues).grade == 1
        given = [digit > 0 for digit in change.clues]
        assert given == given[::-1]
        assert change.codes <= {"wrong-clue-count"}
    left = sum(map(bool, found.lighter[0].clues)) if found.lighter else GENTLE.clue_count
    assert left > sum(map(bool, free.lighter[0].clues))


WANTED: list[dict[str, Any]] = [
    {"grade": 3},
    {"grade": 2, "symmetry": "rotational"},
    {"grade": 2, "clues": GENTLE.clue_count, "symmetry": "rotational"},
    {"needs": ("skyscraper",)},
]


@pytest.mark.parametrize("promise", WANTED, ids=str)
def test_what_is_promised_is_reached(promise: dict[str, Any]) -> None:
    found = polish(GENTLE.clues, **promise)
    assert found.broken and found.least
    sizes = [len(change.cells) for change in found.least]
    for change in found.least:
        assert not change.broken
        assert len(solutions(CLASSIC, change.clues)) == 1
    if "grade" in promise:
        assert {rate(CLASSIC, change.clues).grade for change in found.least} == {promise["grade"]}
    if "clues" in promise:
        assert {sum(map(bool, c.clues)) for c in found.least} == {promise["clues"]}
    assert max(sizes) < 30


def test_a_mark_load_is_reached() -> None:
    (grid,) = set_grids(CLASSIC, count=1, clues=(26, 30), grade=4, seed=4)
    marks = no_notes(CLASSIC, grid.clues).marks
    assert marks is None or marks > 0
    for change in polish(grid.clues, no_notes=0).least:
        assert no_notes(CLASSIC, change.clues).marks == 0


def test_a_grid_with_several_answers_is_for_mend() -> None:
    with pytest.raises(InputError, match="packbuilder mend"):
        polish((0,) * 80 + (1,))


def test_what_is_lighter_is_written_and_its_number_too(tmp_path: Path) -> None:
    file = written(tmp_path, more(3), count=MINIMAL.clue_count + 3)
    assert run(["polish", str(tmp_path), "lamp", "--write"]) == 0
    after = manifest.load(tmp_path)
    assert gate.check(after).passed
    assert "# a comment that stays" in file.read_text() and "# the end" in file.read_text()
    assert after.puzzles[0].promise.clues == sum(map(bool, after.puzzles[0].clues))
    assert after.puzzles[0].promise.clues <= MINIMAL.clue_count + 2


def test_the_number_that_changes_is_told_and_is_no_fault(tmp_path: Path, capsys: Any) -> None:
    written(tmp_path, more(1), count=MINIMAL.clue_count + 1)
    assert run(["polish", str(tmp_path), "lamp"]) == 0
    out = capsys.readouterr().out
    assert "but then" not in out
    assert f"its promise becomes `clues: {MINIMAL.clue_count}`; --write changes that too" in out
