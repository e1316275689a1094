"""The told solve: each step holds by the definition, and no more marks are held than are needed."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from packbuilder.grid import Geometry, Values, parse_grid
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.head.pattern import pattern
from packbuilder.ladder.head.sentences import SAID, NamedMark, Voice, name
from packbuilder.ladder.head.solve import MARK, Told, path_json, stopped, tell
from packbuilder.ladder.path import walk
from packbuilder.proof import kernel
from tests.ladder import grids
from tests.ladder.head import definition
from tests.ladder.head.definition import Fact, Held
from tests.ladder.head.test_load import CLASSIC, NOTES_NEEDED, SHAPES, loaded, stripped


def fact(mark: NamedMark) -> Fact:
    return frozenset(mark.cells), frozenset(mark.digits)


def facts(marks: tuple[NamedMark, ...]) -> Held:
    assert len({fact(mark) for mark in marks}) == len(marks)
    return frozenset(map(fact, marks))


def judged(geometry: Geometry, clues: Values, told: tuple[Told, ...], most: int) -> Values:
    """Follow a told solve by the definition alone; fail at the first step that does not hold."""
    values, alive = list(clues), facts(())
    for one in told:
        step, now = one.step, tuple(values)
        assert one.before == now
        assert facts(one.uses) <= alive
        plain = definition.by_placed_digits(geometry, now)
        seen = definition.seen(geometry, now, facts(one.uses))
        gone = {(c, d) for c, ds in enumerate(plain) for d in ds - seen[c]}
        held = alive
        if step.places:
            ((cell, digit),) = step.places
            assert (cell, digit) in definition.placements(geometry, seen), one.words
            assert set(step.removes) <= gone
            assert bool(one.uses) == bool(step.removes)
            values[cell] = digit
        else:
            new = (frozenset(step.cells), frozenset(step.digits))
            assert new in definition.facts(geometry, seen), one.words
            held = alive | {new}
            left = definition.seen(geometry, now, facts(one.uses) | {new})
            assert set(step.removes) == {(c, d) for c, ds in enumerate(seen) for d in ds - left[c]}
        assert len(held) <= most
        assert facts(one.marks) | facts(one.forgets) == held
        assert not facts(one.marks) & facts(one.forgets)
        alive = facts(one.marks)
    assert not alive
    return tuple(values)


@pytest.mark.parametrize(
    "clues", [*grids.classics()[2:20:9], *grids.lines(NOTES_NEEDED), *(g for _, g in loaded())]
)
def test_each_step_of_a_classic_grid_holds(clues: Values) -> None:
    answer, told = no_notes(CLASSIC, clues), tell(CLASSIC, clues)
    most = 3 if answer.marks is None else answer.marks
    assert judged(CLASSIC, clues, told, most) == answer.values
    if answer.solved:
        assert all(one.step.places for one in told) == (answer.marks == 0)


@pytest.mark.parametrize("name", ["latin 5", "6x6", "irregular 6", "diagonals 6", "cage 6"])
def test_each_step_of_a_small_grid_holds(name: str) -> None:
    geometry = SHAPES[name]
    for seed in range(3):
        clues = stripped(geometry, seed)
        answer = no_notes(geometry, clues)
        most = 3 if answer.marks is None else answer.marks
        assert judged(geometry, clues, tell(geometry, clues), most) == answer.values


def test_every_mark_is_used_and_forgotten_after_its_last_use() -> None:
    for _, clues in loaded():
        told = tell(CLASSIC, clues)
        for k, one in enumerate(told):
            if one.step.places:
                continue
            new = (frozenset(one.step.cells), frozenset(one.step.digits))
            later = [fact(mark) for other in told[k + 1 :] for mark in other.uses]
            assert new in later
        for before, after in pairwise(told):
            assert facts(after.uses) <= facts(before.marks)


def test_the_words_say_it_and_vary() -> None:
    _, clues = loaded()[1]
    told = tell(CLASSIC, clues)
    for one in told:
        cells = set(re.findall(r"r\dc\d", one.words))
        named = {*one.step.cells, *(cell for cell, _ in one.step.places)}
        assert {f"r{c // 9 + 1}c{c % 9 + 1}" for c in named} <= cells, one.words
        assert "{" not in one.words and not re.search(r"\s\s| \.", one.words)
    assert told == tell(CLASSIC, clues)
    keeps = [one.words for one in told if not one.step.places]
    openings = {wording for wording in SAID["keep"] for words in keeps if wording in words}
    assert len(openings) == min(len(keeps), len(SAID["keep"]))


def mark(digits: str, cells: str, house: str) -> NamedMark:
    where = next((h for h, one in enumerate(CLASSIC.houses) if one.label == house), -1)
    found = re.findall(r"r(\d)c(\d)", cells)
    return NamedMark(
        tuple(map(int, digits)), tuple((int(r) - 1) * 9 + int(c) - 1 for r, c in found), where
    )


def test_patterns_have_the_trades_names() -> None:
    """Common practice, no source: the shapes that solvers know by these names."""
    feet = mark("8", "r2c4 r7c4", "column 4"), mark("8", "r2c7 r8c7", "column 7")
    assert pattern(feet, CLASSIC) == "Skyscraper"
    square = mark("8", "r2c4 r7c4", "column 4"), mark("8", "r2c7 r7c7", "column 7")
    assert pattern(square, CLASSIC) == "X-wing"
    kite = mark("8", "r1c2 r1c8", "row 1"), mark("8", "r2c1 r9c1", "column 1")
    assert pattern(kite, CLASSIC) == "Two-string kite"
    wing = mark("12", "r1c1", ""), mark("23", "r1c8", ""), mark("13", "r9c1", "")
    assert pattern(wing, CLASSIC) == "XY-wing"
    assert pattern((feet[0], mark("7", "r2c7 r8c7", "column 7")), CLASSIC) == ""
    assert pattern((feet[0], mark("8", "r3c7 r8c7", "column 7")), CLASSIC) == ""


def test_marks_by_name() -> None:
    assert name(mark("5", "r1c7 r2c7", "block 3"), CLASSIC) == "the 5s of block 3"
    assert name(mark("37", "r1c1 r1c2", "row 1"), CLASSIC) == "the pair 3 and 7 of row 1"
    assert name(mark("37", "r1c1", ""), CLASSIC) == "the 3 or 7 of r1c1"


def test_two_things_in_the_order_of_looking() -> None:
    feet = mark("8", "r2c4 r7c4", "column 4"), mark("8", "r2c7 r8c7", "column 7")
    told = Voice(CLASSIC).placement(0, 5, 0, [(67, 8)], feet, "Skyscraper")
    assert told == (
        "Hold two things: the 8 of column 4 is in r2c4 or r7c4 and the 8 of column 7 is in r2c7 or "
        "r8c7. Now whichever of these is true, r8c5 cannot be 8. This is a skyscraper. So 5 fits "
        "in row 1 only in r1c1."
    )


def test_where_it_stops_the_ladder_says_what_is_next() -> None:
    for clues in grids.lines(NOTES_NEEDED):
        answer = no_notes(CLASSIC, clues)
        words = stopped(CLASSIC, answer.values)
        first = walk(CLASSIC, answer.values).steps[0]
        assert first.removes  # a single would have been seen
        assert f"{answer.values.count(0)} cells are left" in words
        assert first.technique.split("-")[0] in words.lower()


def test_json() -> None:
    (_, clues), *_ = loaded()
    answer, told = no_notes(CLASSIC, clues), tell(CLASSIC, clues)
    found = path_json(CLASSIC, clues, answer, told)
    assert list(found) == ["grid", "solved", "grade", "no_notes", "steps"]
    assert found["no_notes"] == {"solved": True, "marks": 2}
    assert len(found["steps"]) == len(told)
    assert max(len(step["marks"]) for step in found["steps"]) == 2
    assert {step["technique"] for step in found["steps"]} & {MARK, "pointing", "claiming"}
    needed = grids.lines(NOTES_NEEDED)[0]
    answer = no_notes(CLASSIC, needed)
    stuck = path_json(CLASSIC, needed, answer, tell(CLASSIC, needed))
    assert stuck["solved"] is False and stuck["stopped"]["words"]
    assert parse_grid(stuck["stopped"]["grid"], 9) == answer.values
    assert kernel.prove(CLASSIC, answer.values).solutions == 1
