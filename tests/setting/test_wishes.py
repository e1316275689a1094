"""A month of wishes: all met in one search, gated as written, and on from where it was stopped."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest

from packbuilder import gate, manifest
from packbuilder.cli import run
from packbuilder.errors import InputError, Unfinished
from packbuilder.kinship import fingerprint
from packbuilder.setting import lots, search
from packbuilder.setting.alarm import alarm
from packbuilder.setting.month import Month, State
from packbuilder.setting.wishes import read_wishes

WISHES = """\
- {title: The First, grade: 1, size: 6}
- title: The Heart
  picture: heart
  needs: [skyscraper]
- {rules: [thermometers], size: 6, clues: 0-6}
- {picture: small.txt, count: 2, title: Twins, no-notes: 1}
- {grade: 2, blocks: none, size: 6, symmetry: none, minimal: true, clues: 6-14}
"""
SMALL = "#.#..#\n.##..#\n#..#.#\n#.#..#\n#..##.\n#..#.#\n"
PACK = "pack: {title: Kites, issue: 2026-12, byline: Ada Quill}\npuzzles:\n"
ENTRY = "- {id: lamp, title: T, size: 4, grid: 1.....2..3.....4}\n"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    (tmp_path / "small.txt").write_text(SMALL)
    path = tmp_path / "month.yaml"
    path.write_text(WISHES)
    return path


def month(file: Path, seed: int = 1, **more: float) -> Month:
    state = State.read(file.with_name("state"))
    options = {"budget": 120.0, "workers": 2, **more}
    return Month(read_wishes(file, seed), state=state, **options)  # type: ignore[arg-type]


def grids(found: Month) -> list[list[tuple[int, ...]]]:
    return [[grid.clues for grid in one.grids] for one in found.sought]


def test_every_wish_is_met_and_gated_from_what_is_written(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "kites"
    folder.mkdir()
    (folder / "manifest.yaml").write_text(PACK + ENTRY)
    assert run(["set", "--wishes", str(file), "--into", str(folder)]) == 0
    pack = manifest.load(folder)
    assert [one.title for one in pack.puzzles[1:]] == [
        "The First", "The Heart", "Grid 3", "Twins 1", "Twins 2", "Grid 6"
    ]  # fmt: skip
    assert [one.id for one in pack.puzzles[1:3]] == ["the-first", "the-heart"]
    codes = {found.code for one in gate.check(pack).checked[1:] for found in one.findings}
    assert codes <= {"rival"}, "what else would do on the rung is told, and no fault"
    promises = [one.promise for one in pack.puzzles[1:]]
    assert (promises[0].grade, promises[1].needs, promises[3].no_notes) == (1, ("skyscraper",), 1)
    assert promises[5].minimal and pack.puzzles[3].rule_names == ("thermometers",)
    # Once more: all are there, and none is added again.
    capsys.readouterr()
    assert run(["set", "--wishes", str(file), "--into", str(folder)]) == 0
    assert capsys.readouterr().err.count("was added before") == 6
    assert manifest.load(folder) == pack


def test_it_goes_on_from_where_it_was_stopped(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = month(file)
    list(whole)
    file.with_name("state").unlink()
    first = month(file)
    for _ in first:
        if first.found == 3:
            break
    first.state.write()
    left = month(file)
    assert sum(len(one.progress.found) for one in left.sought) == 3
    list(left)
    assert grids(left) == grids(whole)
    assert (
        len({fingerprint(g.geometry, g.clues, g.parts) for o in left.sought for g in o.grids}) == 6
    )


@pytest.mark.parametrize("text", ["", "{}", "[1]", '{"version": 1, "wishes": {"a": 3}}', "\x00"])
def test_a_state_that_is_not_sound_counts_as_none(text: str, file: Path) -> None:
    file.with_name("state").write_text(text)
    assert State.read(file.with_name("state")).wishes == {}


def test_the_same_seed_gives_the_same_month_on_any_number_of_cores(file: Path) -> None:
    found = []
    for workers in (1, 3):
        one = month(file, workers=workers)
        list(one)
        file.with_name("state").unlink()
        found.append(grids(one))
    assert found[0] == found[1]
    other = month(file, seed=2)
    list(other)
    assert grids(other) != found[0]


def test_what_is_not_met_is_told_wish_by_wish(file: Path) -> None:
    file.write_text("- {size: 6, grade: 1}\n- {title: Hard, size: 4, grade: 6, clues: 4-8}\n")
    found = month(file, budget=12.0)
    with pytest.raises(Unfinished) as ended:
        list(found)
    assert found.found == 1
    assert "wish on line 2 (Hard): 0 of 1 found; grade 6 failed most, in" in str(ended.value)
    assert "line 1" not in str(ended.value)
    assert all(one.progress.done for one in found.sought if not one.met)


WRONG = {
    "month.yaml:1: wishes[1].grade: 'x' is not a grade": "- grade: x\n",
    "month.yaml:2: wishes[2].colour: unknown field": "- grade: 1\n- colour: red\n",
    "month.yaml:1: wishes[1]: grade 4 with needs x-wing": "- {grade: 4, needs: [x-wing]}\n",
    "wishes[2]: --picture 'hart': there is no such file": "- grade: 1\n- picture: hart\n",
    "wishes[1]: the picture cannot be: it has 9 rows": "- {picture: heart, size: 6}\n",
    "month.yaml:1: wishes: is not a list of wishes": "wishes: 3\n",
    "month.yaml:1: wishes[1]: 'thermo' is not a rule": "- rules: [thermo]\n",
    "month.yaml:1: wishes[1].clues: 'many' is not a number of clues": "- clues: many\n",
}  # fmt: skip


@pytest.mark.parametrize("words", WRONG)
def test_faults_are_told_by_line(words: str, file: Path) -> None:
    file.write_text(WRONG[words])
    with pytest.raises(InputError) as refused:
        read_wishes(file, 0)
    assert words in str(refused.value)


def test_other_options_belong_into_the_file(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["set", "--wishes", str(file), "--grade", "3"]) == 2
    assert "stands in its file" in capsys.readouterr().err


def test_a_field_that_holds_the_list_will_do(file: Path) -> None:
    lines = [f"  {line}" for line in WISHES.splitlines()]
    as_list = read_wishes(file, 0)
    file.write_text("wishes:\n" + "\n".join(lines) + "\n")
    in_field = read_wishes(file, 0)
    assert [one.request for one in in_field] == [one.request for one in as_list]
    assert [one.line for one in in_field] == [one.line + 1 for one in as_list]


def test_json_tells_wish_by_wish(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text("- {size: 4, clues: 4-8}\n- {size: 4, clues: 4-8, title: Two, count: 2}\n")
    assert run(["set", "--wishes", str(file), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [(one["line"], one["title"], len(one["grids"])) for one in told["wishes"]] == [
        (1, "", 1),
        (2, "Two", 2),
    ]
    assert told["tried"] >= 3


# --- the time -------------------------------------------------------------------------------------


def test_work_that_knows_no_clock_ends_when_the_time_is_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """A rating that takes for ever: the search ends by itself, and says why."""
    from packbuilder.grid import blocks

    def for_ever(*_: object, **__: object) -> None:
        while True:
            pass

    monkeypatch.setattr(search, "GRACE", 0.0)
    monkeypatch.setattr(lots, "rate", for_ever)
    found = search.set_grids(blocks(2, 3), count=1, clues=(10, 16), budget=0.3)
    with pytest.raises(Unfinished, match="the time ran out"):
        next(found)


def test_an_alarm_rings_once_and_is_taken_back() -> None:
    with alarm(time.monotonic() + 60):
        pass
    with pytest.raises(Unfinished), alarm(time.monotonic() - 1):
        pass
    with pytest.raises(Unfinished), alarm(time.monotonic() + 0.05):
        while True:
            pass


def test_a_rule_with_a_number_of_clues(tmp_path: Path) -> None:
    file = tmp_path / "month.yaml"
    file.write_text('- {rules: ["cages: 5", diagonals], size: 6, clues: 0-20}\n')
    (wish,) = read_wishes(file, 1)
    assert wish.request.rules == ("cages", "diagonals")
    grid = next(iter(search.Search(wish.request, 1, seed=1)))
    assert len(dict(grid.rules)["cages"]) == 5
    file.write_text('- {rules: ["cages: many"], size: 6}\n')
    with pytest.raises(InputError, match="write a number behind the rule"):
        read_wishes(file, 1)
