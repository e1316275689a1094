"""The sample pack of every rule: what it promises of itself, and how its puzzles were made."""

from __future__ import annotations

import re
import shlex
from functools import cache
from typing import Any

import pytest
import yaml

from packbuilder import gate, manifest, rules
from packbuilder.cli import run
from packbuilder.grid import parse_grid
from packbuilder.puzzle import Pack
from tests.conftest import ROOT
from tests.rules import judge

HILL = ROOT / "packs" / "cold-kettle-hill"
TEXT = (HILL / "manifest.yaml").read_text(encoding="utf-8")
NAMES = re.findall(r"^  - id: ([a-z-]+)$", TEXT, re.MULTILINE)
QUICK = ("lantern", "brighter-than", "roman-chart", "moons", "four-below", "wanderers", "supper",
         "slanting-light", "cracked-mirror", "shooting-home", "two-clouds")  # fmt: skip


@cache
def hill() -> Pack:
    return manifest.load(HILL)


@cache
def entries() -> dict[str, dict[str, Any]]:
    """The puzzles as any reader of YAML has them, scalars as text."""
    found = yaml.load(TEXT, Loader=yaml.BaseLoader)
    return {entry["id"]: entry for entry in found["puzzles"]}


def recipes() -> dict[str, str]:
    """The options of ``packbuilder set`` that stand for each puzzle at the manifest's head."""
    joined = re.sub(r"\n#  {10,}(?=--)", " ", TEXT.partition("\npack:")[0])
    return dict(re.findall(r"^#   ([a-z-]+) +(--.+)$", joined, re.MULTILINE))


def test_it_passes_the_gate() -> None:
    assert gate.check(hill()).passed


def test_it_has_every_rule_alone_and_some_together() -> None:
    alone = {one.rule_names[0] for one in hill().puzzles if len(one.rule_names) == 1}
    together = [one for one in hill().puzzles if len(one.rule_names) > 1]
    assert alone == set(rules.kinds())
    assert len(together) >= 3
    assert any(one.geometry.regions and not one.geometry.shape for one in hill().puzzles)
    assert {one.promise.grade for one in hill().puzzles} == {1, 2, 3, 4, 5}
    assert len({one.setter for one in hill().puzzles}) >= 4
    assert all(one.intro for one in hill().puzzles)
    assert 150 <= len(hill().foreword.split()) <= 250


@pytest.mark.parametrize("name", NAMES)
def test_an_outside_judge_finds_the_one_answer(name: str) -> None:
    """Source of the models: tests/rules/judge.py, which reads the manifest's own text."""
    one = next(puzzle for puzzle in hill().puzzles if puzzle.id == name)
    listed = [
        (rule, None) if isinstance(rule, str) else next(iter(rule.items()))
        for rule in entries()[name]["rules"]
    ]
    if one.geometry.regions and not one.geometry.shape:
        listed.append(("extra-regions", entries()[name]["blocks"]))
    assert len(judge.solutions(one.size, one.geometry.shape, one.clues, listed)) == 1


def test_every_puzzle_has_a_recipe() -> None:
    assert list(recipes()) == NAMES == [one.id for one in hill().puzzles]


@pytest.mark.parametrize("name", QUICK)
def test_a_recipe_makes_its_puzzle_again(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """If this fails because the search draws other grids now, the recipes must be found anew."""
    assert run(["set", *shlex.split(recipes()[name])]) == 0
    (entry,) = yaml.load(capsys.readouterr().out, Loader=yaml.BaseLoader)
    size = int(entry.get("size", 9))
    assert parse_grid(entry["grid"], size) == parse_grid(entries()[name]["grid"], size)
    assert entry["rules"] == entries()[name]["rules"]
    assert entry["promise"] == entries()[name]["promise"]
