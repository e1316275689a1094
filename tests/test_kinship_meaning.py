"""What rules say of themselves for kinship, held against what they mean and against other wording.

A relation's name is taken at its word here and judged anew on full grids: a part must hold exactly
where all that it says of its houses and relations holds.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest

from packbuilder import rules
from packbuilder.grid import Values, blocks, latin
from packbuilder.kinship.marks import narrowest
from packbuilder.proof.kernel import random_solution
from packbuilder.rules import template
from packbuilder.rules.contract import Part, Solved
from packbuilder.rules.relations import Relation

SIZE = 6
KINDS = rules.kinds() | {template.KIND.slug: template.KIND}
Judge = Callable[[list[int]], bool]


def judged(said: Relation, values: Values) -> bool:
    """Whether digits keep a relation: by its name and the cells' roles, as the trade means them.

    Cells of one role are shuffled: nothing else may tell them apart.
    """
    rng = random.Random(repr(said))
    roles = said.roles or (0,) * len(said.cells)
    order = sorted(zip(roles, said.cells, strict=True), key=lambda pair: (pair[0], rng.random()))
    digits = [values[cell] for _, cell in order]
    name, _, number = said.says.rpartition(" ")
    if name == "sum":
        return sum(digits) == int(number)
    if name == "sightline":
        return sum(all(e < d for e in digits[:k]) for k, d in enumerate(digits)) == int(number)
    if name == "sandwich":
        first, last = sorted((digits.index(1), digits.index(len(digits))))
        return sum(digits[first + 1 : last]) == int(number)
    plain: dict[str, Judge] = {
        "arrow": lambda d: d[0] == sum(d[1:]),
        "thermometer": lambda d: all(a < b for a, b in pairwise(d)),
        "less": lambda d: d[0] < d[1],
        "between": lambda d: all(min(d[:2]) < e < max(d[:2]) for e in d[2:]),
        "consecutive": lambda d: abs(d[0] - d[1]) == 1,
        "not consecutive": lambda d: abs(d[0] - d[1]) != 1,
        "double": lambda d: d[0] == 2 * d[1] or d[1] == 2 * d[0],
        "double, turned round": lambda d: judged_double([SIZE + 1 - e for e in d]),
        "no dot": lambda d: abs(d[0] - d[1]) != 1 and not judged_double(d),
        "no letter": lambda d: sum(d) not in (5, 10),
        "equal": lambda d: d[0] == d[1],
        "even": lambda d: d[0] % 2 == 0,
        "odd": lambda d: d[0] % 2 == 1,
        "digits in a row": lambda d: max(d) - min(d) == len(d) - 1 == len(set(d)) - 1,
        "far apart": lambda d: abs(d[0] - d[1]) >= (SIZE + 1) // 2,
    }
    return plain[said.says](digits)


def judged_double(d: list[int]) -> bool:
    return d[0] == 2 * d[1] or d[1] == 2 * d[0]


def parts_of(slug: str, seed: int) -> tuple[Part, ...]:
    """Parts of a rule, dealt for one grid; and the rule's widest claims, where it has an option."""
    kind, geometry = KINDS[slug], blocks(2, 3)
    free = frozenset(range(SIZE * SIZE))
    values = random_solution(geometry, seed)
    value: Any = kind.random_value(Solved(geometry, values, free, random.Random(seed).random))
    if slug in ("dots", "xv") and seed % 2:
        value = {**value, "all-shown": "true"}
    return kind.read(value, geometry)


APART = (1, 3, 5, 2, 4, 6)
"""In a cyclic square of these no neighbours are consecutive; and in a square whose rows are moved
along by one less than these, no two digits touch by their corners (both by hand)."""


def fillings(seed: int) -> list[Values]:
    """The grid that the parts were dealt for; Latin squares, for what blocks rule out; `APART`."""
    corners = tuple(1 + (c + APART[r] - 1) % SIZE for r in range(SIZE) for c in range(SIZE))
    cyclic = tuple(APART[(r + c) % SIZE] for r in range(SIZE) for c in range(SIZE))
    squares = (random_solution(latin(SIZE), 100 * seed + k) for k in range(40))
    return [random_solution(blocks(2, 3), seed), cyclic, corners, *squares]


@pytest.mark.parametrize("slug", KINDS)
def test_a_part_holds_where_all_holds_that_it_says(slug: str) -> None:
    seen = {True: 0, False: 0}
    for seed in range(8):
        parts = parts_of(slug, seed)
        derived = {part for part in parts if not part.relations(SIZE) and not part.houses_only}
        for values in fillings(seed):
            held = True
            for part in {*parts} - derived:
                houses = part.houses(latin(SIZE))
                whole = all(len({values[c] for c in h.cells}) == len(h.cells) for h in houses)
                whole = whole and all(judged(said, values) for said in part.relations(SIZE))
                assert part.holds(values, SIZE) == whole, part.name(SIZE)
                seen[whole] += 1
                held = held and whole
            assert not held or all(part.holds(values, SIZE) for part in derived)
    assert seen[True] and seen[False]


@pytest.mark.parametrize("slug", KINDS)
def test_turned_round_it_says_the_same_of_the_other_digits(slug: str) -> None:
    parts = [part for part in parts_of(slug, 3) if part.renaming == "reversal"]
    for k in range(60):
        values = random_solution(latin(SIZE), k)
        other = tuple(SIZE + 1 - d for d in values)
        for part in parts:
            kept = all(judged(said, values) for said in part.relations(SIZE))
            assert kept == all(judged(said, other) for said in part.relations(SIZE, turned=True))


@pytest.mark.parametrize("slug", KINDS)
def test_a_renaming_that_is_allowed_changes_no_meaning(slug: str) -> None:
    rng = random.Random(slug)
    for part in parts_of(slug, 4):
        for k in range(20):
            values = random_solution(latin(SIZE), k)
            names = list(range(SIZE + 1))
            if part.renaming == "any":
                names[1:] = rng.sample(names[1:], SIZE)
            elif part.renaming == "parity":
                names[1::2], names[2::2] = rng.sample(names[1::2], 3), rng.sample(names[2::2], 3)
            other = tuple(names[d] for d in values)
            assert part.holds(values, SIZE) == part.holds(other, SIZE)


# By hand, from the groups: odd digits stay odd under 1 for 9, 2 for 8 (even sizes: 1 for 6).
NARROWEST = [
    ({"any"}, 9, "any"),
    (set(), 9, "any"),
    ({"any", "parity"}, 9, "parity"),
    ({"any", "reversal"}, 6, "reversal"),
    ({"parity", "reversal"}, 9, "reversal"),
    ({"parity", "reversal"}, 6, "none"),
    ({"reversal", "none"}, 9, "none"),
    ({"parity", "none", "any"}, 9, "none"),
]


@pytest.mark.parametrize(("renamings", "size", "narrow"), NARROWEST)
def test_of_several_rules_the_narrower_is_kept_to(
    renamings: set[Any], size: int, narrow: str
) -> None:
    assert narrowest(renamings, size) == narrow
