"""Who was first: a hand-made list, each line with what must become of it."""

from __future__ import annotations

import csv
import io
import json
import os
import random
import stat
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from packbuilder import cli
from packbuilder.errors import Exit
from packbuilder.grid import cell_name
from packbuilder.supporters.entries import Prize, judge
from packbuilder.supporters.instants import read_instant
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED

CELLS = (2, 13, 34, 50, 77)
CODE = "".join(EXAMPLE_SOLVED[c] for c in CELLS)
PRIZE = Prize("kettle", 7, "Kettle", EXAMPLE_SOLVED, CELLS, 3000)
OTHER = Prize("cup", 8, "Cup", "1234341221434321", (0, 5, 10), 40)
WRONG = ("9" if CODE[0] != "9" else "8") + CODE[1:]
SLIP = EXAMPLE_SOLVED[:40] + str(int(EXAMPLE_SOLVED[40]) % 9 + 1) + EXAMPLE_SOLVED[41:]

# What is received, by whom, for what, with which digits; and what must become of it.
LINES: list[tuple[str, str, str, str, str]] = [
    ("2026-12-01T18:00:00Z", "Ada", "kettle", WRONG, "wrong: wrong in A"),
    ("2026-12-01T18:00:01Z", "Odo", "7", CODE, "first 1"),
    ("2026-12-01T19:00:02+01:00", "Ada", "Kettle", CODE, "first 2"),
    ("2026-12-01T18:00:02.0Z", "Imre", "#7", " - ".join(CODE), "first 2"),
    ("2026-12-01T18:00:03", "Zoe", "kettle", CODE, "unread: its time has no zone"),
    ("2026-12-01T10:00:04-08:00", "Zoe", "kettle", EXAMPLE_SOLVED, "later 4"),
    ("2026-12-01T18:00:05Z", "ODO", "kettle", CODE, "repeats 3: the same person's entry on line 3"),
    ("2026-12-01T18:00:06Z", "Jo", "kettle", SLIP, f"wrong: wrong: r5c5 is {SLIP[40]}"),
    ("2026-12-01T18:00:06Z", "Jo", "kettle", EXAMPLE, "wrong: wrong: r1c3 is empty"),
    ("2026-12-01T18:00:07Z", "Jo", "kettle", CODE[:-1], "wrong: has 4 digits; the code has 5, the"),
    ("2026-12-01T18:00:07Z", "Jo", "kettle", "", "wrong: has no digits"),
    ("2026-12-01T18:00:07Z", "", "kettle", CODE, "unread: has no name"),
    ("2026-12-01T18:00:07Z", "Jo", "teapot", CODE, "unread: names no puzzle that can be entered"),
    ("2026-12-24T12:00:00.1Z", "Kai", "kettle", CODE, "late: received at 2026-12-24 12:00:00.1"),
    ("2026-12-24T12:00:00Z", "Kim", "kettle", CODE, "later 5"),
    ("2026-12-24T12:00:00Z", "Lou", "8", "143", "wrong: wrong in C"),
    ("2026-12-01T00:00:00Z", "Kim", "cup", "1 4 4", "first 1"),
]  # fmt: skip


def write(folder: Path) -> Path:
    file = folder / "list.csv"
    with file.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, delimiter=";")
        writer.writerow(["received", "name", "e-mail", "puzzle", "digits"])
        for received, name, puzzle, digits, _ in LINES:
            writer.writerow([received, name, "x@example.org", puzzle, digits])
    return file


def test_each_line_becomes_what_it_must(tmp_path: Path) -> None:
    closes = read_instant("2026-12-24T13:00:00+01:00")
    found = judge(write(tmp_path), [PRIZE, OTHER], 3, closes)
    told: dict[int, str] = {fault.line: f"unread: {fault.why}" for fault in found.unread}
    for one in found.puzzles:
        told |= {p.entry.line: f"first {p.place}" for p in one.first}
        told |= {p.entry.line: f"later {p.place}" for p in one.later}
        told |= {f.line: f"wrong: {f.why}" for f in one.wrong}
        told |= {f.line: f"repeats {f.of}: {f.why}" for f in one.repeats}
        told |= {f.line: f"late: {f.why}" for f in one.late}
    for line, (*_, due) in enumerate(LINES, start=2):
        assert told[line].startswith(due), (line, told[line])
    assert len(told) == len(LINES)
    tries = {p.entry.name: p.entry.tries for one in found.puzzles for p in one.first}
    assert tries["Ada"] == 2


