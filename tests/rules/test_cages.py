"""Cages: sums against sympy, both engines, OR-Tools and plain trying; deductions by hand."""

from __future__ import annotations

import random
from itertools import product
from typing import Any

import pytest
import yaml
from sympy import Poly, symbols
from sympy.utilities.iterables import partitions

from packbuilder.grid import blocks, latin
from packbuilder.proof import rule_search, sat
from packbuilder.proof.certify import certify
from packbuilder.rules import kinds
from packbuilder.rules.cages import Cage, CageTotals, UnsummedCage
from packbuilder.rules.shapes import Corner, Fence
from packbuilder.rules.tools.masks import digits_of, mask_of
from packbuilder.rules.tools.sums import balance, fit, grouped, open_sets, sets, span, whole
from tests.rules import judge
from tests.rules.checks import check_tiny, geometry_of, read, refused, told
from tests.rules.random_lines import shuffled
from tests.rules.random_values import as_picture, cages

# Sums.


@pytest.mark.parametrize("size", [4, 7])
def test_sets_are_the_partitions_into_distinct_parts(size: int) -> None:
    # sympy lists the partitions of a number into parts up to so great a part.
    for total in range(1, whole(size) + 1):
        expected = sorted(
            tuple(sorted(parts))
            for parts in partitions(total, k=size)
            if set(parts.values()) == {1}
        )
        found = sorted(
            digits_of(s) for count in range(1, size + 1) for s in sets(size, count, total)
        )
        assert found == expected


@pytest.mark.parametrize("size", [9, 16])
def test_how_many_sets_make_a_sum(size: int) -> None:
    # In (1 + xy)(1 + xxy)(1 + xxxy)... the factor of y^count x^total counts the partitions of the
    # total into so many distinct parts; sympy multiplies it out.
    x, y = symbols("x y")
    series = Poly(1, x, y)
    for d in range(1, size + 1):
        series *= Poly(1 + y * x**d, x, y)
    counts = {(count, total): int(n) for (total, count), n in series.as_dict().items()}
    for count in range(1, size + 1):
        for total in range(1, whole(size) + 1):
            assert len(sets(size, count, total)) == counts.get((count, total), 0)
            low, high = span(count, size)
            assert bool(sets(size, count, total)) == (low <= total <= high)


def test_known_cage_sums() -> None:
    # The tables of cage sums that solvers keep at hand, from memory.
    def ways(count: int, total: int) -> list[str]:
        return ["".join(map(str, digits_of(s))) for s in sets(9, count, total)]

    assert ways(2, 3) == ["12"]
    assert ways(2, 4) == ["13"]
    assert ways(2, 10) == ["19", "28", "37", "46"]
    assert ways(2, 16) == ["79"]
    assert ways(3, 6) == ["123"]
    assert ways(3, 7) == ["124"]
    assert ways(3, 8) == ["125", "134"]
    assert ways(3, 23) == ["689"]
    assert len(ways(3, 15)) == 8
    assert ways(4, 11) == ["1235"]
    assert len(ways(4, 20)) == 12
    assert len(ways(5, 25)) == 12
    assert ways(8, 36) == ["12345678"]
    assert ways(9, 45) == ["123456789"]
    assert span(9, 9) == (45, 45)
    assert span(2, 9) == (3, 17)


