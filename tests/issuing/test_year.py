"""The year: counted again by PyYAML from the ledger; the chart read by pypdf and ElementTree."""

from __future__ import annotations

import json
import random
from collections import Counter
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pypdf
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from packbuilder import cli, rules, symmetry
from packbuilder.errors import Exit
from packbuilder.issuing.ledger import Issued, IssuedFile, IssuedPuzzle, note
from packbuilder.issuing.year import after, apart
from packbuilder.ladder.table import DEFAULT
from packbuilder.setting.picture import drawn_by
from tests.conftest import ROOT

TECHNIQUES = [one.slug for one in DEFAULT.techniques][:16]
MONTHS = ["2025-11", "2025-12", "2026-01", "2026-02", "2026-06", "2026-07"]


@pytest.fixture
def packs(tmp_path: Path) -> Path:
    rng = random.Random(7)
    for month in MONTHS:
        puzzles = tuple(
            IssuedPuzzle(
                id=f"p{k}",
                title=f"Puzzle {k}",
                setter=rng.choice(["Ada Quill", "Bo Marl"]),
                grade=rng.choice([1, 3, 5, "beyond"]),
                marks=rng.choice([0, 2, None]),
                symmetry=rng.choice(symmetry.NAMES[:5]),
                picture=rng.choice(["", "heart", "moon"]),
                techniques=tuple(rng.sample(TECHNIQUES, 4)),
                rules=tuple(rng.sample(sorted(rules.kinds()), rng.randrange(3))),
            )
            for k in range(9)
        )
        file = IssuedFile("print", "x.pdf", "a" * 64, 37, "b" * 32)
        pack = f"pack-{month}"
        note(tmp_path / "ledger.yaml", Issued(pack, "T", month, month, "c" * 64, (file,), puzzles))
    return tmp_path


def test_the_counts_are_the_ledgers(packs: Path, capsys: Any) -> None:
    assert cli.run(["plan", str(packs), "--json"]) == Exit.GOOD
    told = json.loads(capsys.readouterr().out)
    issues = yaml.safe_load((packs / "ledger.yaml").read_text(encoding="utf-8"))["issues"]
    assert [one["issue"] for one in told["issues"]] == MONTHS
    for kind, key in (("techniques", "techniques"), ("rules", "rules")):
        due = [Counter(x for p in one["puzzles"] for x in p.get(key, ())) for one in issues]
        for use in told["uses"][kind]:
            assert use["counts"] == [count[use["name"]] for count in due]
            months = [m for m, count in zip(MONTHS, due, strict=True) if count[use["name"]]]
            assert use["last"] == (months[-1] if months else None)
        shown = {use["name"] for use in told["uses"][kind]}
        singles = {"full-house", "hidden-single", "naked-single"}
        assert {name for count in due for name in count} - singles <= shown
    drawn = Counter(p["picture"] for one in issues for p in one["puzzles"] if "picture" in p)
    counts = {u["name"]: sum(u["counts"]) for u in told["uses"]["pictures of clues"]}
    assert {name: count for name, count in counts.items() if count} == drawn
    assert told["proposal"]["picture"] in set(counts) - set(drawn)
    grades = Counter(str(p["grade"]) for one in issues for p in one["puzzles"])
    assert {u["name"]: sum(u["counts"]) for u in told["uses"]["grades"]} == grades
    marks = Counter(str(p.get("marks", "notes needed")) for one in issues for p in one["puzzles"])
    assert {u["name"]: sum(u["counts"]) for u in told["uses"]["mark loads"]} == marks


def test_what_is_proposed_was_long_unused_and_can_be_set(packs: Path, capsys: Any) -> None:
    assert cli.run(["plan", str(packs), "--json"]) == Exit.GOOD
    told = json.loads(capsys.readouterr().out)
    found = told["proposal"]
    assert found["issue"] == "2026-08"
    for kind, key in (("techniques", "technique"), ("rules", "rule")):
        idle = {u["name"]: 999 if u["idle"] is None else u["idle"] for u in told["uses"][kind]}
        rungs = {one.slug: one.rung for one in DEFAULT.techniques}
        idle = {name: months for name, months in idle.items() if rungs.get(name, 0) <= 6}
        assert idle[found[key]] == max(idle.values())
    for command in found["commands"]:
        words = command.split()
        assert words[:2] == ["packbuilder", "set"]
        options = {option for one in cli.commands.commands["set"].params for option in one.opts}
        assert {word for word in words if word.startswith("--")} <= options