def test_who_ties_with_the_last_that_wins_wins(tmp_path: Path) -> None:
    found = judge(write(tmp_path), [PRIZE], 2)
    assert [(p.place, p.entry.name) for p in found.puzzles[0].first] == [
        (1, "Odo"), (2, "Ada"), (2, "Imre"),
    ]  # fmt: skip


def test_places_are_those_of_sorted_times(tmp_path: Path) -> None:
    """A thousand entries in any order and any zone, placed by the standard library's times."""
    rng, start = random.Random(5), datetime(2026, 12, 1, tzinfo=UTC)
    moments = [start + timedelta(seconds=rng.randrange(400)) for _ in range(1000)]
    file = tmp_path / "list.csv"
    with file.open("w", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(["received", "name", "puzzle", "digits"])
        for k, moment in enumerate(moments):
            hours = timedelta(hours=rng.randrange(-11, 12))
            local = (moment + hours).strftime("%Y-%m-%dT%H:%M:%S")
            sign, minutes = ("-" if hours < timedelta() else "+"), abs(hours).seconds // 60
            writer.writerow([f"{local}{sign}{minutes // 60:02}:00", f"P{k}", "kettle", CODE])
    (one,) = judge(file, [PRIZE], 10).puzzles
    for placed in (*one.first, *one.later):
        own = moments[placed.entry.line - 2]
        assert placed.place == 1 + sum(moment < own for moment in moments)
    assert all(placed.place <= 10 for placed in one.first)
    assert len(one.first) + len(one.later) == 1000


# --- the command ---------------------------------------------------------------------------------


@pytest.fixture
def folder(write_pack: Callable[..., Path]) -> Path:
    made = write_pack(f"- id: kettle\n  title: Kettle\n  entry: true\n  grid: {EXAMPLE}\n")
    assert cli.run(["build", str(made)]) == Exit.GOOD
    return made


def code_of(folder: Path) -> str:
    record = json.loads((folder / "out" / "release.json").read_text())
    cells = record["puzzles"][0]["entry"]["cells"]
    names = [cell_name(cell, 9) for cell in range(81)]
    return "".join(EXAMPLE_SOLVED[names.index(name)] for name in cells)


def entered(folder: Path, *more: str, code: Exit = Exit.GOOD) -> None:
    right = code_of(folder)
    (folder / "list.csv").write_text(
        "received,name,puzzle,digits\n"
        f"2026-12-01T18:00:01Z,Ada Quill,kettle,{right}\n"
        f"2026-12-01T18:00:02Z,Odo Farrow,1,{right}\n"
        f"2026-12-01T18:00:03Z,Imre Zoltan,kettle,{right[:-1]}0\n"
    )
    assert cli.run(["entries", str(folder), str(folder / "list.csv"), *more]) == code


def test_names_are_in_the_private_list_alone(folder: Path, capsys: Any) -> None:
    (folder / "list2.csv").write_text("name\nOdo Farrow\n")
    people = ["--supporters", str(folder / "list2.csv")]
    assert cli.run(["copies", str(folder), *people]) == Exit.GOOD
    capsys.readouterr()
    entered(folder)
    out = folder / "entries"
    told = capsys.readouterr()
    public = [(out / name).read_text() for name in ("public.md", "public.txt")]
    for text in (told.out, told.err, *public):
        assert not any(name in text for name in ("Quill", "Farrow", "Zoltan"))
    assert "## 1. Kettle" in public[0]
    assert "- 1st: entry 2, 2026-12-01 18:00:01 UTC" in public[0]
    assert "- 2nd: copy 00001, 2026-12-01 18:00:02 UTC" in public[0]
    assert "2 right answers in all" in public[1]
    assert told.out == public[1]
    rows = list(csv.DictReader(io.StringIO((out / "private.csv").read_text())))
    assert [(r["line"], r["name"], r["outcome"], r["place"]) for r in rows] == [
        ("2", "Ada Quill", "first", "1"), ("3", "Odo Farrow", "first", "2"),
        ("4", "Imre Zoltan", "wrong", ""),
    ]  # fmt: skip
    if os.name == "posix":
        assert stat.S_IMODE((out / "private.csv").stat().st_mode) == 0o600
    assert (out / ".gitignore").read_text().splitlines()[-1] == "*"


def test_json_has_no_names(folder: Path, capsys: Any) -> None:
    capsys.readouterr()
    entered(folder, "--json", "--first", "1")
    text = capsys.readouterr().out
    (one,) = json.loads(text)["puzzles"]
    assert not any(name in text for name in ("Quill", "Farrow", "Zoltan"))
    assert one["id"] == "kettle"
    assert [(p["line"], p["place"], p["received"]) for p in one["first"]] == [
        (2, 1, "2026-12-01T18:00:01Z")
    ]
    assert [p["line"] for p in one["later"]] == [3]
    assert [p["line"] for p in one["wrong"]] == [4]


def test_names_are_public_if_that_is_asked(folder: Path) -> None:
    entered(folder, "--names")
    assert "1st: Ada Quill" in (folder / "entries" / "public.txt").read_text()


def test_what_was_printed_counts(folder: Path, capsys: Any) -> None:
    """The manifest has gone on since: the released record is what solvers had before them."""
    manifest = folder / "manifest.yaml"
    manifest.write_text(manifest.read_text().replace("entry: true", "entry: false"))
    capsys.readouterr()
    entered(folder, "--json")
    assert len(json.loads(capsys.readouterr().out)["puzzles"][0]["first"]) == 2


def test_a_pack_that_was_not_released_goes_by_the_gate(folder: Path, capsys: Any) -> None:
    right = code_of(folder)
    for file in (folder / "out").iterdir():
        file.unlink()
    (folder / "list.csv").write_text(
        f"received,name,puzzle,digits\n2026-12-01T18:00:01Z,A,1,{right}\n"
    )
    capsys.readouterr()
    assert cli.run(["entries", str(folder), str(folder / "list.csv"), "--json"]) == Exit.GOOD
    assert len(json.loads(capsys.readouterr().out)["puzzles"][0]["first"]) == 1


def test_a_line_that_cannot_be_read_is_told_and_the_others_judged(
    folder: Path, capsys: Any
) -> None:
    right = code_of(folder)
    (folder / "list.csv").write_text(
        "received,name,puzzle,digits\n"
        f"2026-12-01T18:00:01Z,Ada,1,{right}\nyesterday,Odo,1,{right}\n"
    )
    capsys.readouterr()
    assert cli.run(["entries", str(folder), str(folder / "list.csv"), "--json"]) == Exit.USAGE
    told = capsys.readouterr()
    assert len(json.loads(told.out)["puzzles"][0]["first"]) == 1
    assert "1 line could not be read, the first is 3" in told.err
    assert "- 1st: entry 2" in (folder / "entries" / "public.md").read_text()


def test_faults_are_told(folder: Path, write_pack: Callable[..., Path], capsys: Any) -> None:
    entered(folder, "--closes", "2026-12-24", code=Exit.USAGE)
    assert "--closes: is not a time; write it like 2026-12-01T18:04:05Z" in capsys.readouterr().err
    (folder / "list.csv").write_text("name,digits\nAda,1\n")
    assert cli.run(["entries", str(folder), str(folder / "list.csv")]) == Exit.USAGE
    assert "no columns are called 'received' and 'puzzle'" in capsys.readouterr().err
    bare = write_pack(f"- id: kettle\n  title: Kettle\n  grid: {EXAMPLE}\n", name="bare")
    assert cli.run(["entries", str(bare), str(folder / "list.csv")]) == Exit.USAGE
    assert "no puzzle of this pack can be entered" in capsys.readouterr().err
