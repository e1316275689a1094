"""The gate on puzzles with rules: what it says of them, and that no rule is passed over."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from packbuilder import gate, manifest
from packbuilder.gate import Finding

WritePack = Callable[..., Path]


def entry(grid: str, *rules: str, more: str = "") -> str:
    """A puzzle of size 4 without blocks."""
    text = f"- id: kettle\n  title: Kettle\n  size: 4\n  blocks: none\n  grid: {grid}\n"
    text += "".join(f"  {line}\n" for line in more.splitlines())
    return text + "  rules:\n" + "".join(f"    - {rule}\n" for rule in rules)


def findings(folder: Path) -> list[Finding]:
    report = gate.check(manifest.load(folder))
    return [f for one in report.checked for f in one.findings]


def only(folder: Path, code: str) -> Finding:
    (found,) = [f for f in findings(folder) if f.level == "refuse" and f.code != "wrong-grade"]
    assert found.code == code
    return found


EMPTY = "." * 16
ROWS = 'thermometers: ["r1c1 r1c2 r1c3 r1c4", "r2c1 r3c1 r4c1"'


def test_rules_make_a_grid_unique(write_pack: WritePack) -> None:
    # Row 1 and column 1 in order leave four squares (source: OEIS A000315). One of them has
    # r2c3 < r2c2: 1234 2413 3142 4321 (by hand).
    lines = ROWS + ', "r2c3 r2c2"]'
    folder = write_pack(entry(EMPTY, lines, more='solution: "1234241331424321"'))
    assert {f.code for f in findings(folder)} <= {"wrong-grade"}


def test_a_grid_with_too_few_rules_is_not_unique(write_pack: WritePack) -> None:
    finding = only(write_pack(entry(EMPTY, ROWS + "]")), "not-unique")
    assert "would leave one solution" in finding.mend


@pytest.mark.parametrize(
    ("grid", "rules", "message", "cells"),
    [
        (
            "..4" + "." * 13,
            ('thermometers: ["r1c2 r1c3 r1c4"]',),
            "thermometer from r1c2 to r1c4 and the clue 4 at r1c3 cannot both hold",
            (1, 2, 3),
        ),
        (
            EMPTY,
            ('thermometers: ["r1c1 r1c2", "r1c2 r2c2 r2c1 r1c1"]',),
            "thermometer from r1c1 to r1c2 and thermometer from r1c2 to r1c1 cannot both hold",
            (0, 1, 4, 5),
        ),
        (
            "1..." + "." * 8 + "2...",
            ('thermometers: ["r2c1 r3c1 r3c2"]',),
            "thermometer from r2c1 to r3c2, the clue 1 at r1c1 and the clue 2 at r4c1 "
            "cannot all hold",
            (0, 4, 8, 9, 12),
        ),
    ],
)
def test_a_clash_is_told_by_rules_and_clues(
    grid: str, rules: tuple[str, ...], message: str, cells: tuple[int, ...], write_pack: WritePack
) -> None:
    finding = only(write_pack(entry(grid, *rules)), "no-solution")
    assert finding.message == f"the grid has no solution; {message}"
    assert finding.mend == (
        "compare these with the setter's original; at least one of them must change"
    )
    assert finding.cells == cells


def test_equal_clues_in_a_house_of_a_rule(write_pack: WritePack) -> None:
    finding = only(write_pack(entry("1.........1.....", "diagonals")), "clue-clash")
    assert finding.message == "the falling diagonal has the clue 1 twice, at r1c1 and r3c3"


def test_what_looks_like_a_slip_is_a_warning(write_pack: WritePack) -> None:
    lines = 'thermometers: ["r1c1 r1c2", "r1c2 r1c3"]'
    found = [f for f in findings(write_pack(entry(EMPTY, lines))) if f.code == "odd-rule"]
    assert [f.level for f in found] == ["warn"]
    assert "r1c2" in found[0].message
    assert "`thermometers:`" in found[0].mend


def test_a_clue_that_a_rule_spares_is_not_minimal(write_pack: WritePack) -> None:
    lines = ROWS + ', "r2c3 r2c2"]'
    folder = write_pack(entry("1" + EMPTY[1:], lines, more="promise:\n  minimal: true"))
    finding = only(folder, "not-minimal")
    assert finding.cells == (0,)


def test_a_puzzle_again_with_another_rule_is_another_puzzle(write_pack: WritePack) -> None:
    lines = ROWS + ', "r2c3 r2c2"]'
    one = entry(EMPTY, lines)
    again = one.replace("kettle", "again")
    other = again.replace("r2c3 r2c2", "r2c2 r2c3")
    assert "same-puzzle" in {f.code for f in findings(write_pack(one + again))}
    assert "same-puzzle" not in {f.code for f in findings(write_pack(one + other))}
