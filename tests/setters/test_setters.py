"""Setters: permissions, proof sheets, answers, and grids taken in; read by pypdf and PyYAML."""

from __future__ import annotations

import datetime
import json
import re
from pathlib import Path
from typing import Any

import pypdf
import pytest
import yaml

from packbuilder import cli, gate, manifest
from packbuilder.errors import Exit
from packbuilder.ladder.path import walk
from packbuilder.setters.permission_date import permission_date
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED

QUESTIONS = "    time: How long it took\n    trick: What is the trick to look for?"


@pytest.mark.parametrize(
    ("words", "day"),
    [
        ("by letter, 3 October 2026", "2026-10-03"),
        ("mail of 2026-10-03", "2026-10-03"),
        ("Oct. 3, 2026, by telephone", "2026-10-03"),
        ("on the 21st of june 2026", "2026-06-21"),
        ("asked 1 May 2026, given 2 May 2026", "2026-05-02"),
        ("by letter, 3 October", None),
        ("31 June 2026", None),
        ("03/10/2026", None),
        ("said yes in 2026", None),
        ("", None),
    ],
)
def test_the_day_of_a_permission(words: str, day: str | None) -> None:
    """The day of ISO 8601, and what a person writes by hand (common practice, no source)."""
    found = permission_date(words)
    assert found == (datetime.date.fromisoformat(day) if day else None)


def told(pack: Path, capsys: Any, code: Exit = Exit.GOOD) -> dict[str, Any]:
    assert cli.run(["setters", str(pack), "--json"]) == code
    found = json.loads(capsys.readouterr().out)["setters"]
    return {one["setter"]: {p["id"]: p for p in one["puzzles"]} for one in found}


def test_what_is_there_and_what_is_missing(pack: Path, capsys: Any) -> None:
    found = told(pack, capsys)
    assert list(found) == ["Ada Quill", "Bo Marl", "Cy Hall"]
    saucer, spoon = found["Bo Marl"]["saucer"], found["Cy Hall"]["spoon"]
    assert saucer["date"] == "2026-10-03"
    assert saucer["missing"] == ["the setter's own solution"]
    assert "the permission's day, month and year" in spoon["missing"]
    assert "answers: time and trick" in spoon["missing"]


def test_a_permission_that_is_missing_is_an_answer_of_no(pack: Path, capsys: Any) -> None:
    file = pack / "manifest.yaml"
    text = file.read_text(encoding="utf-8").replace("    permission: said yes at the fair\n", "")
    file.write_text(text, encoding="utf-8")
    assert "permission" in told(pack, capsys, Exit.REFUSED)["Cy Hall"]["spoon"]["missing"]


def words_of(file: Path) -> str:
    return " ".join(" ".join(p.extract_text().split()) for p in pypdf.PdfReader(file).pages)


def test_a_proof_sheet_for_each_guest(pack: Path, capsys: Any) -> None:
    sheets = pack.parent / "proofs"
    assert cli.run(["setters", str(pack), "--sheets", str(sheets)]) == Exit.GOOD
    assert sorted(path.name for path in sheets.iterdir()) == [
        "tea-house-proof-bo-marl.pdf", "tea-house-proof-cy-hall.pdf",
    ]  # fmt: skip
    words = words_of(sheets / "tea-house-proof-bo-marl.pdf")
    report = gate.check(manifest.load(pack))
    saucer = report.checked[1]
    path = walk(saucer.puzzle.geometry, saucer.puzzle.clues)
    assert f"Grade {path.grade}" in words
    assert f"Effort {path.effort:.0f}" in words
    ways = path.ways()
    steps = [int(k) for k in re.findall(r"Step (\d+) of \d+, with", words)]
    assert steps
    assert {ways[k - 1] for k in steps} == {min(ways[:-4])}
    assert saucer.no_notes is not None
    assert (
        f"its mark load is {saucer.no_notes.marks}" in words
        or f"{saucer.no_notes.marks} mark" in words
    )
    for part in ("Mind the handle.", "How long it took: two evenings and a morning",
                 "What is the trick to look for? Look at the ones.", "Approved by"):  # fmt: skip
        assert part in words
    assert "Please answer" not in words
    other = words_of(sheets / "tea-house-proof-cy-hall.pdf")
    assert "Please answer How long it took" in other
    first = {path.name: path.read_bytes() for path in sheets.iterdir()}
    assert cli.run(["setters", str(pack), "--sheets", str(sheets)]) == Exit.GOOD
    assert {path.name: path.read_bytes() for path in sheets.iterdir()} == first


def test_a_file_in_the_place_of_the_sheets_is_told(pack: Path, capsys: Any) -> None:
    assert cli.run(["setters", str(pack), "--sheets", str(pack / "manifest.yaml")]) == Exit.USAGE
    assert "is a file; name a folder with --sheets" in capsys.readouterr().err


