"""Lessons: each shipped grid needs its technique, by engines and definitions from elsewhere."""

from __future__ import annotations

import os
import random
import re
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
import yaml

from packbuilder.book import lesson_search
from packbuilder.book.book import Lesson
from packbuilder.book.lesson_frames import TITLES
from packbuilder.book.lessons import GEOMETRY, LINED, allowance, disguised, lessons, shipped
from packbuilder.book.rule_lessons import DATA, TRIAL, rule_allowance, rule_grids
from packbuilder.grid import Values, cell_name, parse_cell, parse_grid
from packbuilder.kinship import fingerprint
from packbuilder.ladder.board import Board
from packbuilder.ladder.climb import climb
from packbuilder.ladder.path import walk
from packbuilder.ladder.promises import needs
from packbuilder.ladder.rounds import rate
from packbuilder.ladder.rungs import Ladder, Technique
from packbuilder.ladder.table import ASSUMING_UNIQUE, DEFAULT, UNIQUENESS
from packbuilder.ladder.visible import seen_in_digits
from packbuilder.proof import sat
from packbuilder.puzzle import Pack
from tests.conftest import ROOT
from tests.ladder import definitions
from tests.ladder.grids import classics
from tests.ladder.test_captions import marked
from tests.ladder.test_definitions import DEFINED
from tests.rules import judge
from tests.setting.judge import solutions

SHIPPED = {slug: one for slug, one in shipped().items() if one.clues}
GRIDS = {
    f"{slug}-{name}": (slug, clues)
    for slug, one in SHIPPED.items()
    for name, clues in (("example", one.clues), ("trial", one.trial))
    if clues
}
COMMON = ("full-house", "hidden-single", "naked-single", "pointing", "claiming", "naked-pair",
          "hidden-pair", "naked-triple", "hidden-triple", "x-wing", "skyscraper",
          "two-string-kite", "xy-wing", "xyz-wing", "swordfish")  # fmt: skip


def pack(*slugs: str, issue: str = "2027-02", slug: str = "lantern-week") -> Pack:
    unique = any(technique.slug in slugs for technique in UNIQUENESS)
    return Pack(slug, Path(), "T", issue, "B", (), needs=slugs, assume_unique=unique)


def lesson(slug: str, issue: str = "2027-02") -> Lesson:
    (found,) = lessons(pack(slug, issue=issue))
    return found


def ladder_of(slug: str) -> Ladder:
    return DEFAULT if slug in DEFAULT.slugs else ASSUMING_UNIQUE


def rows_below(slug: str) -> list[Technique]:
    rung = ladder_of(slug).rung_of(slug)
    return [row for row in DEFAULT.techniques if row.rung < rung and row.slug != slug]


def test_every_technique_of_the_ladder_is_told_and_the_common_ones_are_shown() -> None:
    assert set(shipped()) == set(ASSUMING_UNIQUE.slugs)
    assert all(len(one.look) == len(TITLES) for one in shipped().values())
    assert set(COMMON) <= set(SHIPPED)
    assert all(SHIPPED[slug].trial for slug in COMMON)


@pytest.mark.parametrize("name", GRIDS)
def test_a_grid_has_one_solution_and_needs_its_technique(name: str) -> None:
    """One by SAT and by OR-Tools; and with the technique switched off the solve gets stuck."""
    slug, clues = GRIDS[name]
    assert sat.prove(GEOMETRY, clues).solutions == 1
    assert len(solutions(GEOMETRY, clues)) == 1
    (need,) = needs(GEOMETRY, clues, [slug], ladder=ladder_of(slug))
    assert need.holds
    path = walk(GEOMETRY, clues, ladder=allowance(slug).without(slug))
    assert path.positions_left() and walk(GEOMETRY, clues, ladder=allowance(slug)).solved


@pytest.mark.parametrize("name", [name for name, (slug, _) in GRIDS.items() if slug in DEFINED])
def test_by_definition_nothing_easier_is_left_where_it_is_needed(name: str) -> None:
    slug, clues = GRIDS[name]
    board = Board(GEOMETRY, clues)
    climb(board, allowance(slug).without(slug))
    left = [set(ds) for ds in board.candidates()]
    names = {"area": "hidden-single", "line": "hidden-single", "cell": "naked-single"}
    singles = {names[name] for name, _, _ in definitions.singles(GEOMETRY, left) if name in names}
    assert not singles
    for row in rows_below(slug):
        if row.slug in DEFINED:
            assert not DEFINED[row.slug](GEOMETRY, left), row.slug
    assert DEFINED[slug](GEOMETRY, left)


