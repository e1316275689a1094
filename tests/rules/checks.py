"""What every rule is held to, each check one function that a rule's own test calls.

A *maker* gives a value for the manifest that holds on a solved grid: (rng, geometry, values).
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

from packbuilder.grid import Geometry, Values, blocks, default_shape, latin, parse_cell
from packbuilder.proof import rule_search
from packbuilder.proof.sat import Prover
from packbuilder.rules import kinds
from packbuilder.rules.contract import Deduction, Part, RuleFault, Sight
from packbuilder.rules.houses import with_houses
from tests.rules import judge
from tests.rules.random_lines import shuffled

Maker = Callable[[random.Random, Geometry, Values], Any]


def geometry_of(size: int) -> Geometry:
    """The usual grid of a size."""
    shape = default_shape(size)
    return blocks(*shape) if shape else latin(size)


def read(slug: str, value: Any, geometry: Geometry) -> tuple[tuple[Part, ...], Geometry]:
    """The parts of a rule, and the geometry with their houses."""
    parts = kinds()[slug].read(value, geometry)
    return parts, with_houses(geometry, parts)


def refused(slug: str, value: Any, size: int = 6) -> str:
    """The sentence with which a rule refuses a value, behind the way to the fault."""
    try:
        kinds()[slug].read(value, geometry_of(size))
    except RuleFault as fault:
        way = "/".join(map(str, fault.path))
        return f"{way}: {fault}" if way else str(fault)
    raise AssertionError(f"{slug} takes {value!r}")


def deductions(
    slug: str, value: Any, masks: dict[str, str] | None = None, size: int = 9
) -> list[Deduction]:
    """What a person can conclude from a rule alone; cells not named hold any digit."""
    parts, housed = read(slug, value, geometry_of(size))
    position = [(1 << size) - 1] * size**2
    for name, digits in (masks or {}).items():
        position[parse_cell(name, size)] = sum(1 << int(d) - 1 for d in digits)
    return [found for part in parts for found in part.deduce(Sight(housed, tuple(position)))]


def told(
    slug: str, value: Any, masks: dict[str, str] | None = None, size: int = 9
) -> list[tuple[str, str]]:
    """The same in words: techniques and sentences."""
    return [(found.technique, found.words()) for found in deductions(slug, value, masks, size)]


@cache
def all_grids(geometry: Geometry) -> tuple[Values, ...]:
    """Every solved grid of a tiny geometry, cell by cell, by trying."""
    size, grids = geometry.size, [()]
    for cell in range(geometry.cell_count):
        seen = [other for other in geometry.peers[cell] if other < cell]
        grids = [
            (*grid, d)
            for grid in grids
            for d in range(1, size + 1)
            if all(grid[other] != d for other in seen)
        ]
    return tuple(grids)


def check_tiny(slug: str, value: Any, geometry: Geometry) -> int:
    """`holds`, the clauses and the search agree on every grid of a tiny geometry.

    Gives how many grids keep the rule.
    """
    parts, housed = read(slug, value, geometry)
    size = geometry.size
    kept = {g for g in all_grids(geometry) if all(part.holds(g, size) for part in parts)}
    empty = (0,) * geometry.cell_count
    with Prover(housed, parts) as prover:
        by_clauses, complete = prover.explore(empty, limit=len(kept) + 1)
    assert complete
    assert set(by_clauses) == kept
    by_search, complete = rule_search.explore(housed, empty, parts, limit=len(kept) + 1)
    assert complete
    assert set(by_search) == kept
    for part in parts:
        if not part.houses_only:
            _check_alone(part, geometry)
    return len(kept)


def _check_alone(part: Part, geometry: Geometry) -> None:
    """One part by itself: no other part hides a clause that is missing."""
    kept = {g for g in all_grids(geometry) if part.holds(g, geometry.size)}
    with Prover(with_houses(geometry, (part,)), (part,)) as prover:
        found, complete = prover.explore((0,) * geometry.cell_count, limit=len(kept) + 1)
    assert complete
    assert set(found) == kept, part


def check_against_judge(
    slug: str, make: Maker, seed: int, size: int = 6, clues: int = 4
) -> Values | None:
    """Both engines and OR-Tools say the same of a puzzle made at random; a unique solution."""
    rng, geometry = random.Random(seed), geometry_of(size)
    values = shuffled(geometry, rng)
    value = make(rng, geometry, values)
    parts, housed = read(slug, value, geometry)
    shown = rng.sample(range(size * size), clues)
    grid = tuple(values[k] if k in shown else 0 for k in range(size * size))
    if rng.random() < 0.3:  # now and then a clue that is likely to clash
        cell = rng.choice(shown)
        grid = (*grid[:cell], values[cell] % size + 1, *grid[cell + 1 :])
    found = judge.solutions(size, geometry.shape, grid, [(slug, value)])
    with Prover(housed, parts) as prover:
        by_clauses, _ = prover.explore(grid, limit=2)
    by_search, _ = rule_search.explore(housed, grid, parts, limit=2)
    assert len(by_clauses) == len(by_search) == len(found), (value, grid)
    if len(found) == 1:
        assert set(by_clauses) == set(by_search) == found
        return found.pop()
    return None


def a_position(rng: random.Random, values: Values, size: int) -> list[int]:
    """Masks that leave a solved grid possible: some cells filled, some with few candidates."""
    fill, extra = rng.choice((0.0, 0.2, 0.5)), rng.choice((0.15, 0.4, 0.8))
    masks = []
    for value in values:
        mask = 1 << value - 1
        if rng.random() >= fill:
            mask |= sum(1 << d for d in range(size) if rng.random() < extra)
        masks.append(mask)
    return masks


def check_sound(slug: str, make: Maker, seed: int, size: int) -> int:
    """Neither `prune` nor `deduce` strikes a digit of a solution. Gives the deductions seen."""
    rng, geometry = random.Random(seed), geometry_of(size)
    values = shuffled(geometry, rng)
    parts, housed = read(slug, make(rng, geometry, values), geometry)
    masks = a_position(rng, values, size)
    techniques = {row.slug for row in kinds()[slug].techniques}
    count = 0
    for part in parts:
        assert part.holds(values, size), part
        pruned = list(masks)
        assert part.prune(pruned, size), part
        for before, after, value in zip(masks, pruned, values, strict=True):
            assert after >> value - 1 & 1, part
            assert after & ~before == 0, part
        for found in part.deduce(Sight(housed, tuple(masks))):
            count += 1
            assert found.technique in techniques
            assert found.removes
            assert len(set(found.removes)) == len(found.removes)
            for cell, d in found.removes:
                assert masks[cell] >> d - 1 & 1, (found, found.words())
                assert values[cell] != d, (part, found.words())
            check_words(found.words())
    return count


def check_words(words: str) -> None:
    """A told deduction is fit for print."""
    assert words.endswith(".")
    assert words == " ".join(words.split())
    assert not any(mark in words for mark in "[]{}_'\"")
    assert "None" not in words


def check_exact(slug: str, make: Maker, seed: int, size: int) -> bool:
    """On full grids, wrong ones too, `prune` says just what `holds` says of each part."""
    rng, geometry = random.Random(seed), geometry_of(size)
    parts, _ = read(slug, make(rng, geometry, shuffled(geometry, rng)), geometry)
    other = shuffled(geometry, rng)
    answers = set()
    for part in parts:
        masks = [1 << value - 1 for value in other]
        answers.add(part.holds(other, size))
        assert part.prune(masks, size) == part.holds(other, size), part
    return answers == {False} or answers == {True, False}


def check_round_trip(slug: str, make: Maker, seed: int, size: int) -> None:
    """What is drawn, in any order and among other shapes, gives the parts again."""
    rng, geometry = random.Random(seed), geometry_of(size)
    kind = kinds()[slug]
    parts = kind.read(make(rng, geometry, shuffled(geometry, rng)), geometry)
    drawn = [shape for part in parts for shape in part.shapes()]
    rng.shuffle(drawn)
    with_shape = [part for part in parts if part.shapes()]
    found = kind.recover(drawn, geometry)
    assert set(found) == set(with_shape)
    assert len(found) == len(with_shape)


def check_all(slug: str, make: Maker, seeds: Sequence[int], sizes: Sequence[int] = (4, 6)) -> int:
    """Soundness, exactness and the round trip over many seeds. Gives the deductions seen."""
    count = 0
    for seed in seeds:
        for size in sizes:
            count += check_sound(slug, make, seed, size)
            check_exact(slug, make, seed, size)
            check_round_trip(slug, make, seed, size)
    return count
