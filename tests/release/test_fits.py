"""What does not fit is told by `check`, all of it at once, and `build` says the same."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packbuilder import cli, gate, manifest
from packbuilder.editions import EDITIONS
from packbuilder.errors import Exit, Refused
from packbuilder.gate import Report
from packbuilder.release.build import build
from packbuilder.release.fits import with_fits
from tests.conftest import EXAMPLE

WritePack = Callable[..., Path]
WIDE = "- id: kettle\n  title: {}\n  grid: {}\n- id: four\n  title: Four\n  size: 4\n  grid: {}\n"
FOUR = "..3. ..2. .4.. .2.."
NAMES = ["print", "booklet", "screen"]


def fitted(folder: Path, *names: str) -> Report:
    return with_fits(gate.check(manifest.load(folder)), [EDITIONS[name] for name in names])


def found(report: Report) -> dict[tuple[str, str], tuple[str, ...]]:
    """By puzzle (or none) and field, the editions in which something does not fit."""
    named = [("", report.findings), *((one.puzzle.id, one.findings) for one in report.checked)]
    return {(name, one.field): one.editions for name, some in named for one in some
            if one.code == "does-not-fit"}  # fmt: skip


@pytest.fixture
def narrow(write_pack: WritePack) -> Path:
    """A pack whose title, in a small layout, is all of the widest letter."""
    puzzles = WIDE.format("W" * 80, EXAMPLE, FOUR)
    return write_pack(puzzles, f"layout: four-up\ntheme: {'W' * 200}")


def test_all_texts_of_all_editions_are_told_at_once(narrow: Path) -> None:
    told = found(fitted(narrow, *NAMES))
    assert told[("kettle", "title")][0] == "print"
    assert ("", "pack.theme") in told
    assert not any(name == "four" for name, _ in told)


def test_each_says_how_much_and_what_to_do(narrow: Path) -> None:
    report = fitted(narrow, "print")
    (one,) = (f for f in report.checked[0].findings if f.code == "does-not-fit")
    assert "80 letters take" in one.message and "letters too many" in one.message
    assert one.mend.startswith("shorten it to about ")


def test_a_pack_that_fits_has_no_finding(write_pack: WritePack) -> None:
    folder = write_pack(WIDE.format("Kettle", EXAMPLE, FOUR))
    report = gate.check(manifest.load(folder))
    assert with_fits(report, EDITIONS.values()) == report


def test_puzzles_that_are_refused_do_not_hide_what_does_not_fit(write_pack: WritePack) -> None:
    several = "." * 16
    report = fitted(write_pack(WIDE.format("W" * 80, EXAMPLE, several), "layout: four-up"), "print")
    codes = {one.puzzle.id: {f.code for f in one.findings if f.refuses} for one in report.checked}
    assert codes == {"kettle": {"does-not-fit"}, "four": {"not-unique"}}


def test_a_grid_that_the_gate_finds_too_large_is_told_once(write_pack: WritePack) -> None:
    symbols = "123456789ABCDEFG"
    rows = [[symbols[(4 * (r % 4) + r // 4 + c) % 16] for c in range(16)] for r in range(16)]
    rows[0][0] = "."
    grid = "".join("".join(row) for row in rows)
    folder = write_pack(f"- id: wide\n  title: W\n  size: 16\n  grid: {grid}", "layout: four-up")
    (one,) = fitted(folder, "print").checked
    assert [f.code for f in one.findings if f.refuses] == ["no-room"]


def test_build_says_the_same(narrow: Path, tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        build(gate.check(manifest.load(narrow)), tmp_path / "out", NAMES)
    report = fitted(narrow, *NAMES)
    some = [*report.findings, *(f for one in report.checked for f in one.findings)]
    for one in (f for f in some if f.code == "does-not-fit"):
        assert one.message in str(refused.value)
        assert f"To mend: {one.mend}" in str(refused.value)


def test_the_command_takes_editions_and_gives_fields(narrow: Path, capsys: Any) -> None:
    asked = ["check", str(narrow), "--edition", "print", "--edition", "screen", "--json"]
    assert cli.run(asked) == Exit.REFUSED
    puzzle = json.loads(capsys.readouterr().out)["puzzles"][0]
    (one,) = (f for f in puzzle["findings"] if f["code"] == "does-not-fit")
    assert one["field"] == "title"
    assert one["editions"][0] == "print"
