"""A creator's own ladder and own words for hints, from the manifest to the book."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packbuilder import cli, gate, manifest
from packbuilder.book.assembling import assemble
from packbuilder.book.book import Book
from packbuilder.errors import Exit, InputError
from packbuilder.release.build import build
from tests.conftest import EXAMPLE

WritePack = Callable[..., Path]
ENTRY = f"- id: kettle\n  title: Kettle\n  grid: {EXAMPLE}\n"


def faults(folder: Path) -> list[str]:
    with pytest.raises(InputError) as refused:
        manifest.load(folder)
    return [line.removeprefix(f"{folder}/") for line in str(refused.value).splitlines()]


def book(folder: Path) -> Book:
    return assemble(gate.check(manifest.load(folder)))


def test_a_technique_on_another_rung_changes_the_grade(write_pack: WritePack) -> None:
    plain = gate.check(manifest.load(write_pack(ENTRY))).checked[0].path
    assert plain is not None
    assert plain.grade in (1, 2)
    moved = "ladder:\n  hidden-single: {rung: 6}\n  naked-single: {rung: 6}"
    path = gate.check(manifest.load(write_pack(ENTRY, pack=moved))).checked[0].path
    assert path is not None
    assert path.grade == 6  # nothing but singles solves it, and the creator put them on rung 6


def test_a_technique_left_out_leaves_a_grid_unsolved(write_pack: WritePack) -> None:
    off = "ladder:\n  hidden-single: off\n  naked-single: off"
    (one,) = gate.check(manifest.load(write_pack(ENTRY, pack=off))).checked
    assert [f.code for f in one.findings] == ["wrong-grade"]
    assert "the ladder cannot finish this grid" in one.findings[0].message


def test_the_ladder_may_stand_in_a_file(write_pack: WritePack) -> None:
    folder = write_pack(ENTRY, pack="ladder: mine.yaml")
    (folder / "mine.yaml").write_text("naked-single: {rung: 5}\nhidden-single: {rung: 5}\n")
    path = gate.check(manifest.load(folder)).checked[0].path
    assert path is not None
    assert path.grade == 5


@pytest.mark.parametrize(
    ("ladder", "told"),
    [
        ("{naked-pear: off}", "pack.ladder.naked-pear: 'naked-pear' is not a technique of the "
         "ladder; did you mean 'naked-pair'?"),
        ("{naked-pair: {rung: 9}}", "pack.ladder.naked-pair.rung: is 9; write a whole "
         "number from 1 to 8"),
        ("{naked-pair: {weight: heavy}}", "pack.ladder.naked-pair.weight: 'heavy' is not a "
         "number; write a number above 0, 1000 at most"),
        ("{naked-pair: {colour: red}}", "pack.ladder.naked-pair.colour: unknown field; write one "
         "of: rung, weight, name"),
        ("{naked-pair: easy}", "pack.ladder.naked-pair: is neither off nor a change; write off, or "
         "a change such as {rung: 3}"),
        ("[naked-pair]", "pack.ladder: holds a list; write lines such as `chain: off`, or the "
         "name of a file"),
        ("../mine.yaml", "pack.ladder: leads out of the pack's folder; copy the file into the "
         "folder"),
        ("none.yaml", "pack.ladder: there is no file none.yaml; check the spelling, or write it"),
    ],
)  # fmt: skip
def test_a_wrong_ladder_is_told(write_pack: WritePack, ladder: str, told: str) -> None:
    folder = write_pack(ENTRY, pack=f"ladder: {ladder}")
    assert faults(folder) == [f"manifest.yaml:5: {told}"]


def test_own_words_replace_those_of_a_tier(write_pack: WritePack) -> None:
    (computed,) = book(write_pack(ENTRY)).entries
    words = "  hints:\n    - where: Look where the kettle boils.\n"
    (entry,) = book(write_pack(ENTRY + words)).entries
    assert entry.hints[0].where == "Look where the kettle boils."
    assert entry.hints[0].idea == computed.hints[0].idea
    assert entry.hints[1:] == computed.hints[1:]


def test_words_for_a_hint_that_is_not_there_are_refused(write_pack: WritePack) -> None:
    found = len(book(write_pack(ENTRY)).entries[0].hints)
    assert 1 <= found < 3
    words = "  hints:\n" + "    - where: Look.\n" * (found + 1)
    (one,) = gate.check(manifest.load(write_pack(ENTRY + words))).checked
    assert [f.code for f in one.findings] == ["spare-hint"]


@pytest.mark.parametrize(
    ("hints", "told"),
    [
        ("[{wher: Look}]", "puzzles[1].hints[1].wher (kettle): unknown field; did you mean "
         "'where'?"),
        ("[Look]", "puzzles[1].hints[1] (kettle): is not a group of fields; write its fields "
         "below it, each on an indented line, such as `where: ...`"),
        ("[{where: ''}]", "puzzles[1].hints[1].where (kettle): is blank; write a sentence or two"),
        ("[{where: a}, {where: a}, {where: a}, {where: a}, {where: a}, {where: a}]",
         "puzzles[1].hints (kettle): is not a list of at most 5 hints; begin each with a hyphen"),
    ],
)  # fmt: skip
def test_wrong_words_are_told(write_pack: WritePack, hints: str, told: str) -> None:
    assert faults(write_pack(f"{ENTRY}  hints: {hints}\n")) == [f"manifest.yaml:10: {told}"]


def test_a_ladder_file_on_the_command_line(tmp_path: Path, capsys: Any) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text("naked-single: {rung: 7}\nhidden-single: {rung: 7}\n", encoding="utf-8")
    assert cli.run(["explain", EXAMPLE, "--ladder", str(file)]) == Exit.GOOD
    assert "grade 7" in capsys.readouterr().out
    file.write_text("naked-pear: off\n", encoding="utf-8")
    assert cli.run(["explain", EXAMPLE, "--ladder", str(file)]) == Exit.USAGE
    assert f"{file}:1: naked-pear: 'naked-pear' is not a technique" in capsys.readouterr().err


def test_an_empty_list_leaves_a_puzzle_without_hints(write_pack: WritePack) -> None:
    """Beside one that has some: print and text edition are read back without a fault."""
    more = "- id: cup\n  title: Cup\n  size: 4\n  grid: ..3. ..2. .4.. .2..\n"
    folder = write_pack(ENTRY + "  hints: []\n" + more)
    bare, other = book(folder).entries
    assert not bare.hints
    assert other.hints
    built = build(gate.check(manifest.load(folder)), folder / "out", ["print", "text"])
    assert built.grids > 0
