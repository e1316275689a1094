"""The packs that come with the project: what they promise of themselves."""

from __future__ import annotations

import re
import shlex
from functools import cache
from pathlib import Path

import pytest
import yaml

from packbuilder import gate, manifest
from packbuilder.cli import run
from packbuilder.grid import parse_grid
from packbuilder.puzzle import Pack, Puzzle
from tests.conftest import ROOT
from tests.setting.judge import solutions

TRAIN = ROOT / "packs" / "night-train"
NOT_YET = ROOT / "packs" / "not-yet"


@cache
def train() -> Pack:
    return manifest.load(TRAIN)


def puzzle(name: str) -> Puzzle:
    return next(one for one in train().puzzles if one.id == name)


def recipes() -> dict[str, str]:
    """The options of ``packbuilder set`` that stand for each puzzle at the manifest's head."""
    head = (TRAIN / "manifest.yaml").read_text(encoding="utf-8").partition("\npack:")[0]
    joined = re.sub(r"\n#  {10,}(?=--)", " ", head)
    return dict(re.findall(r"^#   ([a-z-]+) +(--.+)$", joined, re.MULTILINE))


def test_the_sample_pack_passes_the_gate() -> None:
    assert gate.check(train()).passed


def test_the_sample_pack_has_something_of_everything() -> None:
    puzzles = train().puzzles
    assert len(puzzles) >= 16
    assert {one.promise.grade for one in puzzles} == {1, 2, 3, 4}
    assert len({one.geometry.name() for one in puzzles}) >= 4
    assert len({one.promise.symmetry for one in puzzles}) >= 6
    assert len({one.setter for one in puzzles}) >= 5
    assert any(one.promise.needs for one in puzzles)
    assert any(one.promise.uses for one in puzzles)
    assert any(one.promise.minimal for one in puzzles)
    assert any(one.where.startswith("puzzles/") for one in puzzles)
    assert 180 <= len(train().foreword.split()) <= 250


@pytest.mark.parametrize("name", ["ticket-window", "strangers", "branch-line", "fog"])
def test_an_outside_judge_finds_one_answer(name: str) -> None:
    one = puzzle(name)
    assert len(solutions(one.geometry, one.clues)) == 1


def test_every_puzzle_has_a_recipe() -> None:
    assert list(recipes()) == [one.id for one in train().puzzles]


@pytest.mark.parametrize("name", recipes())
def test_a_recipe_makes_its_grid_again(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """If this fails because the search draws other grids now, the recipes must be found anew."""
    assert run(["set", *shlex.split(recipes()[name])]) == 0
    (entry,) = yaml.safe_load("puzzles:\n" + capsys.readouterr().out)["puzzles"]
    one = puzzle(name)
    assert parse_grid(entry["grid"], one.size) == one.clues
    assert entry["promise"]["grade"] == one.promise.grade


def test_the_other_pack_is_refused_for_the_faults_that_its_comments_name() -> None:
    text = (NOT_YET / "manifest.yaml").read_text(encoding="utf-8")
    named = re.findall(r"^  # ([a-z-]+): .*\n(?:  #.*\n)*  - id: ([a-z-]+)$", text, re.MULTILINE)
    report = gate.check(manifest.load(NOT_YET))
    found = [(f.code, c.puzzle.id) for c in report.checked for f in c.findings]
    assert found == named
    assert len(found) == 4
    assert not report.passed


def test_the_folder_holds_no_other_sources() -> None:
    listed = {one.where.partition(":")[0] for one in train().puzzles}
    assert {path.relative_to(TRAIN).as_posix() for path in sources(TRAIN)} == listed


def sources(folder: Path) -> list[Path]:
    return [*folder.glob("*.yaml"), *folder.glob("puzzles/*.yaml")]
