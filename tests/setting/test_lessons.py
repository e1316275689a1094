"""Lessons: each shipped grid needs its technique, by engines and definitions from elsewhere."""

from __future__ import annotations

import os
import random
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from packbuilder.book import lesson_search
from packbuilder.book.book import Lesson
from packbuilder.book.lessons import GEOMETRY, allowance, disguised, lessons, shipped
from packbuilder.grid import Values, parse_cell, parse_grid
from packbuilder.kinship import fingerprint
from packbuilder.ladder.board import Board
from packbuilder.ladder.climb import climb
from packbuilder.ladder.path import walk
from packbuilder.ladder.promises import needs
from packbuilder.ladder.rungs import Ladder, Technique
from packbuilder.ladder.table import ASSUMING_UNIQUE, DEFAULT, UNIQUENESS
from packbuilder.ladder.visible import seen_in_digits
from packbuilder.proof import sat
from packbuilder.puzzle import Pack
from tests.ladder import definitions
from tests.ladder.grids import classics
from tests.ladder.test_definitions import DEFINED
from tests.setting.judge import solutions

SHIPPED = {slug: one for slug, one in shipped().items() if one.clues}
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
    assert all(len(one.look) >= 2 for one in shipped().values())
    assert set(COMMON) <= set(SHIPPED)


@pytest.mark.parametrize("slug", SHIPPED)
def test_a_grid_has_one_solution_and_needs_its_technique(slug: str) -> None:
    clues = SHIPPED[slug].clues
    assert sat.prove(GEOMETRY, clues).solutions == 1
    assert len(solutions(GEOMETRY, clues)) == 1
    (need,) = needs(GEOMETRY, clues, [slug], ladder=ladder_of(slug))
    assert need.holds


@pytest.mark.parametrize("slug", [slug for slug in SHIPPED if slug in DEFINED])
def test_by_definition_nothing_easier_is_left_where_it_is_needed(slug: str) -> None:
    board = Board(GEOMETRY, SHIPPED[slug].clues)
    climb(board, allowance(slug).without(slug))
    left = [set(ds) for ds in board.candidates()]
    names = {"area": "hidden-single", "line": "hidden-single", "cell": "naked-single"}
    singles = {names[name] for name, _, _ in definitions.singles(GEOMETRY, left) if name in names}
    assert not singles
    for row in rows_below(slug):
        if row.slug in DEFINED:
            assert not DEFINED[row.slug](GEOMETRY, left), row.slug
    assert DEFINED[slug](GEOMETRY, left)


@pytest.mark.parametrize("slug", SHIPPED)
def test_a_disguise_keeps_what_the_grid_is(slug: str) -> None:
    clues = SHIPPED[slug].clues
    for k in range(3):
        other = disguised(clues, random.Random(f"{slug} {k}").random)
        assert other != clues
        assert fingerprint(GEOMETRY, other) == fingerprint(GEOMETRY, clues)
        assert all(need.holds for need in needs(GEOMETRY, other, [slug], ladder=ladder_of(slug)))


@pytest.mark.parametrize("slug", SHIPPED)
@pytest.mark.parametrize("issue", ["2026-12", "2027-02", "2031-07"])
def test_the_step_that_is_shown_is_sound(slug: str, issue: str) -> None:
    found = lesson(slug, issue)
    assert found.hint and found.geometry == GEOMETRY
    (solution,) = solutions(GEOMETRY, found.clues)
    assert found.hint.step.technique == slug
    assert all(clue in (0, digit) for clue, digit in zip(found.clues, solution, strict=True))
    assert all(
        seen in (0, digit) for seen, digit in zip(found.hint.position, solution, strict=True)
    )
    assert all(solution[cell] != digit for cell, digit in found.hint.step.removes)
    assert all(solution[cell] == digit for cell, digit in found.hint.step.places)
    if found.then:
        ((cell, digit),) = found.then.step.places
        assert solution[cell] == digit and not found.hint.position[cell]
        written = [digit if at == cell else d for at, d in enumerate(found.hint.position)]
        assert found.then.position == tuple(written)
        assert set(found.then.step.cells) == {at for at, _ in found.hint.step.removes}


# --- what is to be seen by eye -----------------------------------------------------------------

CELL = re.compile(r"r\dc\d")


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
@pytest.mark.parametrize("issue", ["2026-12", "2027-02", "2031-07"])
def test_what_is_said_to_be_seen_is_there_to_be_seen(slug: str, issue: str) -> None:
    found = lesson(slug, issue)
    assert found.hint
    for text in found.seen:
        check_sentence(text, found.hint.position)
    if slug in COMMON:
        assert found.seen


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
    assert one.clues != other.clues
    assert fingerprint(GEOMETRY, one.clues) == fingerprint(GEOMETRY, other.clues)
    (third,) = lessons(pack("skyscraper", slug="other"))
    assert third.clues not in (one.clues, other.clues)


def test_the_same_pack_has_the_same_lessons_in_any_process() -> None:
    code = (
        "from tests.setting.test_lessons import lesson; from packbuilder.grid import format_grid;"
        "one = lesson('hidden-triple'); print(format_grid(one.clues), one.hint.told, one.seen)"
    )
    told = set()
    for seed in ("0", "1"):
        run = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )  # fmt: skip
        told.add(run.stdout)
    assert len(told) == 1


def test_a_technique_of_a_rule_has_words_and_no_example() -> None:
    found = lesson("thermometer-rise")
    assert found.name and found.about and found.idea
    assert found.hint is None and not found.clues


def test_a_lesson_goes_by_the_packs_own_ladder() -> None:
    own = replace(pack("skyscraper"), ladder={"skyscraper": {"rung": 3, "name": "Two roofs"}})
    (found,) = lessons(own)
    assert (found.name, found.rung) == ("Two roofs", 3)
    assert found.hint and found.hint.step.technique == "skyscraper"


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