def test_answers_stand_beside_the_puzzle(pack: Path) -> None:
    editions = [part for name in ("print", "text") for part in ("--edition", name)]
    assert cli.run(["build", str(pack), *editions]) == Exit.GOOD
    reader = pypdf.PdfReader(pack / "out" / "tea-house-print.pdf")
    pages = [" ".join(page.extract_text().split()) for page in reader.pages]
    (page,) = [text for text in pages if "Mind the handle." in text]
    assert "How long it took: two evenings and a morning" in page
    assert "What is the trick to look for? Look at the ones." in page
    text = " ".join((pack / "out" / "tea-house-text.txt").read_text(encoding="utf-8").split())
    assert "How long it took: two evenings and a morning" in text


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("      trick: Look", "      trik: Look", "did you mean 'trick'?"),
        (QUESTIONS, "    Time?: x", "is not an identifier"),
        (f"  questions:\n{QUESTIONS}\n", "", "there is no question 'trick'"),
    ],
)
def test_an_answer_to_no_question_is_told(
    pack: Path, capsys: Any, old: str, new: str, fault: str
) -> None:
    file = pack / "manifest.yaml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")
    assert cli.run(["check", str(pack)]) == Exit.USAGE
    assert fault in capsys.readouterr().err


# --- take ----------------------------------------------------------------------------------------

MAIL = f"""\
Dear Ada,
here is my best:

{chr(10).join(EXAMPLE[k : k + 9].replace(".", " ") for k in range(0, 81, 9))}

{EXAMPLE_SOLVED}

yours, Dee
"""


def mail(pack: Path, text: str = MAIL) -> Path:
    file = pack.parent / "crosswind.txt"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_grid_is_taken_into_the_pack(pack: Path) -> None:
    before = (pack / "manifest.yaml").read_text(encoding="utf-8")
    words = ["--setter", "Dee Ray", "--permission", "mail of 2026-10-04", "--title", "Cross: wind"]
    assert cli.run(["take", str(pack), str(mail(pack)), *words]) == Exit.GOOD
    after = (pack / "manifest.yaml").read_text(encoding="utf-8")
    assert after.startswith(before)
    found = manifest.load(pack).puzzles[-1]
    assert (found.id, found.title, found.setter) == ("cross-wind", "Cross: wind", "Dee Ray")
    assert "".join(str(v or ".") for v in found.clues) == EXAMPLE
    plain = yaml.safe_load((pack / "puzzles" / "cross-wind.yaml").read_text(encoding="utf-8"))
    assert "".join(plain["solution"].split()) == EXAMPLE_SOLVED


def test_a_solution_is_asked_for(pack: Path, capsys: Any) -> None:
    file = mail(pack, EXAMPLE)
    assert cli.run(["take", str(pack), str(file)]) == Exit.GOOD
    assert "no solution came with it" in capsys.readouterr().err
    assert "#solution:" in (pack / "puzzles" / "crosswind.yaml").read_text(encoding="utf-8")
    assert cli.run(["take", str(pack), str(file)]) == Exit.USAGE
    assert "is an id of the pack already" in capsys.readouterr().err


def test_a_slip_of_one_digit_is_caught_and_nothing_written(pack: Path, capsys: Any) -> None:
    before = (pack / "manifest.yaml").read_bytes()
    slipped = MAIL.replace(EXAMPLE_SOLVED, EXAMPLE_SOLVED[:80] + "9")
    assert cli.run(["take", str(pack), str(mail(pack, slipped))]) == Exit.USAGE
    assert "r9c9 is 2 and 9" in capsys.readouterr().err
    assert (pack / "manifest.yaml").read_bytes() == before
    assert not (pack / "puzzles").exists()


def test_a_solution_of_a_file_of_its_own(pack: Path) -> None:
    answer = pack.parent / "answer.txt"
    answer.write_text(EXAMPLE_SOLVED, encoding="utf-8")
    file = mail(pack, EXAMPLE)
    assert cli.run(["take", str(pack), str(file), "--solution", str(answer)]) == Exit.GOOD
    assert manifest.load(pack).puzzles[-1].solution is not None


@pytest.mark.parametrize("encoding", ["utf-16", "utf-8-sig"])
def test_a_text_says_by_its_mark_how_it_is_written(pack: Path, encoding: str) -> None:
    file = pack.parent / "mark.txt"
    file.write_text(MAIL, encoding=encoding)
    assert cli.run(["take", str(pack), str(file)]) == Exit.GOOD
    assert manifest.load(pack).puzzles[-1].solution is not None


def test_a_text_of_zero_bytes_is_told(pack: Path, capsys: Any) -> None:
    file = pack.parent / "zeros.txt"
    file.write_text(MAIL, encoding="utf-16-le")
    assert cli.run(["take", str(pack), str(file)]) == Exit.USAGE
    assert "as UTF-16 without a mark does; save the text as UTF-8" in capsys.readouterr().err
