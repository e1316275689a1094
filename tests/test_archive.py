"""The archive: last month's grid is found, turned and renamed; an index never stands in the way."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packbuilder import cli, gate, manifest
from packbuilder.archive import archive_of
from packbuilder.archive.index import NAME
from packbuilder.errors import Exit
from packbuilder.gate import Finding
from packbuilder.grid import parse_cell
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED

HEAD = "pack:\n  title: {title}\n  issue: {issue}\n  byline: Ada Quill\n{more}puzzles:\n"
CAGES = """\
- id: cages
  title: C
  size: 6
  grid: {grid}
  rules:
    - cages: [{{sum: {total}, cells: "{cells}"}}]
"""

WritePack = Callable[..., Path]


@pytest.fixture
def shelf(tmp_path: Path) -> WritePack:
    """Write a pack of that name on one shelf, beside the others."""

    def write(
        name: str, issue: str, puzzles: str, title: str = "", more: str = "", shelf: str = "packs"
    ) -> Path:
        folder = tmp_path / shelf / name
        folder.mkdir(parents=True, exist_ok=True)
        head = HEAD.format(title=title or name, issue=issue, more=more)
        (folder / "manifest.yaml").write_text(head + puzzles, encoding="utf-8")
        return folder

    return write


def entry(grid: str, name: str = "kettle") -> str:
    return f"- id: {name}\n  title: Kettle\n  grid: {grid}\n"


def turned(grid: str) -> str:
    """A quarter to the right, 1 renamed 2, 2 renamed 3, and so on: by hand."""
    there = "".join(grid[(8 - c) * 9 + r] for r in range(9) for c in range(9))
    return there.translate(str.maketrans("123456789", "234567891"))


def checked(folder: Path) -> list[Finding]:
    pack = manifest.load(folder)
    report = gate.check(pack, archive=archive_of(pack))
    return [*report.findings, *(f for one in report.checked for f in one.findings)]


def codes(folder: Path) -> list[str]:
    return [finding.code for finding in checked(folder)]


def test_last_months_grid_in_disguise_is_refused(shelf: WritePack) -> None:
    shelf("kites", "2026-11", entry("." * 81, "blank") + entry(EXAMPLE), title="Kites over Marl")
    (found,) = checked(shelf("harbour", "2026-12", entry(turned(EXAMPLE), "lamp")))
    assert (found.level, found.code) == ("refuse", "same-puzzle")
    assert found.message == (
        "this is kettle of Kites over Marl (2026-11, kites) again, in disguise: turned a quarter "
        "to the right; digits 1 2 3 4 5 6 7 8 9 become 2 3 4 5 6 7 8 9 1"
    )


def test_the_shell_refuses_it_too(shelf: WritePack, capsys: pytest.CaptureFixture[str]) -> None:
    shelf("kites", "2026-11", entry(EXAMPLE))
    folder = shelf("harbour", "2026-12", entry(EXAMPLE))
    for command in ("check", "build"):
        assert cli.run([command, str(folder)]) == Exit.REFUSED
        streams = capsys.readouterr()
        assert "this is kettle of kites (2026-11, kites) again, clue for clue" in "".join(streams)


@pytest.mark.parametrize(
    ("title", "issue", "refused"),
    [
        ("kites", "2026-11", True),
        ("kites", "2026-12", True),
        ("kites", "2027-01", False),  # it is that one's gate which refuses
        ("harbour", "2026-12", False),  # a draft of the same pack, kept beside it
        ("harbour", "2026-11", True),
    ],
)
def test_the_later_of_two_is_refused(
    shelf: WritePack, title: str, issue: str, refused: bool
) -> None:
    shelf("other", issue, entry(EXAMPLE), title=title)
    found = codes(shelf("harbour", "2026-12", entry(EXAMPLE)))
    assert found == (["same-puzzle"] if refused else [])


def test_a_clue_more_or_less_is_warned_of(shelf: WritePack) -> None:
    cell = EXAMPLE.index(".")
    more = EXAMPLE[:cell] + EXAMPLE_SOLVED[cell] + EXAMPLE[cell + 1 :]
    shelf("kites", "2026-11", entry(EXAMPLE))
    (found,) = checked(shelf("harbour", "2026-12", entry(turned(more))))
    assert (found.level, found.code) == ("warn", "same-solution")
    assert "that of kettle of kites (2026-11, kites)" in found.message
    (found,) = checked(shelf("alone", "2026-01", entry(EXAMPLE, "a") + entry(turned(more), "b")))
    assert (found.level, found.code) == ("warn", "same-solution")


def test_small_solved_grids_are_told_with_their_rules_only(shelf: WritePack) -> None:
    """All 6x6 grids fall into 49 kinds (Russell and Jarvis): two of a kind are no news."""
    solved = "123456456123231564564231312645645312"
    plain = "- id: {}\n  title: T\n  size: 6\n  grid: {}\n"
    one, other = ("".join("." if k % n == 0 else d for k, d in enumerate(solved)) for n in (7, 5))
    shelf("kites", "2026-11", plain.format("a", one))
    assert codes(shelf("harbour", "2026-12", plain.format("b", other))) == []
    shelf("kites", "2026-11", CAGES.format(grid=one, total=3, cells="r1c1 r1c2"))
    same = CAGES.format(grid=other, total=3, cells="r1c1 r1c2")
    assert codes(shelf("harbour", "2026-12", same)) == ["same-solution"]
    # By hand: the digits turned round make 7 - 1 and 7 - 2 of 1 and 2, and 11 of their sum.
    round_about = one.translate(str.maketrans("123456", "654321"))
    again = CAGES.format(grid=round_about, total=11, cells="r1c1 r1c2")
    (found,) = checked(shelf("harbour", "2026-12", again))
    assert found.message.endswith("in disguise: digits turned round: 6 for 1, and so on")


def test_folders_that_the_creator_names(shelf: WritePack, tmp_path: Path) -> None:
    shelf("kites", "2025-11", entry(EXAMPLE), shelf="last-year")
    named = '  archive: ["../../last-year"]\n'
    assert codes(shelf("harbour", "2026-12", entry(EXAMPLE))) == []
    assert codes(shelf("harbour", "2026-12", entry(EXAMPLE), more=named)) == ["same-puzzle"]
    one = f'  archive: ["{tmp_path}/last-year/kites"]\n'
    assert codes(shelf("harbour", "2026-12", entry(EXAMPLE), more=one)) == ["same-puzzle"]
    lost = '  archive: ["../lost"]\n'
    (found,) = checked(shelf("harbour", "2026-12", entry(EXAMPLE), more=lost))
    assert (found.level, found.code) == ("refuse", "no-archive")
    assert found.message.endswith("/lost: No such file or directory")


def test_a_pack_that_cannot_be_read_hides_no_other(shelf: WritePack) -> None:
    (shelf("broken", "2026-10", "") / "manifest.yaml").write_text("pack: [")
    shelf("kites", "2026-11", entry(EXAMPLE))
    found = checked(shelf("harbour", "2026-12", entry(EXAMPLE)))
    assert [finding.code for finding in found] == ["unread-pack", "same-puzzle"]
    assert "broken/manifest.yaml:" in found[0].message and found[0].level == "warn"


# --- the index ------------------------------------------------------------------------------------

HARM: dict[str, Callable[[Path], Any]] = {
    "no database": lambda path: path.write_bytes(b"not a database at all, but long enough" * 9),
    "empty": lambda path: path.write_bytes(b""),
    "cut short": lambda path: path.write_bytes(path.read_bytes()[:5000]),
    "overwritten": lambda path: path.write_bytes(path.read_bytes()[:4096] + b"\xff" * 30_000),
    "no tables": lambda path: sqlite3.connect(path).executescript("DROP TABLE puzzles"),
    "of another version": lambda path: sqlite3.connect(path).executescript(
        "DROP TABLE puzzles; PRAGMA user_version = 99"
    ),
    "deleted": lambda path: path.unlink(),
    "a folder": lambda path: (path.unlink(), path.mkdir()),
}
SILENT = ("empty", "of another version", "deleted", "a folder")


@pytest.mark.parametrize("what", HARM)
def test_an_index_may_come_to_harm(shelf: WritePack, what: str) -> None:
    shelf("kites", "2026-11", entry(EXAMPLE))
    folder = shelf("harbour", "2026-12", entry(turned(EXAMPLE)))
    before = checked(folder)
    index = folder.parent / NAME
    assert index.is_file()
    HARM[what](index)
    after = checked(folder)
    if what in SILENT:
        assert after == before
    else:
        assert [finding.code for finding in after] == ["index-made-anew", "same-puzzle"]
        assert after[0].level == "warn" and str(index) in after[0].message
        assert after[1:] == before
    assert checked(folder) == before


def test_a_pack_is_read_again_when_a_file_of_it_changes(
    shelf: WritePack, monkeypatch: pytest.MonkeyPatch
) -> None:
    kites = shelf("kites", "2026-11", "- file: one.yaml\n")
    (kites / "one.yaml").write_text("id: one\ntitle: T\ngrid: " + "." * 81)
    folder = shelf("harbour", "2026-12", entry(EXAMPLE))
    read: list[Path] = []
    real = manifest.load
    monkeypatch.setattr(manifest, "load", lambda path: read.append(path) or real(path))
    assert codes(folder) == []
    assert read == [folder, kites]
    assert codes(folder) == []
    assert read == [folder, kites, folder], "nothing has changed"
    (kites / "one.yaml").write_text("id: one\ntitle: T\ngrid: " + EXAMPLE)
    assert codes(folder) == ["same-puzzle"]
    (kites / "one.yaml").write_text("id: one\ntitle: T\ngrid: " + "." * 81)
    assert codes(folder) == []
    (kites / "manifest.yaml").unlink()
    assert codes(folder) == []


def test_a_pack_alone_has_no_index(shelf: WritePack) -> None:
    folder = shelf("harbour", "2026-12", entry(EXAMPLE))
    assert codes(folder) == []
    assert not (folder.parent / NAME).exists()


# --- kin ------------------------------------------------------------------------------------------


def by_hand(told: dict[str, Any], grid: str) -> str:
    """A map as `kin --json` tells it, followed cell by cell."""
    there = ["."] * 81
    for cell, digit in enumerate(grid):
        lines = told["rows"][cell // 9], told["columns"][cell % 9]
        row, column = sorted(lines, reverse=True)  # r comes after c
        there[parse_cell(row + column, 9)] = told["digits"].get(digit, ".")
    return "".join(there)


def test_kin_tells_a_map_that_can_be_checked(
    shelf: WritePack, capsys: pytest.CaptureFixture[str]
) -> None:
    kites = shelf("kites", "2026-11", entry(EXAMPLE))
    cell = EXAMPLE.index(".")
    more = EXAMPLE[:cell] + EXAMPLE_SOLVED[cell] + EXAMPLE[cell + 1 :]
    shelf("more", "2027-11", entry(more, "more"))
    rows = [4, 3, 5, 0, 2, 1, 6, 7, 8]
    other = "".join(turned(EXAMPLE)[row * 9 :][:9] for row in rows)
    assert cli.run(["kin", other, str(kites.parent), "--json"]) == Exit.GOOD
    one, solution = json.loads(capsys.readouterr().out)["kin"]
    assert (one["id"], one["pack"], one["issue"], one["same"]) == (
        "kettle", "kites", "2026-11", "puzzle",
    )  # fmt: skip
    assert by_hand(one["map"], EXAMPLE) == other
    assert (solution["id"], solution["same"]) == ("more", "solution")
    assert cli.run(["kin", other, str(kites)]) == Exit.GOOD
    told = capsys.readouterr().out
    assert told.startswith("the same puzzle as kettle of kites (2026-11, kites): laid on its side;")


def test_kin_of_a_puzzle_of_a_pack(shelf: WritePack, capsys: pytest.CaptureFixture[str]) -> None:
    shelf("kites", "2027-11", entry(EXAMPLE))
    folder = shelf("harbour", "2026-12", entry(EXAMPLE, "lamp") + entry(turned(EXAMPLE), "lump"))
    assert cli.run(["kin", str(folder), "lamp"]) == Exit.GOOD
    assert capsys.readouterr().out.splitlines() == [
        "the same puzzle as lump of harbour (2026-12, harbour): turned a quarter to the left; "
        "digits 1 2 3 4 5 6 7 8 9 become 9 1 2 3 4 5 6 7 8",
        "the same puzzle as kettle of kites (2027-11, kites): clue for clue",
    ]
    assert cli.run(["kin", str(folder), "lamp", str(folder.parent / "kites")]) == Exit.GOOD
    assert len(capsys.readouterr().out.splitlines()) == 1


WRONG = {
    "name the packs to look in": [EXAMPLE],
    "there is no such pack, and it is no grid either": ["packs/nowhere"],
    "has no puzzle lamb; did you mean 'lamp'?": ["{folder}", "lamb"],
    "write the puzzle's id behind its pack": ["{folder}"],
    "nowhere: No such file or directory": [EXAMPLE, "nowhere"],
    "GRID has 3 cells": ["123", "{folder}"],
}


@pytest.mark.parametrize("words", WRONG)
def test_what_kin_cannot_read(
    words: str, shelf: WritePack, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = shelf("harbour", "2026-12", entry(EXAMPLE, "lamp"))
    assert cli.run(["kin", *(text.format(folder=folder) for text in WRONG[words])]) == Exit.USAGE
    assert words in capsys.readouterr().err


def test_kin_of_a_new_grid_says_no(shelf: WritePack, capsys: pytest.CaptureFixture[str]) -> None:
    folder = shelf("harbour", "2026-12", entry(EXAMPLE, "lamp"))
    assert cli.run(["kin", "1" + "." * 80, str(folder)]) == Exit.REFUSED
    assert capsys.readouterr().out == "it is in none of these packs\n"