@pytest.mark.parametrize("name", GRIDS)
def test_a_disguise_keeps_what_the_grid_is(name: str) -> None:
    slug, clues = GRIDS[name]
    for k in range(3):
        other = disguised(clues, random.Random(f"{slug} {k}").random)
        assert other != clues
        assert fingerprint(GEOMETRY, other) == fingerprint(GEOMETRY, clues)
        assert all(need.holds for need in needs(GEOMETRY, other, [slug], ladder=ladder_of(slug)))


def test_no_two_of_all_grids_are_one_in_disguise() -> None:
    assert len({fingerprint(GEOMETRY, clues) for _, clues in GRIDS.values()}) == len(GRIDS)


# --- the frames ----------------------------------------------------------------------------------

ISSUES = pytest.mark.parametrize("issue", ["2026-12", "2027-02", "2031-07"])


@pytest.mark.parametrize("slug", SHIPPED)
@ISSUES
def test_the_step_that_is_shown_is_sound(slug: str, issue: str) -> None:
    found = lesson(slug, issue)
    assert found.example and found.example.geometry == GEOMETRY
    clues, last = found.example.clues, found.frames[-1]
    (solution,) = solutions(GEOMETRY, clues)
    step, position = last.hint.step, last.hint.position
    assert step.technique == slug
    assert all(clue in (0, digit) for clue, digit in zip(clues, solution, strict=True))
    assert all(seen in (0, digit) for seen, digit in zip(position, solution, strict=True))
    assert all(solution[cell] != digit for cell, digit in step.removes)
    assert all(solution[cell] == digit for cell, digit in step.places)
    if write := re.search(r"rite (\d) in (r\dc\d)\.$", last.ends):
        (cell,) = at(write[2])
        assert solution[cell] == int(write[1]) and not position[cell]


@pytest.mark.parametrize("slug", SHIPPED)
@ISSUES
def test_each_frame_has_a_layer_more(slug: str, issue: str) -> None:
    """What is shown comes in order: cells and reasons, links, losses; one grid in all of them."""
    found = lesson(slug, issue)
    first, second, third = (frame.hint for frame in found.frames)
    assert [frame.title for frame in found.frames] == ["Find", "Conclude", "Write"]
    assert first.position == second.position == third.position
    assert first.letters == second.letters == third.letters
    assert not any((first.step.removes, first.struck, first.step.places, first.step.nodes))
    assert not any((second.step.removes, second.struck, second.step.places))
    assert third.step.removes or third.step.places
    assert all(frame.said and all(w[-1] in ".?" for w in frame.said) for frame in found.frames)
    assert all(frame.hint.told == " ".join(frame.said) for frame in found.frames)


@ISSUES
def test_a_grave_is_seen_by_the_candidates_of_all_cells(issue: str) -> None:
    for frame in lesson("bivalue-universal-grave", issue).frames[:2]:
        shown, (a,) = dict(frame.hint.shown), dict(frame.hint.letters)
        assert {*shown} == {cell for cell, digit in enumerate(frame.hint.position) if not digit}
        assert len(shown.pop(a)) == 3
        assert {len(digits) for digits in shown.values()} == {2}


@pytest.mark.parametrize("slug", SHIPPED)
@ISSUES
def test_a_letter_has_one_meaning_and_every_letter_said_is_shown(slug: str, issue: str) -> None:
    found = lesson(slug, issue)
    letters = dict(found.frames[0].hint.letters)
    assert len(letters) == len(found.frames[0].hint.letters)
    if slug != "simple-colouring":  # there a letter means a colour, and cells have names beside it
        assert len(set(letters.values())) == len(letters)
        assert not {*letters} & set(at(" ".join(found.said)))
    said = " ".join(words for frame in found.frames for words in frame.said)
    spoken = set(re.findall(r"\b[A-P]\b", said))
    assert spoken - {"A"} <= set(letters.values()) <= spoken  # "A" is a word, too


@pytest.mark.parametrize("slug", SHIPPED)
@ISSUES
def test_every_cell_that_is_said_is_marked(slug: str, issue: str) -> None:
    """Common practice, no source: who reads of a cell looks for it in the picture."""
    for frame in lesson(slug, issue).frames:
        assert set(at(" ".join(frame.said))) <= marked(frame.hint, GEOMETRY)


@pytest.mark.parametrize("slug", [slug for slug in LINED if slug in SHIPPED])
@ISSUES
def test_what_is_told_of_rows_stands_in_rows_and_the_trial_in_columns(
    slug: str, issue: str
) -> None:
    found = lesson(slug, issue)
    step = found.frames[-1].hint.step
    assert GEOMETRY.houses[step.houses[0]].kind == "row"
    assert " row" in found.about.casefold() or "X-wing" in found.about or "swordfish" in found.about
    if found.trial:
        path = walk(GEOMETRY, found.trial.puzzle.clues, ladder=allowance(slug))
        first = next(step for step in path.steps if step.technique == slug)
        # A large fish has another across it in the lines that it leaves, so that a disguise that
        # stands in columns may stand in rows as well (common practice, no source).
        assert GEOMETRY.houses[first.houses[0]].kind == "column" or slug == "jellyfish"


