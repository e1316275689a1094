"""The told solve: each step holds by the definition, and no more marks are held than are needed."""

from __future__ import annotations

import random
import re
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.cli.console import show_no_notes
from packbuilder.grid import Geometry, Values, cell_name, latin, parse_grid
from packbuilder.ladder.head import sentences
from packbuilder.ladder.head.load import first_failure, no_notes
from packbuilder.ladder.head.sentences import NamedMark
from packbuilder.ladder.head.solve import Told, path_json, tell
from packbuilder.ladder.step import Step
from packbuilder.proof import kernel
from tests.ladder import grids
from tests.ladder import no_notes_definition as definition
from tests.ladder.no_notes_definition import Fact, Held
from tests.ladder.test_no_notes import (
    BY_LOAD,
    CLASSIC,
    NOTES_NEEDED,
    SHAPES,
    SMALL,
    SMALL_BY_LOAD,
    grids_of_interest,
    loaded,
    stripped,
)


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
        assert facts(one.uses) <= alive
        with_uses = definition.seen(geometry, now, facts(one.uses))
        if step.places:
            ((cell, digit),) = step.places
            assert (cell, digit) in definition.placements(geometry, with_uses), one.words
            assert not step.removes
            values[cell] = digit
            held = alive
        else:
            new = (frozenset(step.cells), frozenset(step.digits))
            assert new in definition.facts(geometry, with_uses), one.words
            # Nothing is left to place whenever a mark is set.
            assert not definition.placements(geometry, definition.seen(geometry, now, alive))
            held = alive | {new}
            before = definition.seen(geometry, now, alive)
            after = definition.seen(geometry, now, held)
            gone = {(c, d) for c, ds in enumerate(before) for d in ds - after[c]}
            assert set(step.removes) == gone != set()
        assert len(held) <= most
        assert facts(one.marks) | facts(one.forgets) == held
        assert not facts(one.marks) & facts(one.forgets)
        alive = facts(one.marks)
    assert not alive
    return tuple(values)


@pytest.mark.parametrize("clues", grids_of_interest())
def test_each_step_of_a_classic_grid_holds(clues: Values) -> None:
    answer, told = no_notes(CLASSIC, clues), tell(CLASSIC, clues)
    most = 9 if answer.marks is None else answer.marks
    assert judged(CLASSIC, clues, told, most) == answer.values
    if answer.solved:
        assert all(one.step.places for one in told) == (answer.marks == 0)


@pytest.mark.parametrize(("name", "text"), [(name, text) for name, text, _ in SMALL_BY_LOAD])
def test_each_step_of_a_small_grid_holds(name: str, text: str) -> None:
    geometry, clues = SHAPES[name], parse_grid(text, 6)
    answer = no_notes(geometry, clues)
    assert answer.marks
    assert judged(geometry, clues, tell(geometry, clues), answer.marks) == answer.values


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(SMALL), st.integers(0, 2**32))
def test_each_step_of_a_random_grid_holds(name: str, seed: int) -> None:
    geometry, clues = SHAPES[name], stripped(SHAPES[name], seed % 200)
    answer = no_notes(geometry, clues)
    most = 9 if answer.marks is None else answer.marks
    assert judged(geometry, clues, tell(geometry, clues), most) == answer.values


@pytest.mark.parametrize(("load", "clues"), loaded())
def test_every_mark_is_used_and_forgotten_after_its_last_use(load: int, clues: Values) -> None:
    told = tell(CLASSIC, clues)
    assert max(len(one.marks) for one in told) <= load
    for k, one in enumerate(told):
        if one.step.places:
            continue
        new = (frozenset(one.step.cells), frozenset(one.step.digits))
        assert new in facts(one.marks)
        life = 0
        while new in facts(told[k + life].marks):
            life += 1
        assert new in facts(told[k + life].forgets)
        # Without it, what is told when it is forgotten would not be seen.
        last, values = told[k + life], after(clues, told[: k + life])
        held = facts(told[k + life - 1].marks) - {new}
        what = definition.seen(CLASSIC, values, held)
        if last.step.places:
            assert last.step.places[0] not in definition.placements(CLASSIC, what)
        else:
            found = (frozenset(last.step.cells), frozenset(last.step.digits))
            assert found not in definition.facts(CLASSIC, what)


def after(clues: Values, told: tuple[Told, ...]) -> Values:
    values = list(clues)
    for one in told:
        for cell, digit in one.step.places:
            values[cell] = digit
    return tuple(values)


