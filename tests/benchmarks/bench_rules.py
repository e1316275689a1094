"""How fast grids with rules are proved, beside OR-Tools CP-SAT on the same grids in the same run.

A proof is everything from the parts of the rules on: clauses made and loaded, and both solutions
looked for; CP-SAT's is everything from the manifest's text on, its model by the tests' own judge,
one worker. Whatever can be kept from one grid to the next is kept (the clauses of a sum, say).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from statistics import median
from time import process_time

from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.rounds import rate
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import kernel, rule_search, sat
from tests.benchmarks import Row, best_in_turn
from tests.benchmarks.rule_grids import MAKERS, RuleGrid, make
from tests.rules import judge

GRIDS = 8
"""Grids a rule: the figures are medians over them, and the worst."""

TARGETS = {"cages": "150 ms, ahead", "sightlines": "100 ms, ahead"}


def rows() -> Iterator[Row]:
    """A row a rule."""
    kernel.ready()
    for slug in MAKERS:
        grids = [make(slug, seed) for seed in range(GRIDS)]
        yield _row(slug, grids)
    yield _rating()


def _row(slug: str, grids: list[RuleGrid]) -> Row:
    houses = all(part.houses_only for g in grids for part in g.parts)
    times = [best_in_turn(_proofs(slug, g, houses), rounds=3, clock=process_time) for g in grids]
    names = ("kernel" if houses else "rule search", "SAT", "CP-SAT")
    columns = list(zip(*times, strict=True))
    told = [f"{name} {_milli(column)}" for name, column in zip(names, columns, strict=True)]
    ahead = [sum(a < b for a, b in zip(ours, columns[2], strict=True)) for ours in columns[:2]]
    clues = median(sum(d > 0 for d in g.clues) for g in grids)
    parts = median(len(g.parts) for g in grids)
    size = grids[0].geometry.size
    return Row(
        f"{slug}, {size}x{size}, about {clues:g} digits, {parts:g} parts",
        f"{'; '.join(told)}; ahead on {ahead[0]} and {ahead[1]} of {len(grids)}",
        TARGETS.get(slug, "100 ms, ahead on most"),
    )


def _proofs(slug: str, grid: RuleGrid, houses: bool) -> list[Callable[[], object]]:
    """The first engine, the second, and CP-SAT; each must find the one solution."""
    geometry, clues, parts = grid.geometry, grid.clues, grid.parts

    def first() -> None:
        if houses:
            assert kernel.prove(geometry, clues).solutions == 1
        else:
            assert rule_search.prove(geometry, clues, parts).solutions == 1

    def second() -> None:
        assert sat.prove(geometry, clues, parts).solutions == 1

    def third() -> None:
        found = judge.solutions(geometry.size, geometry.shape, clues, [(slug, grid.value)])
        assert len(found) == 1

    return [first, second, third]


def _milli(seconds: tuple[float, ...]) -> str:
    return f"{median(seconds) * 1e3:.1f} ms (worst {max(seconds) * 1e3:.0f})"


def _rating() -> Row:
    """The grade with every fact of the solve, but its words."""
    grids = [make("cages", seed) for seed in range(GRIDS)]
    calls: list[Callable[[], object]] = [
        partial(rate, g.geometry, g.clues, ladder=with_rules(DEFAULT, g.parts)) for g in grids
    ]
    times = tuple(best_in_turn(calls, rounds=3))
    return Row("rating a 9x9 of cages without a digit, graded or beyond", _milli(times), "2 s")
