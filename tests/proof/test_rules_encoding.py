"""Every way of writing clauses, against all words of digits, with and without a guard."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pysat.solvers import Solver

from packbuilder.grid import Geometry, House
from packbuilder.proof.automata import pattern, unroll
from packbuilder.proof.encoding import Encoder
from packbuilder.rules.contract import Clauses
from tests.proof.rule_parts import Sum, nothing_left, take

Words = set[tuple[int, ...]]
Write = Callable[[Clauses], None]


def words(write: Write, cells: Iterable[int], geometry: Geometry, *, guarded: bool) -> Words:
    """The digits that the clauses allow in some cells of a grid."""
    size, cells = geometry.size, tuple(cells)

    class Written(Sum):
        def encode(self, clauses: Clauses) -> None:
            write(clauses)

    encoder = Encoder(geometry)
    part = Written(cells, 0)
    assumed = [encoder.encode_guarded(part)] if guarded else []
    if not guarded:
        encoder.encode(part)
    found = set()
    with Solver("glucose4", bootstrap_with=encoder.clauses) as solver:
        for cell in cells:
            held = [encoder.digit(cell, d) for d in range(1, size + 1)]
            solver.add_clause(held)
            for a, b in combinations(held, 2):
                solver.add_clause([-a, -b])
        for word in product(range(1, size + 1), repeat=len(cells)):
            held = [encoder.digit(c, d) for c, d in zip(cells, word, strict=True)]
            if solver.solve(assumptions=[*assumed, *held]):
                found.add(word)
            if guarded:
                assert solver.solve(assumptions=held), "without its guard nothing is forbidden"
    return found


def all_words(size: int, length: int) -> Iterable[tuple[int, ...]]:
    return product(range(1, size + 1), repeat=length)


FREE = Geometry(4, ())
FREE_6 = Geometry(6, ())
LINE = Geometry(4, (House("row", "row 1", (0, 1, 2, 3)),))
GUARDED = pytest.mark.parametrize("guarded", [False, True])


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 4), st.integers(1, 5), st.booleans())
def test_random_automata(seed: int, length: int, states: int, guarded: bool) -> None:
    draw = random.Random(seed)
    table = {
        (q, d): draw.randrange(states) if draw.random() < 0.7 else None
        for q in range(states)
        for d in range(1, 5)
    }
    final = {q for q in range(states) if draw.random() < 0.5}

    def step(state: int, digit: int) -> int | None:
        return table[state, digit]

    def accepts(state: int) -> bool:
        return state in final

    def reads(word: tuple[int, ...]) -> bool:
        state: int | None = 0
        for digit in word:
            state = None if state is None else table[state, digit]
        return state in final

    cells = draw.sample(range(16), length)
    found = words(lambda c: c.automaton(cells, 0, step, accepts), cells, FREE, guarded=guarded)
    assert found == {word for word in all_words(4, length) if reads(word)}


def test_states_with_one_future_are_one() -> None:
    # Of three digits only the sum counts in the end: after two, one state for each sum that can
    # still come to 9 with one digit of 1 to 4, which are 5, 6, 7 and 8 (by hand).
    layers = unroll(3, 4, 9, take, nothing_left)
    assert layers is not None
    assert [len(layer) for layer in layers] == [1, 4, 4]
    assert unroll(3, 4, 13, take, nothing_left) is None


def test_equal_automata_are_made_once() -> None:
    assert pattern(3, 4, 9, take, nothing_left) is pattern(3, 4, 9, take, nothing_left)


@GUARDED
@pytest.mark.parametrize("geometry", [FREE, LINE], ids=["free", "line"])
@pytest.mark.parametrize("length", [1, 2, 3])
def test_rows_of_digits(geometry: Geometry, length: int, guarded: bool) -> None:
    draw = random.Random(length)
    rows = draw.sample(sorted(all_words(4, length)), min(4**length, 7))[: 3 * length]
    cells = (2, 0, 1)[:length]
    found = words(lambda c: c.allow(cells, rows), cells, geometry, guarded=guarded)
    fitting = {row for row in rows if geometry is FREE or len(set(row)) == length}
    assert {w for w in found if geometry is FREE or len(set(w)) == length} == fitting


@GUARDED
@pytest.mark.parametrize("by", range(6))
def test_pairs(by: int, guarded: bool) -> None:
    def fits(a: int, b: int) -> bool:
        return a - b >= by or b > a + 2

    found = words(lambda c: c.pairs(3, 9, fits), (3, 9), FREE_6, guarded=guarded)
    assert found == {word for word in all_words(6, 2) if fits(*word)}


@GUARDED
@pytest.mark.parametrize("total", range(3, 16))
def test_sets_of_digits(total: int, guarded: bool) -> None:
    sets = [frozenset(s) for s in combinations(range(1, 7), 3) if sum(s) == total]
    found = words(lambda c: c.one_set((0, 1, 2), sets), (0, 1, 2), FREE_6, guarded=guarded)
    assert found == {w for w in all_words(6, 3) if len(set(w)) == 3 and sum(w) == total}


@GUARDED
def test_at_least(guarded: bool) -> None:
    for bound in range(8):  # true for 1 and below, false past the size
        at_least = words(
            lambda c, b=bound: c.add(c.at_least(5, b)),  # type: ignore[misc]
            (5,),
            FREE_6,
            guarded=guarded,
        )
        assert at_least == {(d,) for d in range(1, 7) if d >= bound}
        less = words(
            lambda c, b=bound: c.add(-c.at_least(5, b)),  # type: ignore[misc]
            (5,),
            FREE_6,
            guarded=guarded,
        )
        assert less == {(d,) for d in range(1, 7) if d < bound}