@pytest.mark.parametrize("clues", grids_of_interest()[::2])
def test_the_eye_stays_with_the_block_or_the_digit(clues: Values) -> None:
    """Where something that is seen lies in the last block or is the last digit, that is next."""
    regions, told = CLASSIC.regions, tell(CLASSIC, clues)
    assert regions
    for k, (last, one) in enumerate(pairwise(told), 1):
        if not (last.step.places and one.step.places):
            continue
        (cell, digit), (there, that) = last.step.places[0], one.step.places[0]
        if regions[cell] != regions[there] and digit != that:
            what = definition.seen(CLASSIC, after(clues, told[:k]), facts(last.marks))
            for c, d in definition.placements(CLASSIC, what):
                assert regions[c] != regions[cell] and d != digit


def test_what_is_told_keeps_to_the_solution() -> None:
    for clues in grids.lines(BY_LOAD[3] + NOTES_NEEDED):
        solution = kernel.prove(CLASSIC, clues).first
        assert solution
        for one in tell(CLASSIC, clues):
            assert all(solution[cell] == digit for cell, digit in one.step.places)
            assert all(solution[cell] != digit for cell, digit in one.step.removes)
            for mark in one.marks:
                inside = {solution[cell] for cell in mark.cells}
                assert set(mark.digits) <= inside


def test_a_grid_that_needs_notes_is_told_as_far_as_it_goes() -> None:
    for clues in grids.lines(NOTES_NEEDED):
        told = tell(CLASSIC, clues)
        assert after(clues, told) == no_notes(CLASSIC, clues).values
        assert told[-1].step.places and not told[-1].marks


# Words


def test_the_words_of_marks_and_of_what_they_show() -> None:
    told = tell(CLASSIC, grids.lines(BY_LOAD[2])[0])
    for one in told:
        words = one.words
        assert re.fullmatch(r"[A-Zr].*[^ ]\.", words) and "  " not in words
        names = [cell_name(cell, 9) for cell in one.step.cells]
        assert all(name in words for name in names)
        assert all(str(digit) in words for digit in one.step.digits)
        assert ("in mind, " in words) == bool(one.uses)
        assert ("Keep this" in words) == (not one.step.places)
        assert ("can be forgotten now." in words) == bool(one.forgets and one is not told[-1])
        for cell, digit in one.step.removes:
            assert str(digit) in words and cell_name(cell, 9) in words
    assert any(one.uses for one in told) and any(one.step.removes for one in told)


WORDS = {
    "pointing": r"The \ds of block \d can only be in (r\dc\d, )?r\dc\d or r\dc\d, (both|all) in "
    r"(row|column) \d\. Keep this in mind: it rules out \d in .*\.",
    "claiming": r"The \ds of (row|column) \d can only be in (r\dc\d, )?r\dc\d or r\dc\d, "
    r"(both|all) in block \d\. Keep this in mind: it rules out \d in .*\.",
    "naked-pair": r"r\dc\d and r\dc\d can only be \d and \d\. Keep this pair of "
    r"(row|column|block) \d in mind: it rules out .*\.",
    "hidden-pair": r"The digits \d and \d of (row|column|block) \d can only be in r\dc\d and "
    r"r\dc\d\. Keep this pair in mind: it rules out .*\.",
    "naked-triple": r"r\dc\d, r\dc\d and r\dc\d can only be \d, \d and \d\. Keep this triple of "
    r"(row|column|block) \d in mind: it rules out .*\.",
    "hidden-triple": r"The digits \d, \d and \d of (row|column|block) \d can only be in r\dc\d, "
    r"r\dc\d and r\dc\d\. Keep this triple in mind: it rules out .*\.",
}


def test_each_kind_of_mark_has_its_words() -> None:
    pattern = dict(WORDS)
    pattern["locked-pair"], pattern["locked-triple"] = WORDS["naked-pair"], WORDS["naked-triple"]
    seen = set()
    for clues in [*grids.classics(), *(grid for _, grid in loaded())]:
        for one in tell(CLASSIC, clues):
            if one.step.removes and not one.uses:
                assert re.fullmatch(pattern[one.step.technique], one.words), one.words
                seen.add(one.step.technique)
    assert {"pointing", "claiming", "naked-pair", "hidden-pair"} <= seen


