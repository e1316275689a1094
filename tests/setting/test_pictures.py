"""Grids in a picture: the clues exactly so, judged by OR-Tools, the ladder and the gate."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packbuilder import gate, manifest
from packbuilder.cli import run
from packbuilder.errors import InputError, Unfinished
from packbuilder.grid import Geometry, blocks, irregular, latin, parse_grid
from packbuilder.ladder import promises
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.path import walk
from packbuilder.ladder.table import DEFAULT
from packbuilder.rules.houses import with_houses
from packbuilder.setting import in_picture, search
from packbuilder.setting.entries import as_manifest_entry
from packbuilder.setting.new_grid import NewGrid
from packbuilder.setting.picture import Picture, find_picture, own, read_picture
from packbuilder.setting.picture_checks import check_picture
from packbuilder.setting.request import Request
from packbuilder.setting.search import Search
from packbuilder.setting.solved_grids import Meaning
from tests.conftest import EXAMPLE_SOLVED
from tests.setting.judge import solutions

CLASSIC = blocks(3, 3)
SMALL = """
#.#..#
.?#..#
#..#.?
?.#..#
#..#2.
#..#.#
"""
JIGSAW = irregular("AABBB\nAACBB\nADCCE\nDDCEE\nDDCEE")


def picture(text: str) -> Picture:
    return read_picture(text, "a picture")


def sought(drawn: Picture, geometry: Geometry = CLASSIC, **more: Any) -> Search:
    options = {name: more.pop(name) for name in ("seed", "budget", "workers") if name in more}
    count = more.pop("count", 1)
    request = Request(geometry, more.pop("clues", drawn.span), picture=drawn, **more)
    return Search(request, count, **{"seed": 1, "budget": 60.0, **options})


def made(drawn: Picture, geometry: Geometry = CLASSIC, **more: Any) -> NewGrid:
    return next(iter(sought(drawn, geometry, **more)))


# --- what comes of it ---------------------------------------------------------------------------

PLACES = [
    (SMALL, blocks(2, 3)),
    (SMALL, blocks(3, 2)),
    ("#.#.\n..#?\n#...\n?..#", blocks(2, 2)),
    ("#...#\n.#.#.\n..#?.\n.#.#.\n#...#", latin(5)),
    ("#...#\n.#.#.\n..#?.\n.#.#.\n#...#", JIGSAW),
    ("#.#.#.#.\n" * 4 + ".#.#.#.#\n" * 4, blocks(2, 4)),
]  # fmt: skip


@pytest.mark.parametrize(("text", "geometry"), PLACES)
def test_clues_stand_as_drawn_and_leave_one_solution(text: str, geometry: Geometry) -> None:
    drawn = picture(text)
    for seed in range(3):
        grid = made(drawn, geometry, seed=seed)
        for sign, clue in zip(re.sub(r"\s", "", text), grid.clues, strict=True):
            assert {"#": clue > 0, ".": clue == 0, "?": True}.get(sign, str(clue) == sign)
        assert solutions(geometry, grid.clues) == [grid.solution]


@pytest.mark.parametrize("name", own())
def test_each_picture_of_our_own_has_a_grid(name: str) -> None:
    grid = made(own()[name])
    assert {c for c, d in enumerate(grid.clues) if d} == set(own()[name].drawn)
    assert len(solutions(CLASSIC, grid.clues)) == 1


@pytest.mark.parametrize("slug", ["skyscraper", "hidden-triple", "x-wing", "swordfish", "claiming"])
def test_a_technique_in_a_picture(slug: str) -> None:
    grid = made(find_picture("ring"), needs=(slug,))
    (need,) = promises.needs(CLASSIC, grid.clues, (slug,))
    assert need.holds
    assert len(solutions(CLASSIC, grid.clues)) == 1


def test_a_quad_where_there_is_room() -> None:
    grid = made(find_picture("star"), needs=("naked-quad",))
    assert all(need.holds for need in promises.needs(CLASSIC, grid.clues, ("naked-quad",)))


def test_two_techniques_at_once() -> None:
    slugs = ("skyscraper", "hidden-triple")
    grid = made(find_picture("ring"), needs=slugs)
    assert all(need.holds for need in promises.needs(CLASSIC, grid.clues, slugs))
    assert len(promises.needs(CLASSIC, grid.clues, slugs)) == 2


def test_nothing_else_on_the_rung_will_do() -> None:
    grid = made(find_picture("ring"), only=("xy-wing",))
    assert promises.kept(CLASSIC, grid.clues, (), ("xy-wing",))
    rest = [row.slug for row in DEFAULT.techniques if row.rung <= 5 and row.slug != "xy-wing"]
    assert not walk(CLASSIC, grid.clues, ladder=DEFAULT.only(rest)).solved
    with pytest.raises(InputError, match="on different rungs"):
        made(find_picture("ring"), needs=("x-wing",), only=("swordfish",))


@pytest.mark.parametrize("grade", range(1, 7))
def test_a_grade_in_a_picture(grade: int) -> None:
    assert walk(CLASSIC, made(find_picture("moon"), grade=grade).clues).grade == grade


def test_without_notes_and_with_no_clue_to_spare() -> None:
    grid = made(find_picture("heart"), grade=4, no_notes=1)
    load = no_notes(CLASSIC, grid.clues)
    assert load.marks is not None and load.marks <= 1
    small = made(
        picture("#....#\n..#.#.\n.#....\n....#.\n.#.#..\n#....#"), blocks(2, 3), minimal=True
    )
    for cell, digit in enumerate(small.clues):
        if digit:
            fewer = (*small.clues[:cell], 0, *small.clues[cell + 1 :])
            assert len(solutions(blocks(2, 3), fewer)) == 2


def test_rules_of_houses_join_in() -> None:
    from packbuilder import rules

    grid = made(find_picture("kite"), rules=("diagonals",))
    parts = rules.kinds()["diagonals"].read(None, CLASSIC)
    assert solutions(with_houses(CLASSIC, parts), grid.clues) == [grid.solution]
    assert len(solutions(CLASSIC, grid.clues)) == 2, "the rule is not for show"


def test_optional_clues_are_as_many_as_allowed() -> None:
    drawn = picture("?" * 9 + "\n" + ("?" * 9 + "\n") * 8)
    for seed in range(3):
        grid = made(drawn, clues=(24, 26), seed=seed)
        assert 24 <= grid.clue_count <= 26


def test_an_entry_keeps_its_promises(write_pack: Callable[..., Path]) -> None:
    grid = made(find_picture("ring"), needs=("hidden-triple",), no_notes=4)
    pack = manifest.load(write_pack(as_manifest_entry(grid, 1)))
    report = gate.check(pack)
    assert report.passed
    promise = pack.puzzles[0].promise
    assert (promise.needs, promise.no_notes, promise.symmetry) == (
        ("hidden-triple",),
        4,
        grid.symmetry,
    )


def test_the_same_seed_gives_the_same_grids_on_any_number_of_cores(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    drawn = find_picture("moon")
    alone = list(sought(drawn, grade=3, count=6))
    monkeypatch.setattr(search, "ALONE", 0.0)
    assert list(sought(drawn, grade=3, count=6, workers=2)) == alone
    assert list(sought(drawn, grade=3, count=6, seed=2)) != alone


def test_where_changes_lead_nowhere_solutions_are_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    """The walk is cut short; clues of each start are set free until one filling is the only one."""
    monkeypatch.setattr(in_picture, "CLIMB", 1)
    monkeypatch.setattr(in_picture, "SELDOM", 1)
    found = [made(picture(SMALL), blocks(2, 3), seed=seed) for seed in range(3)]
    for grid in found:
        assert solutions(blocks(2, 3), grid.clues) == [grid.solution]


def test_a_picture_of_fixed_digits_alone_is_the_grid_itself() -> None:
    grid = made(find_picture("ring"))
    text = "\n".join(
        "".join(".123456789"[d] for d in grid.clues[k : k + 9]) for k in range(0, 81, 9)
    )
    assert made(picture(text)).clues == grid.clues
    with pytest.raises(Unfinished, match="1 of 2 grids found"):
        list(sought(picture(text), count=2, budget=2.0))


# --- what cannot be -----------------------------------------------------------------------------


def rows(text: str) -> str:
    return text.replace(" ", "\n")


FULL = "#########"
FOUR = f"{FULL} {FULL} {FULL} {FULL}"
ALIKE = "123456789 456789123 78912345. 2........ .3....... ......... ......8.. .......9. ........7"
CANNOT = {
    # Rows 1 and 2 lie in one band: swapped, they turn every solution into another (by hand).
    "rows 1 and 2 of one band have no clue": f"......... ......... {FOUR} {FULL} {FULL} {FULL}",
    "columns 7 and 9 of one stack have no clue": " ".join(["######.#."] * 9),
    "it has room for 16 clues, and a grid of 9x9, blocks 3x3 with one solution has at least 17":
        "##....... ..##..... ....##... ......##. .......## ##....... ..##..... ....#.... ......#..",
    "it leaves no room for the digits 8 and 9":
        " ".join(EXAMPLE_SOLVED.translate(str.maketrans("89", ".."))[k : k + 9]
                 for k in range(0, 81, 9)),
    "the digit 5 is fixed at r1c1 and r1c9, which see each other":
        f"5.......5 {FOUR} {FOUR}",
    "the digit 5 is fixed at r1c1 and r3c3, which see each other":
        f"5.####### {FULL} ##5###### {FOUR} {FULL} {FULL}",
    "every cell has a clue, and none is left to solve": f"{FOUR} {FOUR} {FULL}",
    # Row 1 has room for the 9 in its last cell only, and right below stands a 9 (by hand).
    "no grid at all has its fixed digits": f"12345678. ........9 {FOUR} {FULL} {FULL} {FULL}",
    # Nothing tells rows 7 and 8 apart from columns 4 and 5 and back: many solutions (the kernel).
    "all its digits are fixed, and they leave more than one solution": ALIKE,
    "it has 6 rows, and the grid is 9x9": SMALL,
}  # fmt: skip


@pytest.mark.parametrize("reason", CANNOT)
def test_a_picture_that_cannot_work_is_refused_with_the_reason(reason: str) -> None:
    drawn = picture(rows(CANNOT[reason]))
    with pytest.raises(InputError) as refused:
        check_picture(drawn, Meaning((), CLASSIC), drawn.span)
    assert str(refused.value).startswith("the picture cannot be: ")
    assert reason in str(refused.value)


def test_what_may_be_is_not_refused() -> None:
    """Two empty rows of different bands; lines in grids without blocks; a digit too few."""
    apart = picture(rows(f"......... {FULL} {FULL} {FULL} ......... {FOUR}"))
    check_picture(apart, Meaning((), CLASSIC), apart.span)
    with pytest.raises(InputError, match="rows 1 and 5 have no clue"):
        check_picture(apart, Meaning((), latin(9)), apart.span)
    for drawn in own().values():
        check_picture(drawn, Meaning((), CLASSIC), drawn.span)


UNREADABLE = {
    "hill.txt:2:3: '%' is no sign of a picture": "#.#.\n..%#\n#...\n...#",
    "hill.txt:1:1: '5' is no sign of a picture; write # (a clue), . (none), ? (either), or a digit "
    "from 1 to 4": "5.#.\n..##\n#...\n...#",
    "hill.txt:3: this row has 3 signs, and there are 4 rows": "#.#.\n..##\n#..\n...#",
    "hill.txt: the picture has 2 rows; it needs 4 to 16": "#.\n.#",
    "hill.txt: the picture has 0 rows": "\n\n",
}


@pytest.mark.parametrize("words", UNREADABLE)
def test_a_picture_that_cannot_be_read(words: str, tmp_path: Path) -> None:
    file = tmp_path / "hill.txt"
    file.write_text(UNREADABLE[words])
    with pytest.raises(InputError) as refused:
        find_picture(str(file))
    assert words in str(refused.value)


def test_blanks_and_byte_order_marks_are_passed_over(tmp_path: Path) -> None:
    file = tmp_path / "hill.txt"
    file.write_bytes(b"\xef\xbb\xbf# . # .\r\n\r\n ..##\r\n#...\r\n...?\r\n")
    assert find_picture(str(file)).text == "#.#.\n..##\n#...\n...?"
    file.write_bytes(b"\xff\xfe#.#.")
    with pytest.raises(InputError, match="is no text"):
        find_picture(str(file))
    with pytest.raises(InputError, match="did you mean 'heart'"):
        find_picture("hart")


WRONG = {
    "a grid that needs it has grade 5": {"grade": 4, "needs": ("x-wing",)},
    "grade 6 with needs x-wing": {"grade": 6, "needs": ("x-wing",)},
    "no house has more than 7": {"needs": ("naked-quad",)},
    "'x-ray' is not a technique": {"needs": ("x-ray",)},
    "thermometer-rise is a technique of thermometers; ask for --rule thermometers too": {
        "needs": ("thermometer-rise",)
    },
    "a picture with thermometers: write the design as an entry": {"rules": ("thermometers",)},
    "it has 28 clues, and 10 to 20 are asked for": {"clues": (10, 20)},
}  # fmt: skip


@pytest.mark.parametrize("words", WRONG)
def test_what_excludes_itself_is_told_at_once(words: str) -> None:
    with pytest.raises(InputError) as refused:
        sought(find_picture("ring"), **WRONG[words])
    assert words in str(refused.value)


def test_quads_need_room() -> None:
    with pytest.raises(InputError, match="here no house has more than 6"):
        sought(picture(SMALL), blocks(2, 3), needs=("naked-quad",))


def test_the_command(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "small.txt"
    file.write_text(SMALL)
    assert run(["set", "--picture", str(file), "--seed", "3", "--json"]) == 0
    import json

    told = json.loads(capsys.readouterr().out)
    (grid,) = told["grids"]
    assert picture(SMALL).shows(parse_grid(grid["grid"], 6))
    assert grid["seed"] == 3 and grid["no_notes"]["solved"] in (True, False)
    assert told["tried"] >= 1 and set(told["met"]) == {"grades", "failed"}
    assert run(["set", "--pictures"]) == 0
    drawn = capsys.readouterr().out
    assert "heart (9x9, 24 clues)\n  . . # . . . # . .\n" in drawn
    assert run(["set", "--picture", "heart", "--symmetry", "none"]) == 2
    assert "--symmetry with --picture" in capsys.readouterr().err
