"""Mend: a sound grid is spoilt as people spoil them, and comes back; OR-Tools judges every mend."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from packbuilder import gate, manifest
from packbuilder.cli import run
from packbuilder.grid import Values, blocks, format_grid, format_rows
from packbuilder.mending import Mends, mends
from packbuilder.puzzle import Pack, Promise, Puzzle
from tests.rules import judge as rules_judge
from tests.setting.judge import solutions

CLASSIC = blocks(3, 3)


def sound() -> tuple[Values, Values]:
    """A grid of our own with one solution, and the solution."""
    from packbuilder.setting.search import set_grids

    (grid,) = set_grids(CLASSIC, count=1, clues=(26, 30), grade=2, seed=11)
    return grid.clues, grid.solution


CLUES, SOLUTION = sound()


def mended(clues: Values, /, **promise: Any) -> Mends:
    puzzle = Puzzle("lamp", "The Lamp", "Ada Quill", CLASSIC, clues, Promise(**promise))
    pack = Pack("kites", Path(), "Kites", "2026-12", "Ada Quill", (puzzle,))
    return mends(puzzle, pack, most=100)


def swapped(clues: Values, a: int, b: int) -> Values:
    found = list(clues)
    found[a], found[b] = clues[b], clues[a]
    return tuple(found)


def slips() -> dict[str, Values]:
    """The sound grid, spoilt so that OR-Tools finds no answer, by the slip that did it."""
    pairs = [(c, c + 1) for c in range(80) if c % 9 < 8]
    lines = [list(range(r * 9, r * 9 + 9)) for r in range(9)]
    shifted = []
    for line in lines:
        digits = [CLUES[c] for c in line]
        if not digits[-1]:
            moved = [0, *digits[:-1]]
            shifted.append(tuple(moved[line.index(c)] if c in line else d
                                 for c, d in enumerate(CLUES)))  # fmt: skip
    found = {
        "two digits exchanged": [
            swapped(CLUES, a, b) for a, b in pairs if CLUES[a] and CLUES[b]
        ],
        "a digit in the cell beside its own": [
            swapped(CLUES, a, b) for a, b in pairs if bool(CLUES[a]) != bool(CLUES[b])
        ],
        "a line shifted": shifted,
        "a digit misread": [
            tuple(d % 9 + 1 if c == k else d for c, d in enumerate(CLUES))
            for k in range(81) if CLUES[k]
        ],
    }  # fmt: skip
    return {
        slip: next(one for one in spoilt if not solutions(CLASSIC, one, 1))
        for slip, spoilt in found.items()
    }


@pytest.mark.parametrize("slip", slips())
def test_a_slip_is_found_and_told_by_its_name(slip: str) -> None:
    found = mended(slips()[slip])
    assert found.solutions == 0 and found.whole
    named = {change.clues: change.slip for change in found.found}
    assert named[CLUES] == slip
    for change in found.found[:12]:
        assert len(solutions(CLASSIC, change.clues)) == change.solutions


def test_likely_slips_come_first() -> None:
    order = ["two digits exchanged", "a line shifted", "a digit in the cell beside its own",
             "a digit misread", "a digit too many"]  # fmt: skip
    found = mended(slips()["a digit misread"]).found
    places = [(change.solutions, order.index(change.slip)) for change in found]
    assert places == sorted(places) and len(set(places)) > 1


def without(*cells: int) -> Values:
    return tuple(0 if c in cells else d for c, d in enumerate(CLUES))


def lost_pair() -> tuple[int, int]:
    """Two clues opposite to one another without which there are several answers."""
    pairs = [(c, 80 - c) for c in range(40) if CLUES[c]]
    return next(p for p in pairs if len(solutions(CLASSIC, without(*p))) == 2)


def test_clues_that_keep_the_symmetry_come_first() -> None:
    a, b = lost_pair()
    found = mended(without(a, b), symmetry="rotational", clues=sum(map(bool, CLUES)))
    assert found.solutions == 2
    kept = [change for change in found.found if not change.broken]
    assert kept and kept == list(found.found[: len(kept)])
    for change in kept:
        given = [digit > 0 for digit in change.clues]
        assert given == given[::-1] and sum(given) == sum(map(bool, CLUES))
    for change in found.found:
        assert len(solutions(CLASSIC, change.clues)) == 1


def test_two_clues_where_one_alone_cannot_do_it() -> None:
    """Without four unavoidable pairs left open: a grid of one band and no more has many answers."""
    bare = tuple(d if c < 27 or c >= 45 else 0 for c, d in enumerate(SOLUTION))
    assert len(solutions(CLASSIC, bare)) == 2
    found = mended(bare).found
    assert found
    for change in found:
        assert len(solutions(CLASSIC, change.clues)) == 1


def test_solutions_that_are_too_many_to_list(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("packbuilder.mending.mend.LISTED", 2)
    bare = tuple(d if c < 27 or c >= 45 else 0 for c, d in enumerate(SOLUTION))
    for change in mended(bare).found:
        assert len(solutions(CLASSIC, change.clues)) == 1


def test_a_known_answer_decides() -> None:
    a, b = lost_pair()
    puzzle = Puzzle("lamp", "Lamp", "Ada", CLASSIC, without(a, b), solution=SOLUTION)
    pack = Pack("kites", Path(), "Kites", "2026-12", "Ada", (puzzle,))
    first = mends(puzzle, pack).found[0]
    assert all(clue in (0, digit) for clue, digit in zip(first.clues, SOLUTION, strict=True))


def test_nothing_is_told_of_a_sound_grid() -> None:
    assert mended(CLUES).solutions == 1 and not mended(CLUES).found


def test_time_that_runs_out_is_told() -> None:
    puzzle = Puzzle("lamp", "Lamp", "Ada", CLASSIC, without(*lost_pair()))
    pack = Pack("kites", Path(), "Kites", "2026-12", "Ada", (puzzle,))
    assert not mends(puzzle, pack, budget=0.001).whole


CAGES = """\
  - id: cages
    title: Cages   # with a comment
    size: 4
    grid: |
      {grid}
    rules:
      - cages: [{{sum: 5, cells: r1c1 r1c2}}, {{sum: 3, cells: r3c3 r4c3}}]
