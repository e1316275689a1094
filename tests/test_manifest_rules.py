"""Rules in the manifest: parts and houses, and each fault with file, line and field."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
import yaml

from packbuilder import manifest
from packbuilder.errors import InputError
from packbuilder.manifest.fields import schema
from packbuilder.puzzle import Puzzle
from packbuilder.rules import kinds

WritePack = Callable[..., Path]

# The rules begin on line 12 of the manifest.
HEAD = f"- id: a\n  title: A\n  size: 6\n  grid: {'.' * 36}\n  rules:\n"


@pytest.fixture
def load(write_pack: WritePack) -> Callable[[str], Puzzle]:
    def from_rules(rules: str) -> Puzzle:
        folder = write_pack(HEAD + textwrap.indent(textwrap.dedent(rules).strip("\n"), "    "))
        text = (folder / "manifest.yaml").read_text(encoding="utf-8").splitlines()
        assert text[10].strip() == "rules:", "the lines below are counted from here"
        return manifest.load(folder).puzzles[0]

    return from_rules


def test_parts_names_and_houses(load: Callable[[str], Puzzle]) -> None:
    puzzle = load(
        """
        - diagonals
        - thermometers: ["r1c1 r1c2", r2c1 r3c1]
        - anti-knight:
        """
    )
    assert puzzle.rule_names == ("diagonals", "thermometers", "anti-knight")
    assert [type(part).__name__ for part in puzzle.rules] == [
        "LongDiagonal",
        "LongDiagonal",
        "Thermometer",
        "Thermometer",
        "KnightsDiffer",
    ]
    houses = [house.kind for house in puzzle.geometry.houses]
    assert houses[:18] == ["row"] * 6 + ["column"] * 6 + ["block"] * 6
    assert houses[18:20] == ["diagonal"] * 2
    # A house for each pair a knight's move apart, but for those that a block of 2 x 3 holds.
    apart = sum(
        {abs(a // 6 - b // 6), abs(a % 6 - b % 6)} == {1, 2}
        and (a // 12, a % 6 // 3) != (b // 12, b % 6 // 3)
        for a in range(36)
        for b in range(a)
    )
    assert len(houses) == 20 + apart


def test_a_house_that_is_there_already_is_not_there_twice(load: Callable[[str], Puzzle]) -> None:
    cage = '- cages: [{sum: 21, cells: "r1c1 r1c2 r1c3 r1c4 r1c5 r1c6"}]'
    assert len(load(cage).geometry.houses) == 18


FAULTS = [
    ("- no-such-rule", "12: R[1] (a): 'no-such-rule' is not a rule that this version knows; "),
    ("- diagonal", "12: R[1] (a): 'diagonal' is not a rule that this version knows; did you mean "
                   "'diagonals'?"),
    ("- diagonals\n- thermometer: []", "13: R[2].thermometer (a): 'thermometer' is not a rule"),
    ("- diagonals\n- diagonals", "13: R[2] (a): diagonals is already listed on line 12; list a "
                                 "rule once, with all that belongs to it"),
    ("- diagonals\n-", "13: R[2] (a): has no value; write the name of a rule, or one name with "
                       "its value, and begin each rule with a hyphen"),
    ("- [diagonals]", "12: R[1] (a): holds a list; write the name of a rule"),
    ("- {diagonals: , anti-king: }", "12: R[1] (a): holds 2 rules; write the name of a rule"),
    ("- {}", "12: R[1] (a): holds no rule; write the name of a rule"),
    ("- thermometers:\n    - r1c1 r1c2\n    - r1c1 r1c7",
     "14: R[1].thermometers[2] (a): r1c7 lies outside a 6x6 grid"),
    ("- thermometers:", "12: R[1].thermometers (a): "),
    ("- thermometers", "12: R[1] (a): "),
    ("- diagonals: yes", "12: R[1].diagonals (a): diagonals takes no value"),
    ("- arrows:\n    - circle: r1c1\n      shaft: r1c2 r1c3\n      sum: 3",
     "15: R[1].arrows[1].sum (a): unknown key 'sum'"),
    ("- extra-regions: |\n    ......\n    ......\n    .....\n    ......\n    ......\n    ......",
     "15: R[1].extra-regions (a): row 3 of the picture has 5 letters"),
]  # fmt: skip


@pytest.mark.parametrize(("rules", "fault"), FAULTS)
def test_a_fault_has_its_line_and_field(
    rules: str, fault: str, load: Callable[[str], Puzzle]
) -> None:
    with pytest.raises(InputError) as told:
        load(rules)
    (line,) = str(told.value).splitlines()
    head, _, rest = line.partition("manifest.yaml:")
    assert head.endswith("tea-house/")
    assert rest.replace("puzzles[1].rules", "R").startswith(fault)


def test_faults_of_several_rules_are_told_together(load: Callable[[str], Puzzle]) -> None:
    with pytest.raises(InputError) as told:
        load("- thermometers: [r1c9 r1c2]\n- nothing\n- arrows: []")
    assert [part.split(":")[1] for part in str(told.value).splitlines()] == ["12", "13", "14"]


def test_names_are_looked_at_even_where_the_grid_is_unknown(write_pack: WritePack) -> None:
    text = HEAD.replace("size: 6", "size: 6\n  blocks: 7x7") + "    - nothing\n    - arrows: []\n"
    with pytest.raises(InputError) as told:
        manifest.load(write_pack(text))
    assert "blocks of 7x7" in str(told.value)
    assert "'nothing' is not a rule" in str(told.value)
    assert "arrows" not in str(told.value)


def test_the_schema_knows_every_rule() -> None:
    puzzle = schema()["$defs"]["PuzzleFields"]
    rules = {"$defs": schema()["$defs"], **puzzle["properties"]["rules"]}
    check = jsonschema.Draft202012Validator(rules).is_valid
    for slug, kind in kinds().items():
        listed = yaml.safe_load(kind.example)["rules"]
        assert check(listed), slug
        if kind.schema() != {"type": "null"}:
            assert not check([slug]), "a bare name says nothing here"
    assert not check(["nothing"])
    assert not check([{"diagonals": None, "anti-king": None}])
    assert not check("diagonals")
