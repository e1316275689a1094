"""The command that lists the rules."""

from __future__ import annotations

import json

import pytest
import yaml

from packbuilder import cli
from packbuilder.errors import Exit
from packbuilder.rules import kinds


def test_every_rule_is_listed_with_what_to_write(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["rules"]) == Exit.GOOD
    told = capsys.readouterr().out
    for slug, kind in kinds().items():
        assert f"{slug}\n  {kind.about}\n    rules:\n      - {slug}" in told


def test_one_rule_is_shown_with_a_whole_puzzle(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["rules", "little-sums"]) == Exit.GOOD
    _, _, shown = capsys.readouterr().out.partition("A whole puzzle with it:\n")
    assert yaml.safe_load(shown) == yaml.safe_load(kinds()["little-sums"].example)


def test_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["rules", "--json"]) == Exit.GOOD
    listed = json.loads(capsys.readouterr().out)
    assert [rule["slug"] for rule in listed] == list(kinds())
    assert cli.run(["rules", "xv", "--json"]) == Exit.GOOD
    (rule,) = json.loads(capsys.readouterr().out)
    assert yaml.safe_load(rule["written"])["rules"] == yaml.safe_load(rule["example"])["rules"]
    assert rule["techniques"]


def test_a_name_that_is_no_rule(capsys: pytest.CaptureFixture[str]) -> None:
    for more in ([], ["--json"]):
        assert cli.run(["rules", "cage", *more]) == Exit.USAGE
        assert "'cage' is not a rule; did you mean 'cages'?" in capsys.readouterr().err
