"""Automata as clauses: a finite automaton unrolled over a row of cells, a layer of states a cell.

States that cannot be reached or cannot end well are left out, and states of a layer with the same
future are one: what is left is the least such diagram. Its clauses say (Quimper and Walsh, 2006,
less what measuring showed to be idle):

- a state and a digit give the next state, or cannot stand together;
- a digit needs a state that can read it; a state needs one that leads to it, and one to lead to.

The clauses of an automaton are kept as a pattern, to be laid over any cells. Most of them come out
of array operations, as a grid with sums outside has tens of thousands.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

Arcs = tuple[tuple[int, ...], ...]
"""A layer: for each state, the next state by digit, -1 where there is none."""

Codes = NDArray[np.int64]


@dataclass(frozen=True)
class Pattern:
    """The clauses of an unrolled automaton, as arrays (clauses, literals) of codes.

    Code ``k * size + d`` is digit d in the k-th cell; ``states`` more codes behind those are its
    states. Negative codes are negated literals.
    """

    blocks: tuple[Codes, ...]
    states: int

    def laid(self, variables: list[int], guard: list[int]) -> Iterator[list[list[int]]]:
        """The clauses with ``variables[code - 1]`` for each code, ``guard`` behind each clause."""
        lookup = np.array([0, *variables], np.int64)
        for block in self.blocks:
            laid = lookup[np.abs(block)] * np.sign(block)
            if guard:
                laid = np.hstack([laid, np.broadcast_to(guard, (len(laid), len(guard)))])
            yield laid.tolist()


@lru_cache(maxsize=1024)
def pattern(
    length: int,
    size: int,
    start: Hashable,
    step: Callable[[Any, int], Hashable | None],
    accepts: Callable[[Any], bool],
) -> Pattern | None:
    """The clauses of an automaton for words of ``length`` digits; None if it accepts none."""
    layers = unroll(length, size, start, step, accepts)
    if layers is None:
        return None
    widths = [*map(len, layers), 1]
    clauses: dict[int, list[Codes]] = defaultdict(list)
    top = length * size
    here = np.zeros(1, np.int64)  # a layer of one state has no variable: it is true
    for k, arcs in enumerate(layers):
        wide = widths[k + 1] if widths[k + 1] > 1 else 0
        there = np.arange(top + 1, top + 1 + wide) if wide else np.zeros(1, np.int64)
        top += wide
        digits = np.arange(k * size + 1, (k + 1) * size + 1)
        for block in _moves(np.array(arcs), here, there, digits):
            if block.size:
                clauses[block.shape[1]].append(block)
        for clause in _support(arcs, here.tolist(), there.tolist(), digits.tolist()):
            clauses[len(clause)].append(np.array([clause], np.int64))
        here = there
    blocks = tuple(np.concatenate(rows) for _, rows in sorted(clauses.items()))
    return Pattern(blocks, top - length * size)


def _moves(arcs: Codes, here: Codes, there: Codes, digits: Codes) -> Iterator[Codes]:
    """A state and a digit give the next state, or cannot stand together."""
    for fits in (False, True):
        q, d = np.nonzero((arcs >= 0) == fits)
        columns = [-digits[d]]
        if here[0]:
            columns.append(-here[q])
        elif not fits:
            continue  # a digit that the one state cannot read: `_support` strikes it
        if fits:
            if not there[0]:
                continue
            columns.append(there[arcs[q, d]])
        yield np.stack(columns, axis=1)


def _support(
    arcs: Arcs, here: list[int], there: list[int], digits: list[int]
) -> Iterator[list[int]]:
    """A digit needs a state that reads it; a state, one that leads to it and one to lead to."""
    for column, digit in zip(zip(*arcs, strict=True), digits, strict=True):
        able = [q for q, after in enumerate(column) if after >= 0]
        if not able:
            yield [-digit]
        elif len(able) < len(arcs):
            yield [-digit, *(here[q] for q in able)]
    sources: dict[int, set[int]] = defaultdict(set)
    for q, row in enumerate(arcs):
        after = set(row) - {-1}
        for n in after:
            sources[n].add(q)
        if there[0] and len(after) < len(there):
            yield [*([-here[q]] if here[0] else []), *(there[n] for n in sorted(after))]
    for n, before in sources.items():
        if there[0] and len(before) < len(here):
            yield [-there[n], *(here[q] for q in sorted(before))]


def unroll(
    length: int,
    size: int,
    start: Hashable,
    step: Callable[[Any, int], Hashable | None],
    accepts: Callable[[Any], bool],
) -> tuple[Arcs, ...] | None:
    """The layers of the least diagram for words of ``length``; None if nothing is accepted.

    The first layer has one state; all states that accept are the one state behind the last.
    """
    digits = range(1, size + 1)
    reached: list[dict[Hashable, list[Hashable | None]]] = []
    layer: dict[Hashable, None] = {start: None}
    for _ in range(length):
        arcs = {state: [step(state, digit) for digit in digits] for state in layer}
        layer = dict.fromkeys(n for row in arcs.values() for n in row if n is not None)
        reached.append(arcs)
    number = {state: 0 for state in layer if accepts(state)}
    layers: list[Arcs] = []
    for arcs in reversed(reached):
        merged: dict[tuple[int, ...], int] = {}
        before: dict[Hashable, int] = {}
        for state, row in arcs.items():
            future = tuple(-1 if n is None else number.get(n, -1) for n in row)
            if max(future) >= 0:
                before[state] = merged.setdefault(future, len(merged))
        layers.append(tuple(merged))
        number = before
    return tuple(reversed(layers)) if start in number else None
