"""Both engines for grids with rules, against every grid of size 4 held to the plain rules."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.grid import Geometry, Values, blocks, latin
from packbuilder.proof import kernel, rule_search, sat
from packbuilder.proof.verdict import Verdict
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import with_houses, without_houses
from tests.proof.rule_parts import (
    KINDS,
    Apart,
    Cage,
    Rising,
    Same,
    Sum,
    Table,
    parts_of,
)

SQUARE = latin(4)
BLOCKS = blocks(2, 2)


@cache
def full_grids(geometry: Geometry) -> tuple[Values, ...]:
    """All full grids of a plain geometry: 576 Latin squares of size 4, 288 with blocks.

    Source of the counts: OEIS A002860 and A107739.
    """
    found = kernel.explore(geometry, (0,) * geometry.cell_count, limit=1000)[0]
    return tuple(tuple(map(int, row)) for row in found)


def test_the_judge_has_all_grids() -> None:
    assert len(set(full_grids(SQUARE))) == 576
    assert len(set(full_grids(BLOCKS))) == 288


def allowed(geometry: Geometry, parts: list[Part], clues: Values) -> set[Values]:
    return {
        grid
        for grid in full_grids(geometry)
        if all(part.holds(grid, geometry.size) for part in parts)
        and all(c in (0, v) for c, v in zip(clues, grid, strict=True))
    }


def by_sat(geometry: Geometry, parts: list[Part], clues: Values, *, guarded: bool) -> set[Values]:
    whole = with_houses(geometry, parts)
    with sat.Prover(whole, parts, guarded=guarded) as prover:
        found, complete = prover.explore(clues, limit=1000)
    assert complete
    return set(found)


def by_search(geometry: Geometry, parts: list[Part], clues: Values) -> set[Values]:
    whole = with_houses(geometry, parts)
    found, complete = rule_search.explore(whole, clues, parts, limit=1000)
    assert complete
    assert len(set(found)) == len(found)
    return set(found)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from([SQUARE, BLOCKS]),
    st.integers(0, 10**6),
    st.lists(st.sampled_from(KINDS), min_size=1, max_size=4),
    st.integers(0, 3),
)
def test_both_engines_find_just_the_grids_that_hold(
    geometry: Geometry, seed: int, kinds: list[str], given_clues: int
) -> None:
    solved = full_grids(geometry)[seed % len(full_grids(geometry))]
    parts = parts_of(solved, 4, seed, kinds)
    clues = tuple(d if cell % 5 == 0 and cell < 5 * given_clues else 0
                  for cell, d in enumerate(solved))  # fmt: skip
    expected = allowed(geometry, parts, clues)
    assert solved in expected
    assert by_search(geometry, parts, clues) == expected
    assert by_sat(geometry, parts, clues, guarded=False) == expected
    assert by_sat(geometry, parts, clues, guarded=True) == expected


IMPOSSIBLE = [
    pytest.param(Cage((0, 1), 2), id="no set has the sum"),
    pytest.param(Sum((0, 1, 5), 13), id="the automaton accepts nothing"),
    pytest.param(Table((0, 1), ((2, 2),)), id="no row has different digits in a line"),
    pytest.param(Table((0, 1, 2), ()), id="no row at all"),
    pytest.param(Apart((0, 1), 4), id="too far apart"),
    pytest.param(Rising((0, 1, 2, 3, 7)), id="too long to rise"),
    pytest.param(Same((0, 5, 10, 3, 12)), id="more cells than digits"),
]


@pytest.mark.parametrize("part", IMPOSSIBLE)
def test_a_part_that_nothing_fits(part: Part) -> None:
    empty = (0,) * 16
    whole = with_houses(SQUARE, [part])
    assert sat.prove(whole, empty, [part]).solutions == 0
    assert rule_search.prove(whole, empty, [part]).solutions == 0
    assert sat.clash_with_rules(whole, empty, [part]) == ((), (part,))


def test_houses_come_and_go_with_their_parts() -> None:
    part = Same((0, 5, 10, 15))
    whole = with_houses(BLOCKS, [part, part, Same((0, 1, 2, 3))])
    assert [h.kind for h in whole.houses[12:]] == ["extra"]  # the row was there before
    assert without_houses(whole, [part]) == BLOCKS
    assert with_houses(BLOCKS, []) is BLOCKS


def test_a_clash_names_clues_and_parts() -> None:
    # r1c1 < r1c2 < r1c3 makes r1c1 1 or 2; a sum of 7 in r1c1 and r2c1 makes it 3 or 4.
    rising, seven = Rising((0, 1, 2)), Sum((0, 4), 7)
    beside = Apart((10, 15), 1)
    clues = (0,) * 11 + (1,) + (0,) * 4
    assert sat.clash_with_rules(SQUARE, clues, [beside, rising, seven]) == ((), (rising, seven))
    # ... and a clue 4 at r1c4 leaves 1, 2, 3 rising; 2 at r4c1 is no trouble, 1 at r4c1 is.
    clues = (0, 0, 0, 4) + (0,) * 8 + (1, 0, 0, 0)
    assert sat.clash_with_rules(SQUARE, clues, [beside, rising]) == ((3, 12), (rising,))


def test_equal_clues_in_a_house_of_a_part_name_the_part() -> None:
    diagonal = Same((0, 5, 10, 15))
    clues = (1,) + (0,) * 9 + (1,) + (0,) * 5
    whole = with_houses(BLOCKS, [diagonal])
    assert sat.clash_with_rules(whole, clues, [diagonal]) == ((0, 10), (diagonal,))


def test_the_search_stops_at_its_limits() -> None:
    parts = [Sum((0, 5), 5)]
    assert rule_search.prove(SQUARE, (0,) * 16, parts, node_limit=0).solutions is None
    assert rule_search.prove(SQUARE, (0,) * 16, parts, time_limit=0).solutions is None
    verdict = rule_search.prove(SQUARE, (0,) * 16, parts)
    assert verdict.solutions == 2
    assert verdict.first != verdict.second
    assert verdict.nodes > 0


def test_the_compiled_search_stops_at_its_limits_and_no_sooner(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    empty = (0,) * 16
    assert rule_search.prove(BLOCKS, empty, [], node_limit=0) == Verdict(None)
    whole = rule_search.explore(BLOCKS, empty, [], limit=1000)
    assert (len(set(whole[0])), whole[1]) == (288, True)
    monkeypatch.setattr(rule_search, "_CLOCK", 1)
    assert rule_search.prove(BLOCKS, empty, [], time_limit=0) == Verdict(None, nodes=1)
    assert rule_search.explore(BLOCKS, empty, [], limit=1000, time_limit=60) == whole
    cut, complete = rule_search.explore(BLOCKS, empty, [], limit=1000, node_limit=100)
    assert (cut, complete) == (whole[0][: len(cut)], False)
    assert 50 < len(cut) < 288


def test_the_search_believes_holds_and_not_prune(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Sum, "prune", lambda *_: True)
    solved = full_grids(SQUARE)[0]
    parts: list[Part] = [Sum((0, 1), solved[0] + solved[1] + 1)]
    assert rule_search.prove(SQUARE, solved, parts).solutions == 0


@pytest.mark.parametrize("clues", [(0,) * 15, (5,) + (0,) * 15])
def test_clues_that_do_not_fit_are_refused(clues: Values) -> None:
    with pytest.raises(ValueError, match="the clues do not fit a 4x4, Latin square"):
        rule_search.prove(SQUARE, clues, [])


@pytest.mark.parametrize("seed", range(12))
def test_the_search_proves_plain_grids_as_the_kernel_does(seed: int) -> None:
    from tests.proof.geometries import MANY, random_clues

    for name in ("5x5", "6x6", "9x9", "9x9-diagonals"):
        clues = random_clues(MANY[name], seed, 0.4, wrong=seed % 2)
        ours, theirs = rule_search.prove(MANY[name], clues, []), kernel.prove(MANY[name], clues)
        assert ours.solutions == theirs.solutions
        if ours.solutions == 1:
            assert ours.first == theirs.first


def test_a_guarded_part_leans_on_no_other() -> None:
    pair, three = Same((0, 5)), Same((0, 5, 10))
    clues = (1,) + (0,) * 4 + (1,) + (0,) * 10
    for parts in ((pair, three), (three, pair)):
        with sat.Prover(SQUARE, parts, guarded=True) as prover:
            for guard in prover.guards:
                assert prover.core([guard, *prover.assumed(clues)]) is not None
            assert prover.core(prover.assumed(clues)) is None