@ISSUES
def test_the_feet_of_a_skyscraper_stand_three_cells_apart(issue: str) -> None:
    found = lesson("skyscraper", issue)
    (_, foot, other, _) = found.frames[-1].hint.step.cells
    assert abs(foot // 9 - other // 9) + abs(foot % 9 - other % 9) >= 3


SETTLED = ("pointing", "claiming", "locked-pair", "locked-triple", "naked-pair", "skyscraper",
           "empty-rectangle", "swordfish", "simple-colouring")  # fmt: skip


@pytest.mark.parametrize("slug", SETTLED)
def test_a_loss_leaves_one_digit_so_that_the_reader_writes_something(slug: str) -> None:
    last = lesson(slug).frames[-1]
    assert re.search(r"has only \d left: write \d in r\dc\d\.$", last.ends)


# --- what is to be seen by eye -----------------------------------------------------------------

CELL = re.compile(r"r\dc\d")
SEEN = re.compile(r"leaves? only |^In \w+ \d only|sees? every digit but|r\dc\d sees \d")


def house_cells(name: str) -> tuple[int, ...]:
    return next(house.cells for house in GEOMETRY.houses if house.label == name)


def at(text: str) -> list[int]:
    return [parse_cell(name, 9) for name in CELL.findall(text)]


def check_sentence(text: str, position: Values) -> None:
    """A sentence about what is to be seen, held against the digits of the position alone."""
    empty = {cell for cell, value in enumerate(position) if not value}
    if kept := re.fullmatch(r"In (.+?) the (\d)s? of (.+) leaves? only (.+)\.", text):
        cells, digit = house_cells(kept[1]), int(kept[2])
        copies, places = at(kept[3]), set(at(kept[4]))
        assert all(position[copy] == digit for copy in copies)
        closed = {cell for cell in empty for copy in copies if cell in GEOMETRY.peers[copy]}
        assert (set(cells) & empty) - closed == places != set()
        return
    if alone := re.fullmatch(r"In (.+?) only (.+) (?:is|are) empty\.", text):
        assert set(house_cells(alone[1])) & empty == set(at(alone[2]))
        return
    if every := re.fullmatch(r"(.+) sees? every digit but (.+)\.", text):
        for cell in at(every[1]):
            seen = {position[peer] for peer in GEOMETRY.peers[cell]} - {0}
            assert seen == set(range(1, 10)) - {int(d) for d in re.findall(r"\d", every[2])}
        return
    if full := re.fullmatch(r"(.+) has every digit but (\d)\.", text):
        held = {position[cell] for cell in house_cells(full[1].lower())}
        assert held - {0} == set(range(1, 10)) - {int(full[2])}
        return
    parts = re.fullmatch(r"(r\dc\d) sees (.+)\.", text)
    assert parts, text
    for part in parts[2].split("; "):
        told, _, where = part.partition(" in ")
        assert {int(d) for d in re.findall(r"\d", told)} <= {
            position[cell] for cell in house_cells(where)
        }


@pytest.mark.parametrize("slug", SHIPPED)
@ISSUES
def test_what_is_said_to_be_seen_is_there_to_be_seen(slug: str, issue: str) -> None:
    """Each sentence of what is seen, its letters read as the cells that have them."""
    found = lesson(slug, issue)
    told = 0
    for frame in found.frames:
        names = {letter: cell_name(cell, 9) for cell, letter in frame.hint.letters}
        for text in frame.words:
            if SEEN.search(text) and slug != "simple-colouring":
                told += 1
                plain = re.sub(r"\b[A-P]\b", lambda m, names=names: names.get(m[0], m[0]), text)
                check_sentence(plain, frame.hint.position)
    if slug in COMMON and slug != "full-house":
        assert told


def test_what_is_said_of_any_step_is_true() -> None:
    """Also late in a solve, where earlier strikes leave less than the digits alone show."""
    told = silent = 0
    for clues in classics():
        path = walk(GEOMETRY, clues)
        for k, position in enumerate(path.positions()):
            if k < len(path.steps):
                sentences = seen_in_digits(path, k)
                told += len(sentences)
                silent += not sentences
                for text in sentences:
                    check_sentence(text, position.values)
    assert told > 500 and silent > 5


# --- lessons of a pack -------------------------------------------------------------------------


def test_a_pack_that_needs_nothing_has_no_lesson() -> None:
    assert lessons(pack()) == ()


def test_a_month_has_its_own_picture() -> None:
    one, other = lesson("skyscraper", "2027-02"), lesson("skyscraper", "2027-03")
    (third,) = lessons(pack("skyscraper", slug="other"))
    for grids in ([x.example for x in (one, other, third)],
                  [x.trial and x.trial.puzzle for x in (one, other, third)]):  # fmt: skip
        clues = [grid.clues for grid in grids if grid]
        assert len(set(clues)) == 3
        assert len({fingerprint(GEOMETRY, some) for some in clues}) == 1


def test_a_grid_to_try_that_the_pack_has_as_a_puzzle_is_left_out() -> None:
    known = lesson("skyscraper").trial
    assert known
    other = disguised(known.puzzle.clues, random.Random(7).random)
    puzzle = replace(known.puzzle, id="own", clues=other)
    (found,) = lessons(replace(pack("skyscraper"), puzzles=(puzzle,)))
    assert found.trial is None and found.frames
    (found,) = lessons(replace(pack("skyscraper"), puzzles=(replace(puzzle, clues=(0,) * 81),)))
    assert found.trial


def test_the_same_pack_has_the_same_lessons_in_any_process() -> None:
    code = (
        "from tests.setting.test_lessons import lesson; from packbuilder.grid import format_grid;"
        "one = lesson('hidden-triple'); print(format_grid(one.example.clues), one.said)"
    )
    told = set()
    for seed in ("0", "1"):
        run = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )  # fmt: skip
        told.add(run.stdout)
    assert len(told) == 1


