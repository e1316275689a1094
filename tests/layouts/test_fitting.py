"""How large cells come out, worked by hand from the layouts' own figures; and what has no room."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from packbuilder import cli, gate, manifest
from packbuilder.errors import Exit
from packbuilder.layouts import MM, cell_size, load, misfit
from packbuilder.layouts.fitting import text_cell
from packbuilder.puzzle import Puzzle
from packbuilder.rules import kinds
from tests.layouts.files import changed
from tests.pages.sample_book import sample_book

WritePack = Callable[..., Path]


def plain(size: int) -> Puzzle:
    """The puzzle of that size in the sample book."""
    entries = sample_book(large=True).entries
    return next(one.puzzle for one in entries if one.puzzle.size == size)


def ruled(slug: str, value: object) -> Puzzle:
    puzzle = plain(9)
    return replace(puzzle, rules=tuple(kinds()[slug].read(value, puzzle.geometry)))


SANDWICH = ruled("sandwich", {"left": "5 . . . . . . . .", "top": "5 . . . . . . . ."})
CAGES = ruled("cages", [{"sum": "10", "cells": "r1c1 r1c2"}])


def test_a_band_of_clues_takes_nine_tenths_of_a_cell() -> None:
    # A letter page is 279.4 mm high; 33.5 are margins, and 4 part two rows of puzzles. Of each half
    # 7 are caption and 32.5 notes, so 81.45 are left for nine cells and the band.
    layout = load("four-up")
    assert cell_size(layout, "letter", SANDWICH) / MM == pytest.approx(81.45 / 9.9, abs=0.01)


def test_notes_that_need_more_take_it_from_the_grid_down_to_the_minimum() -> None:
    # One grid on A4: 243 mm of text, less 13 of caption. 80 mm of notes leave 150 for nine cells;
    # 180 would leave less than the minimum.
    layout, puzzle = load("one-up"), plain(9)
    assert cell_size(layout, "a4", puzzle) / MM == pytest.approx(18)
    assert cell_size(layout, "a4", puzzle, 80 * MM) / MM == pytest.approx(150 / 9)
    assert cell_size(layout, "a4", puzzle, 180 * MM) / MM == pytest.approx(11)


def test_large_sums_in_corners_make_large_cells() -> None:
    # A digit of 28 points is 28 * 0.645 high (a figure's share of its type), and half of that lies
    # above the middle; a sum of 18 points hangs 0.07 of the cell under its top. So the half cell
    # of 0.5 u holds 0.07 u, 18 * 0.645 and 14 * 0.645, and white of a twentieth of the sum's type.
    layout = load("large-print")
    cell = cell_size(layout, "letter", CAGES, 300 * MM)
    assert (0.5 - 0.07) * cell - (18 + 14) * 0.645 == pytest.approx(18 / 20, abs=0.01)
    assert cell_size(layout, "letter", plain(9), 300 * MM) < cell


@pytest.mark.parametrize(
    ("towards", "apart"), [(("up-left", "up-right"), True), (("up-right", "up-left"), False)]
)
def test_two_sums_side_by_side_need_white_between(towards: tuple[str, str], apart: bool) -> None:
    # A number stands a quarter of a cell from the middle of its column, on the side to which its
    # arrow points: two that point to one another are half a cell apart. Each is a figure of half an
    # em either way, of 8 points; with a third of an em between them half a cell is at least 10.6.
    sums = [{"sum": "16", "from": "r9c6", "towards": towards[0]},
            {"sum": "23", "from": "r9c7", "towards": towards[1]}]  # fmt: skip
    shapes = [shape for part in ruled("little-sums", sums).rules for shape in part.shapes()]
    assert (text_cell(shapes, 9.0, 8.0) / 2 > 8 * (1 + 1 / 3)) == apart


@pytest.mark.parametrize(
    ("name", "paper", "size", "holds"),
    [
        ("one-up", "a4", 16, True), ("one-up", "half-letter", 16, True), ("one-up", "a6", 12, True),
        ("one-up", "a6", 16, False), ("two-up", "letter", 16, True), ("gift-card", "a4", 16, False),
        ("large-print", "a4", 12, True), ("large-print", "letter", 12, True),
        ("large-print", "a4", 16, False), ("screen", "tablet", 16, True),
    ],
)  # fmt: skip
def test_which_grids_a_layout_holds(name: str, paper: str, size: int, holds: bool) -> None:
    layout = load(name).for_paper(paper)
    trouble = misfit(layout, paper, plain(size))
    assert (trouble is None) == holds
    if holds:  # and its digits are as large as the layout promises
        digit = cell_size(layout, paper, plain(size), 300 * MM) * layout.digit
        assert digit >= layout.least.digits - 0.01


def test_a_grid_that_is_too_large_is_told_with_puzzle_reason_and_mend() -> None:
    trouble = misfit(load("large-print"), "a4", plain(16))
    assert trouble is not None
    assert trouble.message == (
        "cells: the layout large-print stops at grids of size 12 on a4 paper, and the 16x16 grid "
        "of puzzle 'sixteen-fathoms' is larger"
    )
    assert trouble.mend.startswith("take another layout or larger paper")


def test_a_cell_under_the_minimum_is_told_with_puzzle_reason_and_mend(tmp_path: Path) -> None:
    # Of 177 mm of text, 12 are caption and 30 notes: nine cells of 15 fit into 135. With a band
    # nine and nine tenths share them. A layout that has a line for grids of ten judges them by it.
    folder = changed(tmp_path, "screen", ("aim: 15, minimum: 11", "aim: 15, minimum: 15"))
    layout = load("mine", folder)
    assert misfit(layout, "tablet", plain(9)) is None
    assert misfit(layout, "tablet", SANDWICH) is None
    up_to_nine = replace(layout, cells=layout.cells[:5])
    trouble = misfit(up_to_nine, "tablet", SANDWICH)
    assert trouble is not None
    assert trouble.message == (
        "cells[5].minimum: on tablet paper the 9x9 grid of puzzle 'first-ferry' gets cells of "
        "13.6 mm, under the minimum of 15 mm"
    )
    assert trouble.mend == "take a layout with fewer grids to a page, or larger paper"


# --- the gate --------------------------------------------------------------------------------


def pack_with(write_pack: WritePack, head: str) -> Path:
    """A pack with a good 9x9, its head changed."""
    from tests.test_gate import entry

    folder = write_pack(entry())
    path = folder / "manifest.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("pack:\n", f"pack:\n{head}", 1), encoding="utf-8")
    return folder


def test_a_layout_that_is_not_there_is_a_finding_on_the_pack(write_pack: WritePack) -> None:
    report = gate.check(manifest.load(pack_with(write_pack, "  layout: one-ip\n")))
    (finding,) = report.findings
    assert (finding.level, finding.code) == ("refuse", "bad-layout")
    assert "no layout 'one-ip'; did you mean 'one-up'?" in finding.message
    assert not report.passed


def test_a_layout_that_is_not_made_for_the_paper(write_pack: WritePack) -> None:
    report = gate.check(manifest.load(pack_with(write_pack, "  layout: two-up\n  paper: a5\n")))
    (finding,) = report.findings
    assert finding.code == "bad-layout"
    assert "the layout two-up is made for a4, letter" in finding.message


def test_a_puzzle_that_the_layout_cannot_hold(write_pack: WritePack, tmp_path: Path) -> None:
    folder = pack_with(write_pack, "  layout: mine\n")
    (folder / "layouts").mkdir()
    changed(folder / "layouts", "four-up", ("  - {up_to: 9, aim: 9.5, minimum: 9}\n", ""),
            ("  - {up_to: 12, aim: 7.2, minimum: 6}\n", ""))  # fmt: skip
    report = gate.check(manifest.load(folder))
    (finding,) = report.checked[0].findings
    assert (finding.level, finding.code) == ("refuse", "no-room")
    assert finding.message.startswith("mine.yaml: cells: the layout mine stops at grids of size 6")
    assert finding.mend
    assert not report.passed


# --- the command -----------------------------------------------------------------------------


def shell(*words: str) -> str:
    run = [sys.executable, "-m", "packbuilder.cli", *words]
    return subprocess.run(run, capture_output=True, text=True, check=True).stdout


def test_the_command_lists_names_papers_and_what_they_are_like() -> None:
    rows = {row["name"]: row for row in json.loads(shell("layouts", "--json"))}
    assert rows["one-up"]["papers"] == ["a4", "letter", "a5", "half-letter", "a6"]
    told = shell("layouts")
    for name, row in rows.items():
        assert name in told
        assert row["about"] in told
    assert json.loads(shell("layouts", "--schema"))["title"] == "packbuilder layout"


def test_the_layout_of_an_edition_is_left_to_it(write_pack: WritePack, capsys: Any) -> None:
    folder = pack_with(write_pack, "  layout: screen\n")
    (finding,) = gate.check(manifest.load(folder)).findings
    assert finding.message.endswith(
        "the layout screen is made for tablet; choose another layout, and build with "
        "`--edition screen`"
    )
    assert cli.run(["build", str(folder)]) == Exit.REFUSED
    told = capsys.readouterr().err
    assert "refused: the pack itself (bad-layout)" in told
    assert f"the gate refused this pack: {finding.message}; nothing was released" in told


def test_papers_of_editions_are_listed_with_them(capsys: Any) -> None:
    assert cli.run(["layouts"]) == Exit.GOOD
    told = capsys.readouterr().out
    assert "on tablet (`--edition screen`)" in told
    assert "on a4, letter, a5, half-letter (`--edition booklet`), a6 (`--edition booklet`)" in told