def test_clues_that_draw_a_picture_are_known() -> None:
    """The pictures as their files have them."""
    for file in (ROOT / "packbuilder" / "setting" / "pictures").glob("*.txt"):
        signs = "".join(file.read_text(encoding="utf-8").split())
        if "?" not in signs:
            assert drawn_by(tuple(int(sign == "#") for sign in signs)) == file.stem
            assert drawn_by(tuple(int(sign != "#") for sign in signs)) != file.stem
    assert drawn_by((1,) * 16) == ""


def test_a_proposed_rule_is_set(packs: Path, capsys: Any) -> None:
    assert cli.run(["plan", str(packs), "--json"]) == Exit.GOOD
    commands = json.loads(capsys.readouterr().out)["proposal"]["commands"]
    assert cli.run(commands[1].split()[1:]) == Exit.GOOD


def test_the_chart_shows_the_same_in_pdf_and_svg(packs: Path, capsys: Any) -> None:
    files = packs / "year.pdf", packs / "year.svg"
    charts = [part for file in files for part in ("--chart", str(file))]
    assert cli.run(["plan", str(packs), *charts, "--json"]) == Exit.GOOD
    told = json.loads(capsys.readouterr().out)
    pages = pypdf.PdfReader(files[0]).pages
    text = "\n".join(page.extract_text() for page in pages)
    root = ElementTree.parse(files[1]).getroot()
    space = "{http://www.w3.org/2000/svg}"
    drawn = [one.text for one in root.iter(f"{space}text")]
    used = [u for kind in told["uses"].values() for u in kind if sum(u["counts"])]
    for use in used:
        assert use["name"] in text
        assert use["name"] in drawn
    squares = sum(sum(count > 0 for count in use["counts"]) for use in used)
    groups = list(root.iter(f"{space}g"))
    assert len(groups) == len(used)
    assert sum(len(list(g.iter(f"{space}rect"))) for g in groups) == squares


def test_a_pack_that_is_built_counts_and_is_told(pack: Path, capsys: Any) -> None:
    (pack.parent / "ledger.yaml").unlink()
    assert cli.run(["plan", str(pack.parent)]) == Exit.GOOD
    assert "built, not yet released: tea-house" in capsys.readouterr().out


def test_a_record_of_another_version_is_told(packs: Path, capsys: Any) -> None:
    old = packs / "old" / "out" / "release.json"
    old.parent.mkdir(parents=True)
    old.write_text(
        '{"pack": "old", "title": "T", "issue": "2025-01", "files": [], "puzzles": [{}]}'
    )
    assert cli.run(["plan", str(packs)]) == Exit.GOOD
    assert f"{old}: does not say what its puzzles have" in capsys.readouterr().err


def test_a_folder_without_packs_is_told(tmp_path: Path, capsys: Any) -> None:
    assert cli.run(["plan", str(tmp_path)]) == Exit.USAGE
    assert "no pack of it is released or built" in capsys.readouterr().err
    assert cli.run(["plan", str(tmp_path), "--chart", "x.png"]) == Exit.USAGE
    capsys.readouterr()
    assert cli.run(["plan", str(tmp_path / "nowhere")]) == Exit.USAGE
    assert "there is no such folder" in capsys.readouterr().err
    (tmp_path / "kites").mkdir()
    (tmp_path / "kites" / "manifest.yaml").write_text("")
    assert cli.run(["plan", str(tmp_path / "kites")]) == Exit.USAGE
    told = f"this is one pack; name the folder of packs that it is in: {tmp_path}"
    assert told in capsys.readouterr().err


@given(st.dates(), st.integers(0, 40))
def test_months_apart(day: Any, count: int) -> None:
    month = later = f"{day.year:04}-{day.month:02}"
    for _ in range(count):
        later = after(later)
    assert apart(month, later) == count
    assert int(later[5:]) == (day.month - 1 + count) % 12 + 1
