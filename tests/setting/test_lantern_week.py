"""The pack of one technique: it passes the gate, needs what it says, and its recipes hold."""

from __future__ import annotations

import re
import shlex
from functools import cache

import pytest
import yaml

from packbuilder import gate, manifest
from packbuilder.book.assembling import assemble
from packbuilder.cli import run
from packbuilder.grid import parse_grid
from packbuilder.kinship import fingerprint
from packbuilder.ladder.promises import needs
from packbuilder.puzzle import Pack
from tests.conftest import ROOT
from tests.setting.judge import solutions

FOLDER = ROOT / "packs" / "lantern-week"


@cache
def pack() -> Pack:
    return manifest.load(FOLDER)


def recipes() -> dict[str, str]:
    """The options of ``packbuilder set`` that stand for each puzzle at the manifest's head."""
    head = (FOLDER / "manifest.yaml").read_text(encoding="utf-8").partition("\npack:")[0]
    return dict(re.findall(r"^#   ([a-z-]+) +(--.+)$", head, re.MULTILINE))


def test_it_passes_the_gate_and_is_bound_with_its_lesson() -> None:
    report = gate.check(pack())
    assert report.passed
    (lesson,) = assemble(report).lessons
    assert (lesson.slug, lesson.name) == ("skyscraper", "Skyscraper")
    assert lesson.example and lesson.trial and len(lesson.frames) == 3
    marks = {fingerprint(one.geometry, one.clues) for one in pack().puzzles}
    taught = (lesson.example, lesson.trial.puzzle)
    assert not {fingerprint(one.geometry, one.clues) for one in taught} & marks


@pytest.mark.parametrize("name", recipes())
def test_each_puzzle_needs_the_technique_and_has_one_solution(name: str) -> None:
    one = next(one for one in pack().puzzles if one.id == name)
    (need,) = needs(one.geometry, one.clues, pack().needs)
    assert need.holds
    assert len(solutions(one.geometry, one.clues)) == 1


def test_every_puzzle_has_a_recipe_and_the_nights_grow_darker() -> None:
    assert list(recipes()) == [one.id for one in pack().puzzles]
    efforts = [entry.effort for entry in assemble(gate.check(pack())).entries]
    assert efforts == sorted(efforts)


@pytest.mark.parametrize("name", recipes())
def test_a_recipe_makes_its_grid_again(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["set", *shlex.split(recipes()[name])]) == 0
    (entry,) = yaml.safe_load("puzzles:\n" + capsys.readouterr().out)["puzzles"]
    one = next(one for one in pack().puzzles if one.id == name)
    assert parse_grid(entry["grid"], 9) == one.clues
