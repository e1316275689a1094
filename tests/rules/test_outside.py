"""Several rules with numbers outside one grid: proved by OR-Tools too, told apart, never heaped."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from packbuilder import manifest
from packbuilder.errors import InputError
from packbuilder.grid import blocks
from packbuilder.proof import rule_search
from packbuilder.proof.sat import Prover
from packbuilder.rules import kinds
from packbuilder.rules.houses import with_houses
from packbuilder.rules.shapes import Outside
from tests.rules import judge
from tests.rules.random_lines import shuffled
from tests.rules.random_values import outside

GEOMETRY = blocks(2, 3)


@pytest.mark.parametrize("seed", range(8))
def test_engines_and_judge_agree_on_both_rules_together(seed: int) -> None:
    rng = random.Random(seed)
    values = shuffled(GEOMETRY, rng)
    both = outside(rng, GEOMETRY, values)
    parts = [part for slug, value in both.items() for part in kinds()[slug].read(value, GEOMETRY)]
    shown = rng.sample(range(36), 3)
    grid = tuple(values[k] if k in shown else 0 for k in range(36))
    found = judge.solutions(6, (2, 3), grid, list(both.items()))
    with Prover(with_houses(GEOMETRY, parts), parts) as prover:
        by_clauses, _ = prover.explore(grid, limit=2)
    by_search, _ = rule_search.explore(GEOMETRY, grid, parts, limit=2)
    assert len(by_clauses) == len(by_search) == len(found) > 0
    if len(found) == 1:
        assert set(by_clauses) == set(by_search) == found == {values}


@pytest.mark.parametrize("seed", range(8))
def test_each_rule_knows_its_own_numbers(seed: int) -> None:
    rng = random.Random(seed)
    both = outside(rng, GEOMETRY, shuffled(GEOMETRY, rng))
    parts = {slug: kinds()[slug].read(value, GEOMETRY) for slug, value in both.items()}
    shapes = [shape for some in parts.values() for part in some for shape in part.shapes()]
    for slug, some in parts.items():
        assert set(kinds()[slug].recover(shapes, GEOMETRY)) == set(some)


def test_no_two_rules_with_numbers_outside_look_alike() -> None:
    """What tells them is how a number looks, wherever it stands."""
    looks = {}
    for slug, kind in kinds().items():
        parts = kind.read(*_VALUES[slug]) if slug in _VALUES else ()
        looks[slug] = {
            (s.towards is not None, s.ringed)
            for part in parts
            for s in part.shapes()
            if isinstance(s, Outside)
        }
    told = [look for some in looks.values() for look in some]
    assert len(told) == len(set(told)) == len(_VALUES) == 3


_VALUES = {
    "sandwich": ({"left": "5 . . . . ."}, GEOMETRY),
    "sightlines": ({"left": "5 . . . . ."}, GEOMETRY),
    "little-sums": ([{"sum": "9", "from": "r1c3", "towards": "down-left"}], GEOMETRY),
}

PLACES = {
    "a sightline on a sandwich": (
        '- sandwich: {top: ". 2 . ."}', '- sightlines: {top: ". 2 . ."}',
        "sightline 2 above column 2 would stand on sandwich 2 above column 2 (line 12); leave one "
        "out or write the sandwich of column 2 under 'bottom'",
    ),
    "a little sum on a sightline": (
        '- sightlines: {left: ". 2 . ."}', "- little-sums: [{sum: 5, from: r3c1, towards: "
        "down-right}]",
        "little sum 5 from r3c1 down-right would stand on sightline 2 left of row 2 (line 12); "
        "leave one out or give the sum of 5 from its diagonal's other end",
    ),
    "a sandwich on a little sum": (
        "- little-sums: [{sum: 5, from: r3c1, towards: down-right}]",
        '- sandwich: {left: ". 2 . ."}',
        "sandwich 2 left of row 2 would stand on little sum 5 from r3c1 down-right (line 12); "
        "leave one out, give the sum of 5 from its diagonal's other end or write the sandwich of "
        "row 2 under 'right'",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", PLACES)
def test_numbers_on_one_another_are_refused(name: str, write_pack: Callable[..., Path]) -> None:
    one, other, sentence = PLACES[name]
    folder = write_pack(f"""
        - id: both
          title: Both
          size: 4
          grid: "...............1"
          rules:
            {one}
            {other}
        """)
    with pytest.raises(InputError) as fault:
        manifest.load(folder)
    assert "manifest.yaml:13: puzzles[1].rules" in str(fault.value)
    assert sentence in str(fault.value)


def test_side_by_side_they_may_stand(write_pack: Callable[..., Path]) -> None:
    folder = write_pack("""
        - id: both
          title: Both
          size: 4
          grid: "...............1"
          rules:
            - sightlines: {top: "2 . . 1", left: "3 . . ."}
            - sandwich: {top: ". 2 . .", right: "5 . . ."}
            - little-sums: [{sum: 5, from: r3c1, towards: down-right},
                            {sum: 7, from: r1c1, towards: down-right}]
        """)
    (puzzle,) = manifest.load(folder).puzzles
    assert len(puzzle.rules) == 7
