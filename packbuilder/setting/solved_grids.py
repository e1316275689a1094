"""Solved grids that keep the rules asked for, with random clues of each rule.

A rule that is a bare name binds the whole grid, so the grid is made to keep it. The others are
given clues that hold on it once it is there (`rules.contract.Kind.random_value`).
"""

from __future__ import annotations

import random
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from packbuilder import rules
from packbuilder.errors import InputError, Unfinished
from packbuilder.grid import Geometry, Values
from packbuilder.proof import kernel
from packbuilder.proof.sat import Prover
from packbuilder.rules.contract import Draw, Part, RuleFault, Solved
from packbuilder.rules.houses import with_houses
from packbuilder.rules.shapes import Box, Corner, Outside, Patch, Path, Ring, Side
from packbuilder.rules.tools.outside import on_one_another
from packbuilder.rules.tools.random_clues import shuffled

Rules = tuple[tuple[str, Any], ...]
"""Rules by name, each with its value in the manifest; None for a bare name."""

TRIES = 8
"""How often a rule is given other clues where they would be misread in print."""


@dataclass(frozen=True)
class SolvedGrid:
    """A full grid with rules that it keeps. ``base`` is the geometry without their houses."""

    base: Geometry
    solution: Values
    rules: Rules = ()


@dataclass(frozen=True)
class Meaning:
    """What rules mean: their parts, and the geometry with the houses that these bring."""

    parts: tuple[Part, ...]
    geometry: Geometry


def meaning_of(base: Geometry, written: Rules) -> Meaning:
    """The rules, as the manifest reads them. Raises RuleFault."""
    kinds = rules.kinds()
    parts = tuple(part for slug, value in written for part in kinds[slug].read(value, base))
    return Meaning(parts, with_houses(base, parts))


def filled_rules(written: Rules, values: Values | None, geometry: Geometry) -> Rules:
    """The rules of a design with a full grid's numbers for the open ones, or without these."""
    kinds = rules.kinds()
    found = ((slug, value, kinds[slug].filled(value, values, geometry)) for slug, value in written)
    return tuple((slug, value) for slug, was, value in found if value is not None or was is None)


def is_bare(slug: str) -> bool:
    """Whether a rule is written as a name alone."""
    return bool(rules.kinds()[slug].schema().get("type") == "null")


def solved_with_rules(
    base: Geometry,
    slugs: Sequence[str],
    seed: str,
    *,
    counts: Mapping[str, int] = MappingProxyType({}),
    deadline: float | None = None,
) -> SolvedGrid | None:
    """A solved grid with clues of every rule, from a seed; None where some rule has none.

    ``counts`` says of some rules how many clues they have. Raises InputError where no full grid
    keeps the rules that are bare names, Unfinished where the deadline (on the monotonic clock)
    passed first.
    """
    # Only random() is promised to draw the same numbers in every Python.
    draw = random.Random(seed).random
    whole: Rules = tuple((slug, None) for slug in slugs if is_bare(slug))
    solution = (
        full_grid(base, whole, draw, deadline=deadline)
        if whole
        else kernel.random_solution(base, int(draw() * 2**53), deadline=deadline)
    )
    written = dict(whole)
    kinds = rules.kinds()
    for slug in sorted(slugs, key=lambda slug: kinds[slug].takes_the_rest):
        if slug not in written:
            value = _clues(base, solution, tuple(written.items()), slug, counts.get(slug), draw)
            if value is None:
                return None
            written[slug] = value
    return SolvedGrid(base, solution, tuple((slug, written[slug]) for slug in slugs))


def full_grid(
    base: Geometry,
    whole: Rules,
    draw: Draw,
    *,
    clues: Sequence[int] = (),
    deadline: float | None = None,
) -> Values:
    """A random full grid that keeps rules, cell by cell: a digit stands if the rest can be filled.

    It has the ``clues``. Whether the rest can be filled is the same on every machine, whatever the
    solver finds first. Raises InputError where no full grid keeps the rules, Unfinished where the
    deadline passed first.
    """
    meaning = meaning_of(base, whole)
    geometry, clues = meaning.geometry, list(clues) or [0] * base.cell_count
    with Prover(geometry, meaning.parts) as prover:

        def filled() -> Values | None:
            left = None if deadline is None else max(0.0, deadline - time.monotonic())
            found, complete = prover.explore(clues, limit=1, time_limit=left)
            if not found and not complete:
                raise Unfinished("the time ran out while a grid was filled")
            return found[0] if found else None

        known = filled()
        if known is None:
            names = " and ".join(slug for slug, _ in whole)
            raise InputError(f"no full grid keeps {names} ({base.name()}); try another size")
        for cell in shuffled((c for c, clue in enumerate(clues) if not clue), draw):
            for digit in shuffled(range(1, base.size + 1), draw):
                if any(clues[peer] == digit for peer in geometry.peers[cell]):
                    continue
                clues[cell] = digit
                found = known if known[cell] == digit else filled()
                if found is not None:
                    known = found
                    break
    return known


def _clues(
    base: Geometry, solution: Values, so_far: Rules, slug: str, count: int | None, draw: Draw
) -> Any:
    """Clues of one more rule that print can tell apart; None where there are none."""
    before = meaning_of(base, so_far)
    grid = Solved(before.geometry, solution, _free(before), draw, _taken(before))
    for _ in range(TRIES):
        value = rules.kinds()[slug].random_value(grid)
        if value is not None and count is not None:
            value = rules.kinds()[slug].limited(value, count, grid)
        if value is not None and legible(base, (*so_far, (slug, value))):
            return value
    return None


def _free(meaning: Meaning) -> frozenset[int]:
    """The cells in which nothing is drawn that a line or a mark would be lost on."""
    drawn: set[int] = set()
    for part in meaning.parts:
        for shape in part.shapes():
            if isinstance(shape, Path | Patch):
                drawn |= set(shape.cells)
            elif isinstance(shape, Ring | Box | Corner):
                drawn.add(shape.cell)
    return frozenset(range(meaning.geometry.cell_count)) - drawn


def _taken(meaning: Meaning) -> frozenset[tuple[Side, int]]:
    """The places outside the grid where a number stands."""
    shapes = [shape for part in meaning.parts for shape in part.shapes()]
    return frozenset((shape.side, shape.index) for shape in shapes if isinstance(shape, Outside))


def legible(base: Geometry, written: Rules) -> bool:
    """True if the rules can be read back from how they look, with nothing to warn of."""
    kinds = rules.kinds()
    try:
        meaning = meaning_of(base, written)
    except RuleFault:
        return False
    if any(on_one_another(meaning.parts)):
        return False
    shapes = [shape for part in meaning.parts for shape in part.shapes()]
    for slug, _ in written:
        kind = kinds[slug]
        parts = rules.parts_of(kind, meaning.parts)
        shown = {part for part in parts if part.shapes()}
        if kind.warnings(parts, base.size) or set(kind.recover(shapes, meaning.geometry)) != shown:
            return False
    return True