@pytest.mark.parametrize("slug", ["neighbour", "unique-rectangle-3"])
def test_a_technique_without_a_grid_has_words_and_no_example(slug: str) -> None:
    found = lesson(slug)
    assert found.name and found.about and (found.look or found.idea)
    assert found.example is None and not found.frames and found.trial is None


@cache
def as_written() -> dict[str, list[tuple[str, object]]]:
    """The rules of each grid, as its entry has them."""
    entries = yaml.load((ROOT / "packbuilder" / DATA).read_text(encoding="utf-8"), yaml.BaseLoader)
    return {one["id"]: [pair for rule in one["rules"] for pair in rule.items()] for one in entries}


def ruled(name: str) -> set[Values]:
    """The solutions of a grid with a rule, by OR-Tools."""
    puzzle = rule_grids()[name]
    return judge.solutions(puzzle.size, puzzle.geometry.shape, puzzle.clues, as_written()[name])


@pytest.mark.parametrize("name", rule_grids())
def test_a_grid_with_a_rule_has_one_solution_and_needs_its_technique(name: str) -> None:
    """One by OR-Tools, which has a model of each rule; and without the technique it gets stuck."""
    slug, puzzle = name.removesuffix(TRIAL), rule_grids()[name]
    assert len(ruled(name)) == 1
    ladder = rule_allowance(slug, puzzle)
    assert rate(puzzle.geometry, puzzle.clues, ladder=ladder).solved
    assert not rate(puzzle.geometry, puzzle.clues, ladder=ladder.without(slug)).solved


@pytest.mark.parametrize("slug", [name for name in rule_grids() if not name.endswith(TRIAL)])
def test_a_lesson_on_a_rule_shows_a_sound_step(slug: str) -> None:
    found = lesson(slug)
    assert found.example and found.trial and len(found.frames) == 3
    (solution,), (answer,) = ruled(slug), ruled(f"{slug}{TRIAL}")
    step = found.frames[-1].hint.step
    assert step.technique == slug and step.removes
    assert all(solution[cell] != digit for cell, digit in step.removes)
    for write in re.finditer(r"rite (\d) in (r\dc\d)", found.frames[-1].ends):
        assert solution[parse_cell(write[2], found.example.size)] == int(write[1])
    assert found.trial.solution == answer


def test_a_lesson_goes_by_the_packs_own_ladder() -> None:
    own = replace(pack("skyscraper"), ladder={"skyscraper": {"rung": 3, "name": "Two roofs"}})
    (found,) = lessons(own)
    assert (found.name, found.rung) == ("Two roofs", 3)
    assert found.frames[-1].hint.step.technique == "skyscraper"


def test_several_lessons_stand_in_the_order_of_the_promise() -> None:
    found = lessons(pack("xy-wing", "pointing", "xy-wing"))
    assert [one.slug for one in found] == ["xy-wing", "pointing"]


# --- the search --------------------------------------------------------------------------------


@pytest.mark.parametrize("slug", ["locked-pair", "xy-wing"])
def test_an_attempt_makes_its_grid_again(slug: str) -> None:
    known = SHIPPED[slug]
    (found,) = lesson_search.search(slug, [known.attempt])
    assert found.clues == known.clues
    name, attempt, grid = found.line().split()
    assert (name, int(attempt), parse_grid(grid, 9)) == (slug, known.attempt, known.clues)
