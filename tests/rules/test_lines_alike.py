"""What all rules of lines must keep: judged by brute force, by CP-SAT, and by random positions."""

from __future__ import annotations

import random
import re
from functools import cache
from itertools import pairwise

import jsonschema
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.grid import Geometry, Values, parse_grid
from packbuilder.proof import rule_search, sat
from packbuilder.rules.contract import Part, Sight
from packbuilder.rules.houses import with_houses
from packbuilder.rules.shapes import Path, Shape
from tests.rules import judge
from tests.rules.random_lines import KINDS, any_part, grid_of, held_parts, shuffled, walk, written

SLUGS = sorted(KINDS)
LIMIT = 60  # solutions that the judge is asked for: he is slow
ALL_4X4 = 288  # the number of 4x4 grids with 2x2 blocks: published (OEIS A107739)


@cache
def grids_4x4() -> tuple[Values, ...]:
    found, complete = rule_search.explore(grid_of(4), (0,) * 16, (), limit=1000)
    assert complete and len(set(found)) == ALL_4X4
    return tuple(found)


def engines(geometry: Geometry, clues: Values, parts: tuple[Part, ...], limit: int) -> list[set]:
    """All solutions by the clauses and by the search."""
    whole = with_houses(geometry, parts)
    with sat.Prover(whole, parts) as prover:
        by_clauses, complete = prover.explore(clues, limit=limit)
    assert complete
    by_search, complete = rule_search.explore(whole, clues, parts, limit=limit)
    assert complete
    return [set(by_clauses), set(by_search)]


def judged_by(
    geometry: Geometry, clues: Values, parts: dict[str, tuple[Part, ...]], limit: int
) -> set[Values]:
    """Solutions by OR-Tools, from the rules as they are written."""
    rules = [
        (slug, [written(slug, part.cells, geometry.size) for part in group])
        for slug, group in parts.items()
    ]
    return judge.solutions(geometry.size, geometry.shape, clues, rules, limit)


@pytest.mark.parametrize("slug", SLUGS)
def test_all_4x4_grids(slug):
    """`holds`, clauses, search and judge allow the same of all 288 grids."""
    rng, geometry = random.Random(slug), grid_of(4)
    for _ in range(6):
        parts = tuple(any_part(slug, geometry, rng.choice((2, 3, 3, 4)), rng) for _ in range(2))
        if parts[0] == parts[1]:
            continue
        allowed = {v for v in grids_4x4() if all(part.holds(v, 4) for part in parts)}
        judged = judged_by(geometry, (0,) * 16, {slug: parts}, 1000)
        assert judged == allowed
        assert engines(geometry, (0,) * 16, parts, 1000) == [allowed, allowed]


@pytest.mark.parametrize("size", [5, 6, 8])
@pytest.mark.parametrize("slug", SLUGS)
def test_open_grids(slug, size):
    """Grids with some cells open, where several lines meet: all solutions, by three ways."""
    rng, geometry, several = random.Random(f"{slug}{size}"), grid_of(size), 0
    for _ in range(10):
        values = shuffled(geometry, rng)
        parts = held_parts(slug, geometry, values, 3, rng)
        opened = set(rng.sample(range(size * size), {5: 18, 6: 24, 8: 34}[size]))
        clues = tuple(0 if k in opened else v for k, v in enumerate(values))
        judged = judged_by(geometry, clues, {slug: parts}, LIMIT)
        if len(judged) < LIMIT:
            assert values in judged
            assert engines(geometry, clues, parts, LIMIT) == [judged, judged]
            several += len(judged) > 1
    assert several >= 2, "too few grids with a choice left, or with too many"


def test_all_six_in_one_grid_by_three_ways():
    rng, geometry, several = random.Random(6), grid_of(6), 0
    for _ in range(12):
        values = shuffled(geometry, rng)
        parts = {slug: held_parts(slug, geometry, values, 1, rng) for slug in SLUGS}
        opened = set(rng.sample(range(36), 30))
        clues = tuple(0 if k in opened else v for k, v in enumerate(values))
        judged = judged_by(geometry, clues, parts, LIMIT)
        if len(judged) < LIMIT:
            flat = tuple(part for group in parts.values() for part in group)
            assert engines(geometry, clues, flat, LIMIT) == [judged, judged]
            several += len(judged) > 1
    assert several >= 2


