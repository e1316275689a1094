"""The rating: the same in every disguise, and what its definition says."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from packbuilder.grid import Geometry, Values, blocks
from packbuilder.ladder.board import Board
from packbuilder.ladder.climb import climb, openings
from packbuilder.ladder.path import walk
from packbuilder.ladder.rounds import Rating, rate, solves
from packbuilder.ladder.rungs import Ladder, Sight
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import kernel
from packbuilder.puzzle import BEYOND
from tests.ladder import definitions, grids
from tests.ladder.disguise import disguised
from tests.ladder.test_definitions import DEFINED

CLASSICS = grids.classics()
DISGUISES = 8


def minimal_grids(count: int, name: str) -> list[Values]:
    """Grids from which no clue can go, made for this test."""
    found = []
    for k in range(count):
        rng = random.Random(f"{name} {k}")
        clues = list(kernel.random_solution(grids.CLASSIC, rng.getrandbits(32)))
        for cell in rng.sample(range(81), 81):
            digit, clues[cell] = clues[cell], 0
            if kernel.prove(grids.CLASSIC, clues).solutions != 1:
                clues[cell] = digit
        found.append(tuple(clues))
    return found


@pytest.mark.parametrize("part", range(6))
def test_the_rating_is_the_same_in_every_disguise(part: int) -> None:
    rng, seen = random.Random(part), set()
    for clues in minimal_grids(50, f"rating {part}"):
        rating = rate(grids.CLASSIC, clues)
        seen.add(rating.hardest)
        for _ in range(DISGUISES):
            assert rate(grids.CLASSIC, disguised(clues, rng)) == rating
    assert len(seen) > 8


@pytest.mark.parametrize("clues", CLASSICS)
def test_so_it_is_for_every_rung_and_for_what_is_promised(clues: Values) -> None:
    rng = random.Random(str(clues))
    promised = DEFAULT.promising("locked-triple", "naked-triple", "empty-rectangle", "chain")
    for ladder in (DEFAULT, promised, DEFAULT.without("hidden-single", "pointing")):
        rating = rate(grids.CLASSIC, clues, ladder=ladder)
        for _ in range(2):
            assert rate(grids.CLASSIC, disguised(clues, rng), ladder=ladder) == rating


def turned(geometry: Geometry, clues: Values, rng: random.Random) -> Values:
    """The grid turned by half, and its digits renamed: every shape of block allows it."""
    names = [0, *rng.sample(range(1, geometry.size + 1), geometry.size)]
    return tuple(names[v] for v in reversed(clues))


@pytest.mark.parametrize(("geometry", "clues"), grids.everything()[-5:])
def test_so_it_is_on_other_grids(geometry: Geometry, clues: Values) -> None:
    rng = random.Random(str(clues))
    for _ in range(4):
        assert rate(geometry, turned(geometry, clues, rng)) == rate(geometry, clues)


class Rounds:
    """A rating straight from its definition, on sets: see `packbuilder.ladder.rounds`."""

    def __init__(self, geometry: Geometry, clues: Values, ladder: Ladder) -> None:
        self.geometry, self.left = geometry, [set[int]() for _ in clues]
        for cell, value in enumerate(clues):
            if not value:
                near = {clues[peer] for peer in geometry.peers[cell]}
                self.left[cell] = set(range(1, geometry.size + 1)) - near
        self.effort, self.counts, self.top = 0.0, Counter[str](), 1
        order = sorted(ladder.techniques, key=lambda t: (t.rung, t.weight))
        while any(self.left):
            for technique in order:
                taken = self.take(technique.sight, technique.slug)
                if taken:
                    self.counts[technique.slug] += taken
                    self.effort += taken * technique.weight
                    self.top = max(self.top, technique.rung)
                    break
            else:
                break

    def take(self, sight: Sight | None, slug: str) -> int:
        if not sight:
            gone = set().union(*DEFINED[slug](self.geometry, self.left))
            for cell, digit in gone:
                self.left[cell].discard(digit)
            return int(bool(gone))
        names = {Sight.LAST_CELL: "last cell", Sight.AREA: "area", Sight.LINE: "line",
                 Sight.CELL: "cell"}  # fmt: skip
        found = {
            (cell, digit)
            for name, cell, digit in definitions.singles(self.geometry, self.left)
            if name == names[sight]
        }
        for cell, digit in found:
            self.left[cell] = set()
            for peer in self.geometry.peers[cell]:
                self.left[peer].discard(digit)
        return len(found)


QUICK = [slug for slug in DEFINED if DEFAULT.rung_of(slug) < 6 and slug != "x-wing"]
"""Techniques whose definitions are not too slow for a whole solve."""


@pytest.mark.parametrize(
    ("geometry", "clues"), [*grids.everything()[:17:2], *grids.everything()[-5:]]
)
def test_grade_effort_and_techniques_are_what_the_definition_says(
    geometry: Geometry, clues: Values
) -> None:
    ladder = DEFAULT.only({t.slug for t in DEFAULT.techniques if t.sight} | set(QUICK))
    found, rating = Rounds(geometry, clues, ladder), rate(geometry, clues, ladder=ladder)
    assert rating.effort == found.effort and dict(rating.techniques) == found.counts
    assert rating.grade == (BEYOND if any(found.left) else found.top)


def hardest(clues: Values) -> str:
    """By plain walks: the heaviest of the top rung that cannot be spared; else the first there."""
    path = walk(grids.CLASSIC, clues)
    top = [t for t in DEFAULT.techniques if t.rung == path.grade]
    for row in sorted(top, key=lambda t: -t.weight):
        rest = Ladder(tuple(t for t in DEFAULT.techniques if t.rung <= row.rung and t is not row))
        board = Board(grids.CLASSIC, clues)
        climb(board, rest)
        if board.open:
            return row.slug
    board = Board(grids.CLASSIC, clues)
    climb(board, DEFAULT.up_to(top[0].rung))
    return min(openings(board, DEFAULT), key=lambda move: move.technique.weight).technique.slug


@pytest.mark.parametrize("clues", CLASSICS)
def test_the_hardest_technique_cannot_be_spared_or_comes_first(clues: Values) -> None:
    assert rate(grids.CLASSIC, clues).hardest == hardest(clues)


def test_both_kinds_of_hardest_occur() -> None:
    def spared(clues: Values, rating: Rating) -> bool:
        assert isinstance(rating.grade, int)
        return solves(grids.CLASSIC, clues, DEFAULT.up_to(rating.grade + 1).without(rating.hardest))

    found = Counter(spared(clues, rate(grids.CLASSIC, clues)) for clues in CLASSICS)
    assert found[True] > 3 and found[False] > 3


def test_a_full_grid_and_one_that_is_not_finished() -> None:
    clash = (1, 1, *[0] * 79)
    assert rate(grids.CLASSIC, clash).grade == BEYOND
    assert rate(blocks(2, 2), (0,) * 16) == Rating(BEYOND, "", 0.0, ())


def on_path(clues: Values, ladder: Ladder) -> set[str]:
    return {step.technique for step in walk(grids.CLASSIC, clues, ladder=ladder).steps}


@pytest.mark.parametrize("slug", ["skyscraper", "two-string-kite", "xy-wing", "naked-pair"])
def test_what_is_promised_is_taken_as_soon_as_it_is_open(slug: str) -> None:
    rung, shown = DEFAULT.rung_of(slug), 0
    for clues in CLASSICS:
        ladder = DEFAULT.promising(slug)
        rating = rate(grids.CLASSIC, clues, ladder=ladder)
        assert rating.grade == rate(grids.CLASSIC, clues).grade
        if solves(grids.CLASSIC, clues, DEFAULT.up_to(rung, slug)) and rating.grade == rung:
            # It is needed; so path and hardest technique speak of nothing else on its rung.
            steps = walk(grids.CLASSIC, clues, ladder=ladder).steps
            assert {step.technique for step in steps if step.rung == rung} == {slug}
            assert rating.hardest == slug
            shown += 1
    assert shown


def test_of_two_that_are_promised_each_gets_its_turn() -> None:
    two, turns = {"naked-pair", "hidden-pair"}, 0
    for clues in minimal_grids(60, "turns"):
        plain, both = on_path(clues, DEFAULT), on_path(clues, DEFAULT.promising(*two))
        turns += two <= both and not two <= plain
    assert turns