"""


def test_a_puzzle_with_rules(tmp_path: Path) -> None:
    file = tmp_path / "manifest.yaml"
    head = "pack: {title: Kites, issue: 2026-12, byline: Ada}\npuzzles:\n"
    file.write_text(head + CAGES.format(grid="....\n      ..1.\n      .3..\n      ...4"))
    pack = manifest.load(file)
    found = mends(pack.puzzles[0], pack).found
    rules = [("cages", [{"sum": "5", "cells": "r1c1 r1c2"}, {"sum": "3", "cells": "r3c3 r4c3"}])]
    assert found
    for change in found:
        assert len(rules_judge.solutions(4, (2, 2), change.clues, rules)) == 1


PACK = """\
# a comment that stays
pack: {{title: Kites,  issue: 2026-12, byline: "Ada Quill"}}

puzzles:
  - id: lamp      # the one
    title: The Lamp
    grid: {grid}
    promise: {{clues: {count}, symmetry: none}}
    # the end
"""


def written(folder: Path, clues: Values, block: bool = True, count: int = 0) -> Path:
    rows = format_rows(clues, 9).splitlines()
    grid = "|\n" + "\n".join(f"      {r[:3]} {r[3:6]} {r[6:]}" for r in rows)
    file = folder / "manifest.yaml"
    told = grid if block else f'"{format_grid(clues)}"  # in one line'
    file.write_text(PACK.format(grid=told, count=count or sum(map(bool, CLUES))))
    return file


@pytest.mark.parametrize("block", [True, False])
def test_what_is_chosen_is_written_and_nothing_else(
    block: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spoilt = slips()["two digits exchanged"]
    file = written(tmp_path, spoilt, block)
    assert run(["mend", str(tmp_path), "lamp", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)["mends"]
    number = 1 + [one["grid"] for one in told].index(format_grid(CLUES))
    before = file.read_text()
    assert run(["mend", str(tmp_path), "lamp", "--write", str(number)]) == 0
    assert file.read_text() == written(tmp_path / "..", CLUES, block).read_text()
    differing = [a for a, b in zip(before, file.read_text(), strict=True) if a != b]
    assert len(differing) == 2, "two digits, and no other character"
    assert gate.check(manifest.load(tmp_path)).passed


def test_what_cannot_be_chosen(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = written(tmp_path, slips()["two digits exchanged"])
    before = file.read_text()
    assert run(["mend", str(tmp_path), "lump"]) == 2
    assert "did you mean 'lamp'" in capsys.readouterr().err
    assert run(["mend", str(tmp_path), "lamp", "--write", "99"]) == 2
    assert "to choose from" in capsys.readouterr().err
    assert file.read_text() == before


def test_a_puzzle_in_a_file_of_its_own_is_left_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "lamp.yaml").write_text(
        f"id: lamp\ntitle: Lamp\ngrid: {format_grid(without(*lost_pair()))}\n"
    )
    head = "pack: {title: Kites, issue: 2026-12, byline: Ada}\npuzzles:\n"
    (tmp_path / "manifest.yaml").write_text(head + "  - file: lamp.yaml\n")
    assert run(["mend", str(tmp_path), "lamp", "--write"]) == 2
    assert "by hand" in capsys.readouterr().err


# A grid of our own in a half-turn picture, whose grade is 2, without a clue or without two.
EVEN = "98.4..2....1..96.....87......9.....663.5.1.782.....1......45.....72..4....2..7.63"


@pytest.mark.parametrize("lost", [(43,), (0,), (80,), (21,), (0, 44), (0, 80)])
def test_the_clue_that_was_forgotten_is_offered_where_a_symmetry_is_promised(
    lost: tuple[int, ...],
) -> None:
    whole = tuple(int(sign) if sign != "." else 0 for sign in EVEN)
    left = tuple(0 if cell in lost else digit for cell, digit in enumerate(whole))
    puzzle = Puzzle("lamp", "The Lamp", "Ada Quill", CLASSIC, left,
                    Promise(grade=2, clues=28, symmetry="rotational"))  # fmt: skip
    found = mends(puzzle, Pack("kites", Path(), "Kites", "2026-12", "Ada Quill", (puzzle,))).found
    assert found[0].broken == ()
    assert whole in [change.clues for change in found]
    even = [[bool(digit) for digit in change.clues] for change in found]
    order = [picture == picture[::-1] for picture in even]
    assert order == sorted(order, reverse=True)