@pytest.mark.parametrize("seed", range(40))
def test_candidates_of_sums_by_trying(seed: int) -> None:
    rng, size = random.Random(seed), 6
    count = rng.randint(1, 4)
    masks = tuple(rng.randrange(1, 1 << size) for _ in range(count))
    total = rng.randint(1, size * count)
    rows = list(product(*map(digits_of, masks)))

    def used(good: list[tuple[int, ...]]) -> tuple[int, ...] | None:
        columns = [set(column) for column in zip(*good, strict=True)]
        return tuple(sum(1 << d - 1 for d in column) for column in columns) if good else None

    assert balance(size, total, masks, ()) == used([r for r in rows if sum(r) == total])
    plus, minus = masks[: count // 2], masks[count // 2 :]
    less = rng.randint(-size, size)
    good = [r for r in rows if sum(r[: count // 2]) - sum(r[count // 2 :]) == less]
    assert balance(size, less, plus, minus) == used(good)
    apart = [r for r in rows if len(set(r[:2])) == len(r[:2]) and sum(r) == total]
    together = grouped(size, total, (masks[:2], *((mask,) for mask in masks[2:])))
    flat = tuple(mask for group in together for mask in group) if together else None
    assert flat == used(apart)
    exact = used([r for r in rows if len(set(r)) == count and sum(r) == total])
    close = fit(size, total, masks)
    if exact:
        assert close is not None
        for needed, kept, mask in zip(exact, close[0], masks, strict=True):
            assert needed & ~kept == 0
            assert kept & ~mask == 0
    if all(mask.bit_count() == 1 for mask in masks):
        assert (close and close[0]) == exact


def test_sets_that_are_open() -> None:
    seven, any_digit = 1 << 6, (1 << 9) - 1
    assert open_sets(9, 10, (seven, any_digit)) == [mask_of((3, 7))]
    assert open_sets(9, 10, (any_digit ^ seven, any_digit ^ seven)) == [
        mask_of(pair) for pair in ((1, 9), (2, 8), (4, 6))
    ]
    assert open_sets(9, 10, (seven, seven)) == []


# Proofs.


def test_tiny_grids() -> None:
    for geometry in (latin(4), blocks(2, 2)):
        assert check_tiny("cages", [{"sum": "10", "cells": "r1c1 r1c2 r1c3 r1c4"}], geometry) == (
            576 if geometry.shape is None else 288  # all of them: published counts, from memory
        )
        assert check_tiny("cages", [{"sum": "3", "cells": "r1c1 r2c2"}], geometry) > 0
        check_tiny("cages", {"picture": "aab.\n.bb.\n.c..\ncc..", "sums": {"b": "9"}}, geometry)
        check_tiny(
            "cages", {"picture": "aabb\nccbd\nceed\nffgg", "sums": {"a": "5", "e": "4"}}, geometry
        )


def test_cages_that_fill_a_row_and_make_too_much() -> None:
    value = [{"sum": "7", "cells": "r1c1 r1c2"}, {"sum": "4", "cells": "r1c3 r1c4"}]
    assert check_tiny("cages", value, latin(4)) == 0
    parts, housed = read("cages", value, latin(4))
    proof = certify(housed, (0,) * 16, parts)
    assert proof.verdict.solutions == 0
    names = [part.name(4) for part in proof.clash_parts]
    assert names == ["the cages that fill row 1 (they make 11, not 10)"]


def test_a_grid_without_a_clue() -> None:
    # Made by the program: a random grid was cut into cages until the solution was the only one.
    value = yaml.load(kinds()["cages"].example, yaml.BaseLoader)["rules"][0]["cages"]
    parts, housed = read("cages", value, geometry_of(6))
    ours = rule_search.prove(housed, (0,) * 36, parts)
    theirs = sat.prove(housed, (0,) * 36, parts)
    assert (
        {ours.first} == {theirs.first} == judge.solutions(6, (2, 3), (0,) * 36, [("cages", value)])
    )


# What follows is worked out by hand.


def first(value: Any, masks: dict[str, str] | None = None) -> tuple[str, str]:
    return told("cages", value, masks)[0]


def test_the_last_cell_of_a_cage() -> None:
    cage = [{"sum": "15", "cells": "r1c1 r1c2 r2c1"}]
    assert first(cage, {"r1c1": "7", "r2c1": "2"}) == (
        "cage-total",
        "The cage of 15 at r1c1 has one open cell. The others hold 2+7 = 9, so r1c2 is 6.",
    )
    alone = [{"sum": "5", "cells": "r3c3"}]
    assert first(alone) == ("cage-total", "r3c3 is a cage by itself, so it is 5.")


def test_combinations() -> None:
    assert first([{"sum": "3", "cells": "r1c1 r2c1"}]) == (
        "cage-combinations",
        "The cage of 3 at r1c1 can only be 1 and 2. That takes 3, 4, 5, 6, 7, 8 and 9 out of r1c1 "
        "and r2c1.",
    )
    assert first([{"sum": "8", "cells": "r1c1 r1c2"}]) == (
        "cage-combinations",
        "The cage of 8 at r1c1 can only be 1+7, 2+6 or 3+5. That takes 4, 8 and 9 out of r1c1 and "
        "r1c2.",
    )
    assert first([{"sum": "12", "cells": "r1c1 r1c2 r1c3 r1c4"}], {"r1c1": "6"}) == (
        "cage-combinations",
        "In the cage of 12 at r1c1, r1c2, r1c3 and r1c4 can only be 1, 2 and 3. That takes 4, 5, "
        "6, 7, 8 and 9 out of r1c2, r1c3 and r1c4.",
    )


def test_combinations_beside_a_placed_digit() -> None:
    # 8 in two cells is 1+7 as well, but the cage has its 1.
    assert first([{"sum": "9", "cells": "r1c1 r1c2 r1c3"}], {"r1c2": "1"}) == (
        "cage-combinations",
        "In the cage of 9 at r1c1, r1c1 and r1c3 can only be 2+6 or 3+5. That takes 1, 4, 7, 8 and "
        "9 out of r1c1 and r1c3.",
    )


def test_partners_and_what_is_left() -> None:
    pair = [{"sum": "10", "cells": "r1c1 r1c2"}]
    masks = {"r1c1": "134", "r1c2": "1236789"}
    assert first(pair, masks) == (
        "cage-partners",
        "In the cage of 10 at r1c1, r1c1 and r1c2 make 10. The ways to do so leave 6, 7 or 9 for "
        "r1c2.",
    )
    # 124 is out, for no cell can be 4; 7 would need it.
    trio = [{"sum": "8", "cells": "r1c1 r2c1 r3c1"}]
    found = told("cages", trio, {"r1c1": "12358", "r2c1": "1235", "r3c1": "1235"})
    assert found[:2] == [
        (
            "cage-combinations",
            "The cage of 8 at r1c1 can only be 1+2+5 or 1+3+4. That takes 8 out of r1c1.",
        ),
        (
            "cage-leftover",
            "The cage of 8 at r1c1 can only be 1, 2 and 5, as its cells stand. That takes 3 and 8 "
            "out of r1c1; and 3 out of r2c1 and r3c1.",
        ),
    ]


def test_a_digit_that_every_set_has() -> None:
    found = told(
        "cages",
        [{"sum": "8", "cells": "r1c1 r1c2 r1c3"}],
        {"r1c1": "12345", "r1c2": "12345", "r1c3": "12345"},
    )
    # Every cell of row 1 and of block 1 outside sees the whole cage.
    assert found == [
        (
            "cage-must-hold",
            "The cage of 8 at r1c1 can only be 1+2+5 or 1+3+4: it needs 1, in r1c1, r1c2 or r1c3. "
            "That takes 1 out of r1c4, r1c5, r1c6, r1c7, r1c8, r1c9, r2c1, r2c2, r2c3, r3c1, r3c2 "
            "and r3c3.",
        )
    ]
    only = {"r1c1": "2345", "r1c2": "12345", "r1c3": "2345"}
    assert told("cages", [{"sum": "8", "cells": "r1c1 r1c2 r1c3"}], only)[0] == (
        "cage-must-hold",
        "The cage of 8 at r1c1 can only be 1+2+5 or 1+3+4: it needs 1, and only r1c2 can hold it.",
    )


def test_arrangements() -> None:
    # 1+2+9 or 1+3+8; r1c2 cannot be 3 or 8, so it is 9 (with 2 it would need 9 in r1c3).
    masks = {"r1c1": "12", "r1c2": "29", "r1c3": "1238"}
    assert (
        "cage-arrangements",
        "In the cage of 12 at r1c1, r1c1, r1c2 and r1c3 make 12. No way to do so has 2 in "
        "r1c2, or 3 or 8 in r1c3.",
    ) in told("cages", [{"sum": "12", "cells": "r1c1 r1c2 r1c3"}], masks)


def test_innies() -> None:
    value = [
        {"sum": "20", "cells": "r1c1 r1c2 r1c3 r1c4"},
        {"sum": "18", "cells": "r1c5 r1c6 r1c7"},
    ]
    found = dict(told("cages", value))
    assert found["innies-outies"] == (
        "The digits of row 1 add up to 45, and cage 20 at r1c1 and cage 18 at r1c5 together make "
        "38, so r1c8 and r1c9 add up to 7. They can only be 1+6, 2+5 or 3+4. That takes 7, 8 and "
        "9 out of r1c8 and r1c9."
    )
    found = dict(told("cages", value, {"r1c8": "2"}))
    assert found["single-innie"] == (
        "The digits of row 1 add up to 45, and cage 20 at r1c1 and cage 18 at r1c5 together make "
        "38, so r1c8 and r1c9 add up to 7. As r1c8 is 2, r1c9 is 5."
    )


def test_a_single_innie() -> None:
    value = [
        {"sum": "20", "cells": "r1c1 r1c2 r1c3 r1c4"},
        {"sum": "18", "cells": "r1c5 r1c6 r1c7 r1c8"},
    ]
    assert dict(told("cages", value))["single-innie"] == (
        "The digits of row 1 add up to 45, and cage 20 at r1c1 and cage 18 at r1c5 together make "
        "38 and leave out r1c9, so r1c9 is 7."
    )


def test_an_outie_and_one_of_each() -> None:
    whole_row = [
        {"sum": "24", "cells": "r1c1 r1c2 r1c3 r1c4 r1c5"},
        {"sum": "28", "cells": "r1c6 r1c7 r1c8 r1c9 r2c9"},
    ]
    assert dict(told("cages", whole_row))["single-innie"] == (
        "The digits of row 1 add up to 45, and cage 24 at r1c1 and cage 28 at r1c6 together make "
        "52, with r2c9 sticking out, so r2c9 is 7."
    )
    mixed = [
        {"sum": "24", "cells": "r1c1 r1c2 r1c3 r1c4 r1c5"},
        {"sum": "20", "cells": "r1c6 r1c7 r1c8 r2c8"},
    ]
    assert dict(told("cages", mixed))["innies-outies"] == (
        "The digits of row 1 add up to 45, and cage 24 at r1c1 and cage 20 at r1c6 together make "
        "44, so r1c9 is 1 more than r2c8. No way to do so has 1 in r1c9, or 9 in r2c8."
    )


def test_an_outie_beside_a_known_innie() -> None:
    value = [
        {"sum": "24", "cells": "r1c1 r1c2 r1c3 r1c4 r1c5"},
        {"sum": "20", "cells": "r1c6 r1c7 r1c8 r2c8"},
    ]
    assert dict(told("cages", value, {"r1c9": "6"}))["single-innie"] == (
        "The digits of row 1 add up to 45, and cage 24 at r1c1 and cage 20 at r1c6 together make "
        "44, so r1c9 is 1 more than r2c8. As r1c9 is 6, r2c8 is 5."
    )


def test_equations_are_true_of_any_grid() -> None:
    for seed in range(20):
        rng, geometry = random.Random(seed), geometry_of(9)
        values = shuffled(geometry, rng)
        parts = kinds()["cages"].read(cages(rng, geometry, values), geometry)
        for part in parts:
            if isinstance(part, CageTotals):
                assert part.holds(values, 9)
                for e in part.equations:
                    plus = sum(values[c] for c in e.plus)
                    assert plus - sum(values[c] for c in e.minus) == e.total


# Reading, print, words.


def test_read_both_ways() -> None:
    listed = [{"sum": "5", "cells": "r1c2 r1c1"}, {"cells": "r2c1 r3c1"}]
    kind = kinds()["cages"]
    parts = kind.read(listed, latin(4))
    assert parts[:2] == (Cage((0, 1), 5), UnsummedCage((4, 8)))
    assert kind.read(as_picture(listed, 4), latin(4)) == parts
    assert [part.name(4) for part in parts] == [
        "cage 5 at r1c1",
        "the cage without a sum at r2c1",
        "the sums of all cages together",
    ]
    assert [part.shapes() for part in parts] == [
        (Fence((0, 1)), Corner(0, "5")),
        (Fence((4, 8)),),
        (),
    ]
    # The sum may be printed in another cell of its cage, and the cells in any order.
    printed = (Corner(1, "5"), Fence((8, 4)), Fence((1, 0)))
    assert set(kind.recover(printed, latin(4))) == set(parts[:2])
    assert kind.recover((Fence((0, 1)), Corner(0, "5"), Corner(1, "6")), latin(4)) == ()


def test_warnings() -> None:
    kind = kinds()["cages"]

    def parts(value: Any) -> Any:
        return kind.read(value, latin(4))

    summed, bare = {"sum": "5", "cells": "r1c1 r3c1"}, {"cells": "r4c1 r4c2"}
    assert kind.warnings(parts([summed, bare]), 4) == [
        ("cage 5 at r1c1 lies in pieces that do not touch by their sides", (0, 8)),
        ("the cage at r4c1 has no sum", (12, 13)),
    ]
    assert kind.warnings(parts([bare]), 4) == []


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (
            [{"sum": "18", "cells": "r1c1 r1c2"}],
            "0/sum: the cage at r1c1 cannot add up to 18; two cells with different digits from 1 "
            "to 6 make 3 to 11",
        ),
        (
            [{"sum": "7", "cells": "r2c1"}],
            "0/sum: the cage at r2c1 cannot add up to 7; one cell from 1 to 6 makes 1 to 6",
        ),
        (
            [{"sum": "5", "cells": "r1c1 r1c2"}, {"sum": "6", "cells": "r1c2 r2c2"}],
            "1/cells: r1c2 is in cage number 1 already; cages may not overlap: give each cell to "
            "one cage",
        ),
        (
            [{"cells": "r1c1"}],
            "0: the cage at r1c1 is one cell and has no sum; leave it out",
        ),
        (
            [{"sum": "21", "cells": "r1c1 r1c2 r1c3 r1c4 r1c5 r1c6 r2c1"}],
            "0/sum: the cage at r1c1 has 7 cells, and no digit may repeat among the 6 there are; "
            "give it 6 cells or fewer",
        ),
        (
            {"picture": "aa....\n" + "......\n" * 5, "sums": {"z": "5"}},
            "sums/z: there is a sum for 'z', but the picture has no such letter; its letters are a",
        ),
        (
            {"picture": "aa....\n" + "......\n" * 5, "sums": {"a": "1"}},
            "sums/a: the cage at r1c1 cannot add up to 1; two cells with different digits from 1 "
            "to 6 make 3 to 11",
        ),
        (
            {"picture": "aa....\n" + "......\n" * 5, "sums": {"a": "ten"}},
            "sums/a: the sum of the cage at r1c1 is 'ten', which is no whole number; write a "
            "number from 0 to 999999999",
        ),
        (
            {"picture": "aa....\n" + "......\n" * 5, "sums": "5"},
            "sums: '5' stands where the sums belong; write them like "
            '{picture: "...", sums: {a: 10}}',
        ),
        (
            {"picture": "aa"},
            "picture: the picture has 1 row; it needs 6, a line a row",
        ),
        ([{"sum": "5", "cell": "r1c1"}], "0/cell: unknown key 'cell'; did you mean 'cells'?"),
        ([], 'the list is empty; write it like [{sum: 10, cells: "r1c1 r1c2"}] or '
         '{picture: "...", sums: {a: 10}}'),
    ],
)  # fmt: skip
def test_faults(value: Any, sentence: str) -> None:
    assert refused("cages", value) == sentence
