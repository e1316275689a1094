"""Grids of all sizes, packs and manifest entries, for prove, rate and explain."""

from __future__ import annotations

import io
import json
import sys
import xml.etree.ElementTree as ET
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from packbuilder import cli
from packbuilder.errors import Exit

PACK = str(Path(__file__).resolve().parents[1] / "packs" / "night-train")
SIX = "2..15.3.1.2...6........5...24......."
ENTRY = """\
# a comment first
- id: rising
  title: Rising
  size: 6
  grid: 2..15.3.1.2...6........5...24.......
- id: again
  title: Again
  size: 6
  grid: 2..15.3.1.2...6........5...24......x
"""


@pytest.fixture
def feed(monkeypatch: pytest.MonkeyPatch) -> Any:
    def put(text: str) -> None:
        stdin = SimpleNamespace(buffer=io.BytesIO(text.encode()))
        monkeypatch.setattr(sys, "stdin", stdin)

    return put


def run(capsys: Any, *words: str) -> tuple[int, str, str]:
    code = cli.run(words)
    found = capsys.readouterr()
    return code, found.out, found.err


def test_a_pack_is_proved_and_rated_puzzle_by_puzzle(capsys: Any) -> None:
    code, out, _ = run(capsys, "prove", PACK, "--jsonl")
    proved = [json.loads(line) for line in out.splitlines()]
    assert code == Exit.GOOD and {one["solutions"] for one in proved} == {1}
    code, out, _ = run(capsys, "rate", PACK, "--jsonl")
    rated = [json.loads(line) for line in out.splitlines()]
    assert code == Exit.GOOD
    assert [one["id"] for one in rated] == [one["id"] for one in proved]
    assert [one["solution"] for one in rated] == [one["solution"] for one in proved]
    assert all(set(one["no_notes"]) >= {"solved", "marks"} for one in rated)
    code, out, _ = run(capsys, "check", PACK, "--json")
    checked = {one["id"]: one for one in json.loads(out)["puzzles"]}
    for one in rated:
        mine = checked[one["id"]]
        assert (one["grade"], one["no_notes"]) == (mine["grade"], mine["no_notes"])


def test_lines_of_another_size(feed: Any, capsys: Any) -> None:
    feed(f"{SIX}\n\nshort\n{'.' * 36}\n")
    code, out, err = run(capsys, "prove", "-", "--size", "6")
    assert (code, out) == (Exit.USAGE, "1\n-\n2\n") and "line 3" in err
    feed(f"{SIX}\n")
    code, out, _ = run(capsys, "rate", "--size", "6", "--jsonl")
    assert code == Exit.GOOD and json.loads(out)["grade"] in range(1, 9)


def test_an_entry_on_standard_input(feed: Any, capsys: Any) -> None:
    entry = ENTRY.partition("- id: again")[0]
    for text in (entry, entry.replace("- id", "id").replace("\n  ", "\n")):
        feed(text)
        code, out, _ = run(capsys, "prove", "-")
        assert (code, out) == (Exit.GOOD, "1\n")
    feed(entry)
    code, out, _ = run(capsys, "explain", "-", "--json")
    assert code == Exit.GOOD and json.loads(out)["solved"]
    feed(ENTRY)
    code, _, err = run(capsys, "rate", "-")
    assert code == Exit.USAGE
    assert "-:9: puzzles[2].grid (again): row 6, column 6 is 'x'" in err


def test_a_puzzle_of_a_pack_is_explained(capsys: Any, tmp_path: Path) -> None:
    code, out, _ = run(capsys, "explain", PACK, "ticket-window", "--no-notes", "--json")
    told = json.loads(out)
    assert code == Exit.GOOD and told["no_notes"]["solved"] is True
    svg = tmp_path / "pictures"
    code, _, _ = run(capsys, "explain", PACK, "ticket-window", "--svg", str(svg))
    assert code == Exit.GOOD
    pictures = sorted(svg.iterdir())
    assert len(pictures) > 15 and pictures[0].name == "01.svg"
    space = "{http://www.w3.org/2000/svg}"
    digits = [len(ET.parse(one).getroot().findall(f"{space}text")) for one in pictures]
    assert digits == sorted(digits) and digits[-1] == 36
    code, _, err = run(capsys, "explain", PACK, "tickt-window")
    assert code == Exit.REFUSED and "did you mean 'ticket-window'?" in err
    code, _, err = run(capsys, "explain", SIX, "ticket-window")
    assert code == Exit.USAGE and "no pack" in err


def test_a_file_that_is_not_there(capsys: Any) -> None:
    code, _, err = run(capsys, "rate", "nowhere.txt")
    assert code == Exit.USAGE and "nowhere.txt" in err
