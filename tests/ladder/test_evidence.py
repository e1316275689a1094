"""Evidence: with it and no more the conclusion follows, with one piece less it does not.

Each piece is asked by brute force what it closes: a placed digit by the houses that it shares with
a cell; a part of a rule by all ways to fill its cells; a step by what it struck.
"""

from __future__ import annotations

from itertools import combinations, product
from pathlib import Path as File

import pytest

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.cover import Closer, least_cover
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.reasons import Reasons, without_detours
from packbuilder.ladder.table import DEFAULT
from packbuilder.manifest import load
from packbuilder.puzzle import Puzzle
from tests.ladder import grids

ALL = grids.everything()
PACK = load(File(__file__).parents[2] / "packs/cold-kettle-hill")


def sees(geometry: Geometry, one: int, other: int) -> bool:
    return one != other and any({one, other} <= set(house.cells) for house in geometry.houses)


def claims(path: Path, k: int, values: Values) -> list[tuple[int, set[int]]]:
    """What must be closed for a placement: (digit, cells) pairs."""
    step = path.steps[k]
    ((cell, digit),) = step.places
    if step.technique == "full-house":
        return []
    if step.houses:
        house = path.geometry.houses[step.houses[0]].cells
        return [(digit, {c for c in house if not values[c]} - {cell})]
    return [(d, {cell}) for d in range(1, path.geometry.size + 1) if d != digit]


def follows(because: tuple[Because, ...], path: Path, k: int, values: Values) -> bool:
    for digit, cells in claims(path, k, values):
        closed = set()
        for one in because:
            if one.kind == "digit" and one.digit == digit:
                closed |= {cell for cell in cells if sees(path.geometry, one.cells[0], cell)}
            elif one.digit == digit:
                struck = path.steps[one.step].removes
                closed |= {cell for cell in cells if (cell, digit) in struck}
        if not cells <= closed:
            return False
    return True


@pytest.mark.parametrize(("geometry", "clues"), ALL)
def test_a_placement_follows_from_its_evidence_and_from_nothing_less(
    geometry: Geometry, clues: Values
) -> None:
    path = without_detours(walk(geometry, clues))
    reasons = Reasons(path)
    for k, step in enumerate(path.steps):
        if step.places:
            values, because = reasons.values(k), reasons.because(k)
            assert all(values[b.cells[0]] == b.digit for b in because if b.kind == "digit")
            assert follows(because, path, k, values)
            for gone in range(len(because)):
                assert not follows(because[:gone] + because[gone + 1 :], path, k, values)


def test_no_fewer_placed_digits_would_do() -> None:
    """By exhaustive search: every smaller choice of the digits that stand leaves a cell open."""
    looked = 0
    for geometry, clues in ALL:
        path = without_detours(walk(geometry, clues))
        reasons = Reasons(path)
        for k, step in enumerate(path.steps):
            because, values = reasons.because(k), reasons.values(k)
            if step.technique != "hidden-single" or any(b.kind != "digit" for b in because):
                continue
            ((digit, cells),) = claims(path, k, values)
            copies = [at for at, value in enumerate(values) if value == digit]
            reach = {at: {c for c in cells if sees(geometry, at, c)} for at in copies}
            for some in combinations(copies, len(because) - 1):
                assert not cells <= set[int]().union(*(reach[at] for at in some))
            looked += 1
    assert looked > 500


def test_lines_before_single_cells_and_near_before_far() -> None:
    """Of covers of one size the one that a hand would point at."""
    wide, narrow = Closer("wide", frozenset({1, 2}), far=5), Closer("narrow", frozenset({2}), far=1)
    other, third = Closer("other", frozenset({1, 3}), far=5), Closer("third", frozenset({3}), far=1)
    chosen = least_cover(frozenset({1, 2, 3}), [narrow, third, wide, other])
    assert {one.what for one in chosen} == {"wide", "other"}
    near, far = Closer("near", frozenset({1}), far=1), Closer("far", frozenset({1}), far=7)
    assert [one.what for one in least_cover(frozenset({1}), [far, near])] == ["near"]
    step, part = Closer("step", frozenset({1, 2}), rank=2), Closer("part", frozenset({1}), rank=1)
    assert {one.what for one in least_cover(frozenset({1, 2}), [step, part, narrow])} == {
        "part",
        "narrow",
    }
    with pytest.raises(ValueError, match="closed by nothing"):
        least_cover(frozenset({4}), [wide, other])