@pytest.mark.parametrize("slug", SLUGS)
def test_filled_cells_are_pruned_exactly(slug):
    """Once its cells are filled, a part is pruned to nothing exactly when it does not hold."""
    rng, kept = random.Random(slug), 0
    for _ in range(600):
        size = rng.choice((4, 6, 9))
        part = any_part(slug, grid_of(size), rng.choice((2, 3, 4)), rng)
        values = tuple(rng.randint(1, size) for _ in range(size * size))
        masks = [1 << (v - 1) for v in values]
        holds = part.holds(values, size)
        kept += holds
        assert (part.prune(masks, size) and all(masks)) == holds
        if holds:
            assert masks == [1 << (v - 1) for v in values]
    assert kept > 20


@st.composite
def positions(draw, slug: str):
    """A solved grid, a part that holds on it, and candidates with the solution among them."""
    rng = random.Random(draw(st.integers(0, 2**32)))
    size = rng.choice((4, 5, 6, 6, 9, 9, 9, 12, 16))
    geometry = grid_of(size)
    values = shuffled(geometry, rng)
    parts = held_parts(slug, geometry, values, 1, rng, tries=600)
    if not parts:
        parts = held_parts(slug, geometry, values, 1, rng, lengths=(2, 3))
    density = draw(st.sampled_from((0.0, 0.3, 0.6, 0.85, 1.0)))
    masks = [
        1 << (v - 1) | sum(1 << d for d in range(size) if rng.random() < density) for v in values
    ]
    for cell in rng.sample(range(size * size), rng.randrange(size * size // 2)):
        masks[cell] = 1 << (values[cell] - 1)
    return geometry, values, parts, masks


@pytest.mark.parametrize("slug", SLUGS)
def test_nothing_of_a_solution_is_struck(slug):
    seen: set[str] = set()

    @settings(max_examples=250, deadline=None, derandomize=True)
    @given(positions(slug))
    def check(position) -> None:
        geometry, values, parts, masks = position
        whole = with_houses(geometry, parts)
        for part in parts:
            before = tuple(masks)
            sight = Sight(whole, before)
            for found in part.deduce(sight):
                assert found.removes and len(set(found.removes)) == len(found.removes)
                for cell, digit in found.removes:
                    assert before[cell] >> (digit - 1) & 1, "struck what is not there"
                    assert values[cell] != digit, found.words()
                check_words(found.words())
                seen.add(found.technique)
            pruned = list(before)
            assert part.prune(pruned, geometry.size)
            for cell, value in enumerate(values):
                assert pruned[cell] >> (value - 1) & 1
                assert pruned[cell] & ~before[cell] == 0

    check()
    assert seen == {row.slug for row in KINDS[slug].techniques}


@pytest.mark.parametrize("slug", SLUGS)
def test_no_cell_loses_its_last_candidate(slug):
    """In a position without a solution, too: a digit in the grid is no candidate to strike."""
    rng, told = random.Random(slug), 0
    for _ in range(400):
        geometry = grid_of(6)
        part = any_part(slug, geometry, rng.choice((3, 4)), rng)
        masks = [1 << rng.randrange(6) | rng.randrange(64) & rng.randrange(64) for _ in range(36)]
        whole = with_houses(geometry, (part,))
        for found in part.deduce(Sight(whole, tuple(masks))):
            left = dict(enumerate(masks))
            for cell, digit in found.removes:
                left[cell] &= ~(1 << (digit - 1))
            assert all(left.values())
            check_words(found.words())
            told += 1
    assert told > 100


def check_words(words: str) -> None:
    """Fit for print: sentences, no gaps, no Python, no digit past those of the largest grid."""
    assert re.fullmatch(r"[A-Zr][^{}\[\]_]*[.]", words), words
    assert "  " not in words and " ," not in words and " ." not in words, words
    assert not re.search(r"None|True|False|frozenset|\bat (least|most) (0|-)", words), words


@pytest.mark.parametrize("slug", SLUGS)
def test_deductions_come_in_the_order_of_their_rungs(slug):
    """Easier ones first, so that a ladder may take the first that its rung allows."""
    rungs = {row.slug: row.rung for row in KINDS[slug].techniques}
    rng = random.Random(slug)
    for _ in range(60):
        geometry = grid_of(9)
        values = shuffled(geometry, rng)
        for part in held_parts(slug, geometry, values, 1, rng, tries=300):
            masks = [1 << (v - 1) | rng.randrange(512) for v in values]
            found = [rungs[d.technique] for d in part.deduce(Sight(geometry, masks))]
            assert found == sorted(found)


def mixed_parts(rng: random.Random, size: int) -> dict[str, tuple[Part, ...]]:
    geometry = grid_of(size)
    return {
        slug: tuple(dict.fromkeys(any_part(slug, geometry, rng.choice((3, 4)), rng) for _ in "123"))
        for slug in SLUGS
    }


def turned(shape: Shape, rng: random.Random) -> Shape:
    """A path may be found from either end, unless its head says which is the last."""
    if isinstance(shape, Path) and not shape.head and rng.random() < 0.5:
        return Path(shape.cells[::-1], shape.style)
    return shape


def double_bulbs(parts: tuple[Part, ...]) -> bool:
    bulbs = {part.cells[0] for part in parts}
    return any(part.cells[-1] in bulbs for part in parts)


@pytest.mark.parametrize("size", [4, 6, 9, 16])
def test_all_six_in_one_grid_are_recovered(size):
    """Lines of all rules, over and across one another, from shapes in any order and direction."""
    rng, geometry = random.Random(size), grid_of(size)
    for _ in range(40):
        parts = mixed_parts(rng, size)
        if double_bulbs(parts["thermometers"]):
            continue  # no reader can tell such a one: see the next test, and `warnings`
        shapes = [turned(s, rng) for group in parts.values() for p in group for s in p.shapes()]
        rng.shuffle(shapes)
        for slug, kind in KINDS.items():
            assert set(kind.recover(shapes, geometry)) == set(parts[slug])


def test_a_thermometer_from_bulb_to_bulb_runs_as_drawn():
    kind, geometry = KINDS["thermometers"], grid_of(6)
    parts = kind.read(["r1c1 r1c2 r1c3", "r1c3 r2c3"], geometry)
    shapes = [shape for part in parts for shape in part.shapes()]
    assert set(kind.recover(shapes, geometry)) == set(parts)


@pytest.mark.parametrize("slug", SLUGS)
def test_a_shape_that_is_lost_or_changed_is_missed(slug):
    """Whatever shape of a part is gone, or whatever cell of a path, the part is not recovered."""
    rng, kind = random.Random(slug), KINDS[slug]
    for _ in range(20):
        part = any_part(slug, grid_of(6), 4, rng)
        shapes = list(part.shapes())
        for k, shape in enumerate(shapes):
            rest = shapes[:k] + shapes[k + 1 :]
            assert part not in kind.recover(rest, grid_of(6))
            if isinstance(shape, Path):
                cut = Path(shape.cells[:-1], shape.style, shape.head)
                assert part not in kind.recover([*rest, cut], grid_of(6))
        assert kind.recover(shapes, grid_of(6)) == (part,)


@pytest.mark.parametrize("slug", SLUGS)
def test_the_example_has_one_solution(slug):
    """By the judge, which shares no code with the rule."""
    kind = KINDS[slug]
    entry = yaml.load(kind.example, yaml.BaseLoader)
    geometry = grid_of(int(entry["size"]))
    value = entry["rules"][0][slug]
    jsonschema.validate(value, kind.schema())
    parts = kind.read(value, geometry)
    clues = parse_grid(entry["grid"], geometry.size)
    judged = judge.solutions(geometry.size, geometry.shape, clues, [(slug, value)])
    assert len(judged) == 1
    assert engines(geometry, clues, parts, 2) == [judged, judged]


@pytest.mark.parametrize("size", range(4, 17))
@pytest.mark.parametrize("slug", SLUGS)
def test_every_size(slug, size):
    """Read, schema, names: for all sizes."""
    kind, geometry, rng = KINDS[slug], grid_of(size), random.Random(size)
    part = any_part(slug, geometry, 4, rng)
    value = [written(slug, part.cells, size)]
    jsonschema.validate(value, kind.schema())
    assert kind.read(value, geometry) == (part,)
    assert re.fullmatch(r"[a-z ]+ from r\d+c\d+ to r\d+c\d+", part.name(size))


@pytest.mark.parametrize("slug", SLUGS)
@pytest.mark.parametrize(
    "value", [[], [""], ["r1c1"], "r1c1 r1c2", [["r1c1"]], [{"cells": "r1c1"}]]
)
def test_the_schema_refuses_what_read_refuses(slug, value):
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(value, KINDS[slug].schema())


def test_walks_touch():
    """The lines of these tests are lines: each cell touches the next."""
    rng = random.Random(1)
    for _ in range(50):
        cells = walk(6, 5, rng)
        for a, b in pairwise(cells):
            assert max(abs(a // 6 - b // 6), abs(a % 6 - b % 6)) == 1