def test_how_marks_are_let_go() -> None:
    house = {h.label: k for k, h in enumerate(CLASSIC.houses)}
    fives = NamedMark((5,), (15, 17), house["block 3"])
    pair = NamedMark((3, 7), (0, 1), house["row 1"])
    assert sentences.name(fives, CLASSIC) == "the 5s of block 3"
    assert sentences.name(pair, CLASSIC) == "the pair 3 and 7 of row 1"
    placed = Step("hidden-single", 1, ((9, 5),), (), (9,), (5,), (house["block 1"],))
    end = sentences.tell_end
    assert sentences.tell_placement(placed, [fives, pair], CLASSIC) == (
        "With the 5s of block 3 and the pair 3 and 7 of row 1 in mind, 5 fits in block 1 only in "
        "r2c1."
    )
    assert end([pair, fives], [fives, pair], CLASSIC) == "These marks can be forgotten now."
    assert end([fives], [fives], CLASSIC) == "This mark can be forgotten now."
    assert end([fives], [], CLASSIC) == "The 5s of block 3 can be forgotten now."
    assert end([fives], [fives, pair], CLASSIC) == "The 5s of block 3 can be forgotten now."


def test_as_json() -> None:
    clues = grids.lines(BY_LOAD[2])[1]
    found = path_json(CLASSIC, clues)
    assert list(found) == ["grid", "solved", "grade", "no_notes", "steps"]
    assert found["solved"] is True and found["no_notes"] == {"solved": True, "marks": 2}
    told = tell(CLASSIC, clues)
    assert len(found["steps"]) == len(told)
    for step, one in zip(found["steps"], told, strict=True):
        assert step["words"] == one.words
        assert [mark["digits"] for mark in step["marks"]] == [list(m.digits) for m in one.marks]
        assert len(step["marks"]) <= 2
        for mark in step["marks"]:
            assert all(re.fullmatch(r"r\dc\d", cell) for cell in mark["cells"])
            assert set(mark) == {"digits", "cells", "house"}
        assert bool(step["places"]) != bool(step["removes"])
        assert step["because"]["cells"] and step["because"]["digits"]
    stuck = path_json(CLASSIC, grids.lines(NOTES_NEEDED)[0])
    assert stuck["solved"] is False and stuck["no_notes"]["marks"] is None


@pytest.mark.parametrize("name", SHAPES)
def test_whatever_the_clues_say_there_is_an_answer(name: str) -> None:
    """Grids with wrong digits among the clues, in every shape: mostly without any solution."""
    geometry, rng = SHAPES[name], random.Random(name)
    for seed in range(25):
        full = kernel.random_solution(geometry, seed)
        share = rng.uniform(0.2, 0.6)
        clues = [digit if rng.random() < share else 0 for digit in full]
        for cell in rng.sample(range(len(clues)), seed % 4):
            clues[cell] = rng.randint(1, geometry.size)
        answer = no_notes(geometry, tuple(clues))
        found = path_json(geometry, tuple(clues))
        assert found["solved"] == answer.solved
        failure = first_failure(geometry, tuple(clues), 9)
        assert answer.solved == (failure is None)
        if answer.solved:
            assert geometry.holds(answer.values)


def test_two_tellings_are_one() -> None:
    clues = grids.lines(BY_LOAD[3])[1]
    assert tell(CLASSIC, clues) == tell(CLASSIC, clues)


def test_a_full_grid_has_nothing_to_tell() -> None:
    assert tell(CLASSIC, kernel.random_solution(CLASSIC, 1)) == ()
    assert tell(CLASSIC, (0,) * 81) == ()
    assert tell(CLASSIC, parse_grid("11" + "." * 79, 9)) == ()


def test_a_latin_square_is_told_in_rows_and_columns() -> None:
    geometry = latin(6)
    clues = stripped(geometry, 5)
    text = " ".join(one.words for one in tell(geometry, clues))
    assert "row" in text and "column" in text and "block" not in text


def test_the_telling_of_a_search_cut_short_ends_early() -> None:
    clues = grids.lines(BY_LOAD[3])[0]
    told = tell(CLASSIC, clues, limit=20)
    assert 0 < len(told) < len(tell(CLASSIC, clues))
    assert after(clues, told).count(0) > 0


def test_what_is_in_mind_is_shown_when_it_changes(capsys: pytest.CaptureFixture[str]) -> None:
    clues = grids.lines(BY_LOAD[2])[1]
    told = tell(CLASSIC, clues)
    show_no_notes(told, no_notes(CLASSIC, clues), CLASSIC)
    changes = sum(bool(one.marks) and one.marks != last.marks for last, one in pairwise(told))
    changes += bool(told[0].marks)
    assert capsys.readouterr().out.count("(in mind: ") == changes
    assert 0 < changes < sum(bool(one.marks) for one in told)