def test_evidence_names_the_houses_along_which_a_digit_reaches() -> None:
    for geometry, clues in ALL[::3]:
        reasons = Reasons(without_detours(walk(geometry, clues)))
        for k in range(len(reasons.path.steps)):
            for one in reasons.because(k):
                if one.kind in ("digit", "held"):
                    along = [set(geometry.houses[h].cells) for h in one.houses]
                    assert all(set(one.cells) <= house for house in along)
                    assert set(one.closes) <= set[int]().union(*along)


def ruled(puzzle: Puzzle) -> Reasons:
    ladder = with_rules(DEFAULT, puzzle.rules)
    return Reasons(without_detours(walk(puzzle.geometry, puzzle.clues, ladder=ladder)))


@pytest.mark.parametrize("puzzle", PACK.puzzles, ids=[one.id for one in PACK.puzzles])
def test_what_a_part_closes_cannot_be(puzzle: Puzzle) -> None:
    """No way to fill the part has the digit there, be every other cell of the grid empty."""
    reasons, size = ruled(puzzle), puzzle.size
    for k in range(len(reasons.path.steps)):
        values = reasons.values(k)
        for one in reasons.because(k) if reasons.path.steps[k].places else ():
            if one.kind != "part" or one.part is None:
                continue
            assert all(values[cell] for cell in one.cells)
            parts = [part for part in puzzle.rules if set(part.cells) <= {*one.about}]
            parts = [one.part] if set(one.about) <= set(one.part.cells) else parts
            for cell in one.closes:
                known = {at: values[at] for at in one.cells} | {cell: one.digit}
                cells = dict.fromkeys(at for part in parts for at in part.cells)
                free = [at for at in cells if at not in known]
                if len(free) > 4:
                    continue
                for filled in product(range(1, size + 1), repeat=len(free)):
                    whole = known | dict(zip(free, filled, strict=True))
                    apart = all(
                        whole[a] != whole[b]
                        for a, b in combinations(whole, 2)
                        if sees(puzzle.geometry, a, b)
                    )
                    grid = tuple(whole.get(at, 0) for at in range(size * size))
                    assert not apart or not all(part.holds(grid, size) for part in parts)


@pytest.mark.parametrize("puzzle", PACK.puzzles, ids=[one.id for one in PACK.puzzles])
def test_a_path_with_rules_is_told_whole(puzzle: Puzzle) -> None:
    reasons = ruled(puzzle)
    assert sum(len(s.places) for s in reasons.path.steps) == puzzle.clues.count(0)
    for k, step in enumerate(reasons.path.steps):
        because, candidates = reasons.because(k), reasons.candidates(k)
        assert all(one.step < k for one in because)
        assert all(digit in candidates[cell] for cell, digit in step.places)


@pytest.mark.parametrize(("geometry", "clues"), ALL)
def test_a_told_path_solves_and_each_told_strike_is_used(geometry: Geometry, clues: Values) -> None:
    path = walk(geometry, clues)
    straight = without_detours(path)
    assert [s.places for s in straight.steps if s.places] == [
        s.places for s in path.steps if s.places
    ]
    if not path.solved:
        assert straight == path
        return
    reasons, used = Reasons(straight), set[tuple[int, int]]()
    for k in range(len(straight.steps) - 1, -1, -1):
        if straight.steps[k].places or used & {*straight.steps[k].removes}:
            used |= reasons.rests_on(k)
    # A forcing or a refutation does not show on which strikes it rests: all that it may rest on.
    hazy = {"forcing-cell", "forcing-house", "refutation"}
    if not hazy & {step.technique for step in path.steps}:
        strikes = [pair for step in straight.steps for pair in step.removes]
        whole = {p for s in straight.steps if s.technique == "simple-colouring" for p in s.removes}
        assert set(strikes) - whole <= used <= set(strikes) and len(set(strikes)) == len(strikes)


def test_a_promised_technique_is_told_though_another_would_do() -> None:
    told = set()
    for clues in grids.lines(grids.BY_GRADE[5]):
        for slug in ("x-wing", "skyscraper", "two-string-kite", "xy-wing"):
            path = walk(grids.CLASSIC, clues, ladder=DEFAULT.promising(slug))
            if slug in path.slugs:
                assert slug in without_detours(path).slugs
                told.add(slug)
    assert len(told) > 1
