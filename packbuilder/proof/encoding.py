"""Encoding: the parts of a puzzle's rules as clauses, for the second proof.

`Encoder` is the `rules.contract.Clauses` that every part is handed. Variable ``cell * size +
digit`` is true when the cell holds the digit, as in `sat`; further variables follow behind them.

- *Order literals*, "the cell holds 4 or more", are bound to the digits of a cell the first time
  that one is asked for (the order encoding of Tamura and others, 2009).
- An *automaton* is unrolled, a layer of states a cell. States that cannot be reached or cannot end
  well are left out, and states of a layer with the same future are one. A state, a digit and the
  next state imply one another in every direction, so that unit propagation leaves no digit that
  the automaton alone would forbid (Quimper and Walsh, 2006).
- A choice among *sets* of digits has a selector for each set.

Each clause of a part can be put under the part's *guard*, a variable that is true where the part
is to hold: so a contradiction can be told by the parts that it used.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from functools import lru_cache
from itertools import combinations, pairwise
from typing import Any

from packbuilder.grid import Geometry
from packbuilder.rules.contract import Part

Arcs = tuple[tuple[int, ...], ...]
"""A layer of an automaton: for each state, the next state by digit, -1 where there is none."""


class Encoder:
    """A formula in the making: see `rules.contract.Clauses`.

    ``geometry`` says which cells differ already. ``clauses`` are the formula so far, the clauses of
    the geometry not among them, ``top`` is the last variable in use.
    """

    def __init__(self, geometry: Geometry) -> None:
        self.size = geometry.size
        self.clauses: list[list[int]] = []
        self.top = geometry.cell_count * geometry.size
        self._peers = geometry.peers
        self._order: dict[int, list[int]] = {}
        self._true = 0
        self._guard: list[int] = []

    def encode(self, part: Part) -> None:
        """Add the clauses of a part, to hold always."""
        part.encode(self)

    def encode_guarded(self, part: Part, geometry: Geometry) -> int:
        """Add a part, and the houses that it brings, to hold where the literal given back does."""
        guard = self.new()
        self._guard = [-guard]
        for house in part.houses(geometry):
            for a, b in combinations(house.cells, 2):
                self._differ(a, b)
            if len(house.cells) == self.size:
                for digit in range(1, self.size + 1):
                    self.add(*(self.digit(cell, digit) for cell in house.cells))
        part.encode(self)
        self._guard = []
        return guard

    # --- literals --------------------------------------------------------------------------

    def digit(self, cell: int, digit: int) -> int:
        """The literal that the cell holds the digit."""
        return cell * self.size + digit

    def at_least(self, cell: int, digit: int) -> int:
        """The literal that the cell holds ``digit`` or more; true for 1, false past the size."""
        if digit <= 1:
            return self._constant()
        if digit > self.size:
            return -self._constant()
        if cell not in self._order:
            self._order[cell] = self._ladder(cell)
        return self._order[cell][digit - 2]

    def new(self) -> int:
        """A new literal, free until clauses bind it."""
        self.top += 1
        return self.top

    def _constant(self) -> int:
        if not self._true:
            self._true = self.new()
            self.clauses.append([self._true])
        return self._true

    def _ladder(self, cell: int) -> list[int]:
        """Literals for 2 or more, 3 or more, ...; the ends are literals of the cell's digits.

        They only say what the digits say, so no guard stands over them.
        """
        first, last = self.digit(cell, 1), self.digit(cell, self.size)
        steps = [-first, *(self.new() for _ in range(3, self.size)), last]
        for digit, (low, high) in enumerate(pairwise(steps), start=2):
            held = first - 1 + digit
            self.clauses += [[-high, low], [-held, low], [-held, -high], [-low, high, held]]
        return steps

    # --- clauses ---------------------------------------------------------------------------

    def add(self, *literals: int) -> None:
        """At least one of these holds (where the part that is being encoded does)."""
        if self._true:
            if self._true in literals:
                return
            literals = tuple(literal for literal in literals if literal != -self._true)
        self.clauses.append([*literals, *self._guard])

    def allow(self, cells: Sequence[int], tuples: Iterable[tuple[int, ...]]) -> None:
        """The cells hold one of these tuples of digits, in order. For few cells."""
        equal = [
            (i, j)
            for i, j in combinations(range(len(cells)), 2)
            if cells[j] in self._peers[cells[i]]
        ]
        rows = [t for t in dict.fromkeys(tuples) if all(t[i] != t[j] for i, j in equal)]
        if len(cells) == 2:
            known = set(rows)
            self.pairs(cells[0], cells[1], lambda a, b: (a, b) in known)
            return
        chosen = [self.new() for _ in rows] if len(cells) > 1 else [0] * len(rows)
        if len(cells) > 1:
            self.add(*chosen)
        for k, cell in enumerate(cells):
            users = defaultdict(list)
            for row, literal in zip(rows, chosen, strict=True):
                users[row[k]].append(literal)
            for digit in range(1, self.size + 1):
                held = self.digit(cell, digit)
                if digit not in users:
                    self.add(-held)
                elif len(cells) > 1:
                    self.add(-held, *users[digit])
                    for literal in users[digit]:
                        self.add(-literal, held)

    def pairs(self, a: int, b: int, allowed: Callable[[int, int], bool]) -> None:
        """Only pairs of digits that ``allowed`` accepts stand in the two cells."""
        digits = range(1, self.size + 1)
        differ = b in self._peers[a]
        table = {
            (d, e) for d in digits for e in digits if not (differ and d == e) and allowed(d, e)
        }
        for one, other, turned in ((a, b, False), (b, a, True)):
            for d in digits:
                fits = [e for e in digits if ((e, d) if turned else (d, e)) in table]
                if len(fits) < self.size - 2:
                    self.add(-self.digit(one, d), *(self.digit(other, e) for e in fits))
                elif not turned:
                    for e in digits:
                        if e not in fits and not (differ and d == e):
                            self.add(-self.digit(one, d), -self.digit(other, e))

    def one_set(self, cells: Sequence[int], sets: Iterable[frozenset[int]]) -> None:
        """The cells, all different, hold exactly the digits of one of these sets."""
        for a, b in combinations(cells, 2):
            if b not in self._peers[a]:
                self._differ(a, b)
        choices = [s for s in dict.fromkeys(sets) if len(s) == len(cells)]
        chosen = [self.new() for _ in choices] if len(choices) > 1 else []
        if len(choices) != 1:
            self.add(*chosen)
        for digit in range(1, self.size + 1):
            held = [self.digit(cell, digit) for cell in cells]
            using = [k for k, choice in enumerate(choices) if digit in choice]
            if not using:
                for literal in held:
                    self.add(-literal)
            elif len(using) == len(choices):
                self.add(*held)
            else:
                self._used_or_not(held, chosen, using)

    def _used_or_not(self, held: list[int], chosen: list[int], using: list[int]) -> None:
        """A digit that some sets have and some have not: one literal says whether it is used."""
        used = self.new()
        self.add(-used, *held)
        for literal in held:
            self.add(-literal, used)
        self.add(-used, *(chosen[k] for k in using))
        self.add(used, *(literal for k, literal in enumerate(chosen) if k not in using))
        for k, literal in enumerate(chosen):
            self.add(-literal, used if k in using else -used)

    def automaton(
        self,
        cells: Sequence[int],
        start: Hashable,
        step: Callable[[Any, int], Hashable | None],
        accepts: Callable[[Any], bool],
    ) -> None:
        """Reading the cells in order, ``step(state, digit)`` never gives None and ends well.

        The unrolled automaton is kept for the next cells with equal ``start``, ``step`` and
        ``accepts``: functions of the module, with all parameters in the state, are equal; a
        function made on the spot never is.
        """
        layers = _unroll(len(cells), self.size, start, step, accepts)
        if layers is None:
            self.add()
            return
        here: list[int] = []
        for k, (cell, arcs) in enumerate(zip(cells, layers, strict=True)):
            width = len(layers[k + 1]) if k + 1 < len(layers) else 1
            there = [self.new() for _ in range(width)] if width > 1 else []
            self._layer(cell, arcs, here, there)
            here = there

    def _layer(self, cell: int, arcs: Arcs, here: list[int], there: list[int]) -> None:
        """Bind states, digits and next states. A layer of one state has no literals: it is true."""
        without = [[-literal] for literal in here] or [[]]
        sources: dict[int, set[int]] = defaultdict(set)
        for digit in range(1, self.size + 1):
            held = self.digit(cell, digit)
            nexts = [row[digit - 1] for row in arcs]
            able = [q for q, following in enumerate(nexts) if following >= 0]
            if not able:
                self.add(-held)
                continue
            if len(able) < len(arcs):
                self.add(-held, *(here[q] for q in able))
            for q, after in enumerate(nexts):
                if after < 0:
                    self.add(*without[q], -held)
                    continue
                sources[after].add(q)
                if there:
                    self.add(*without[q], -held, there[after])
        for q, row in enumerate(arcs):
            following = sorted({n for n in row if n >= 0})
            if there and len(following) < len(there):
                self.add(*without[q], *(there[n] for n in following))
            self.add(*without[q], *(self.digit(cell, d) for d, n in enumerate(row, 1) if n >= 0))
        for n, literal in enumerate(there):
            if here and len(sources[n]) < len(here):
                self.add(-literal, *(here[q] for q in sorted(sources[n])))
            able = [d for d in range(1, self.size + 1) if any(row[d - 1] == n for row in arcs)]
            self.add(-literal, *(self.digit(cell, d) for d in able))
        for a, b in combinations(there, 2):
            self.add(-a, -b)

    def _differ(self, a: int, b: int) -> None:
        for digit in range(1, self.size + 1):
            self.add(-self.digit(a, digit), -self.digit(b, digit))


def only_houses(part: Part, size: int) -> bool:
    """Whether the houses of a part are all that there is to it: it has no clause of its own."""
    try:
        part.encode(_Watch(size))
    except _ClauseMet:
        return False
    return True


class _ClauseMet(Exception):
    """A part has a clause."""


class _Watch:
    """A `Clauses` that stops at the first clause."""

    def __init__(self, size: int) -> None:
        self.size = size

    def digit(self, cell: int, digit: int) -> int:
        return cell * self.size + digit

    def at_least(self, cell: int, digit: int) -> int:
        return cell * self.size + digit

    def new(self) -> int:
        return 1

    def _met(self, *_: Any) -> None:
        raise _ClauseMet

    add = allow = pairs = one_set = automaton = _met


@lru_cache(maxsize=512)
def _unroll(
    length: int,
    size: int,
    start: Hashable,
    step: Callable[[Any, int], Hashable | None],
    accepts: Callable[[Any], bool],
) -> tuple[Arcs, ...] | None:
    """The layers of the least automaton for words of ``length``; None if it accepts none."""
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
