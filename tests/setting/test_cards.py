"""The sheet of cards: every grid is on it, cell by cell, with what is known of it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pdfplumber
import pikepdf
import pytest

from packbuilder.cli import run

PER_PAGE = 6


def grids(capsys: pytest.CaptureFixture[str], *asked: str) -> list[dict[str, Any]]:
    assert run(["set", *asked, "--json"]) == 0
    found: list[dict[str, Any]] = json.loads(capsys.readouterr().out)["grids"]
    return found


def test_every_grid_stands_on_a_card(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "cards.pdf"
    found = grids(capsys, "--count", "7", "--grade", "2", "--seed", "4", "--sheet", str(file))
    with pdfplumber.open(file) as pdf:
        assert len(pdf.pages) == -(-len(found) // PER_PAGE)
        words = " ".join(page.extract_text() for page in pdf.pages)
        assert not [c for page in pdf.pages for c in page.chars if "Light" in c["fontname"]]
        digits = [sorted(digits_of(page)) for page in pdf.pages]
    with pikepdf.open(file) as whole:
        shown = [
            str(op.operator) for page in whole.pages for op in pikepdf.parse_content_stream(page)
        ]
    assert "Do" not in shown, "a form that the file does not have"
    for number, grid in enumerate(found, start=1):
        assert f"Grid {number}" in words
        assert f"Effort {grid['effort']:.0f}" in words
        assert f"No notes: {grid['no_notes']['marks']} mark" in words
    assert words.count("Grade 2") == len(found)
    first = 4  # of seven: two pages are filled as evenly as rows of two allow
    for page, here in enumerate((found[:first], found[first:])):
        assert digits[page] == sorted(d for grid in here for d in grid["grid"] if d != ".")


def digits_of(page: Any) -> list[str]:
    """The digits of the clues' face, which is larger than that of titles."""
    size = max(c["size"] for c in page.chars if c["text"].isdigit() and "Semibold" in c["fontname"])
    return [c["text"] for c in page.chars
            if "Semibold" in c["fontname"] and abs(c["size"] - size) < 0.1]  # fmt: skip


def test_the_same_grids_give_the_same_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ("--size", "6", "--rule", "cages: 5", "--clues", "0-16", "--count", "2")
    for name in "ab":
        grids(capsys, *asked, "--sheet", str(tmp_path / f"{name}.pdf"))
    one, other = ((tmp_path / f"{name}.pdf").read_bytes() for name in "ab")
    assert one == other


def test_a_sheet_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["set", "--sheet", str(tmp_path / "nowhere" / "cards.pdf")]) == 2
    told = capsys.readouterr()
    assert "cannot be written" in told.err and "grid: |" in told.out
