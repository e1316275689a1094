"""Encoding: the parts of a puzzle's rules as clauses, for the second proof.

`Encoder` is the `rules.contract.Clauses` that every part is handed. Variable ``cell * size +
digit`` is true when the cell holds the digit, as in `sat`; further variables follow behind them.

- *Order literals*, "the cell holds 4 or more", are bound to the digits of a cell the first time
  that one is asked for (the order encoding of Tamura and others, 2009).
- An *automaton* is unrolled over its cells (`automata`).
- A choice among *sets* of digits has a selector for each set.

Each clause of a part can be put under the part's *guard*, a variable that is true where the part
is to hold: so a contradiction can be told by the parts that it used.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from itertools import combinations, pairwise
from typing import Any

from packbuilder.grid import Geometry
from packbuilder.proof.automata import pattern
from packbuilder.rules.contract import Part


class Encoder:
    """A formula in the making: see `rules.contract.Clauses`.

    ``geometry`` is the grid without what the parts bring: it says which cells differ already.
    ``clauses`` are the formula so far, those of the geometry not among them; ``top`` is the last
    variable in use.
    """

    def __init__(self, geometry: Geometry) -> None:
        self.size = geometry.size
        self.clauses: list[list[int]] = []
        self.top = geometry.cell_count * geometry.size
        self._geometry = geometry
        self._apart: set[tuple[int, int]] = set()
        """Pairs of cells that clauses so far keep different."""
        self._order: dict[int, list[int]] = {}
        self._true = 0
        self._guard: list[int] = []

    def encode(self, part: Part) -> None:
        """Add a part, and the houses that it brings, to hold always."""
        for house in part.houses(self._geometry):
            for a, b in combinations(house.cells, 2):
                self._differ(a, b)
            if len(house.cells) > self.size:
                self.add()  # more cells than digits: no grid fits
            if len(house.cells) == self.size:
                for digit in range(1, self.size + 1):
                    self.add(*(self.digit(cell, digit) for cell in house.cells))
        part.encode(self)

    def encode_guarded(self, part: Part) -> int:
        """Add a part as `encode` does, to hold where the literal given back does."""
        guard = self.new()
        self._guard, unguarded = [-guard], self._apart
        self._apart = set()
        self.encode(part)
        self._guard, self._apart = [], unguarded
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
            if cells[j] in self._geometry.peers[cells[i]]
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
        differ = b in self._geometry.peers[a]
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
        used, guard = self.new(), self._guard
        these = [chosen[k] for k in using]
        others = [literal for k, literal in enumerate(chosen) if k not in using]
        self.clauses += [[-used, *held, *guard], [-used, *these, *guard], [used, *others, *guard]]
        self.clauses += [[-literal, used, *guard] for literal in (*held, *these)]
        self.clauses += [[-literal, -used, *guard] for literal in others]

    def automaton(
        self,
        cells: Sequence[int],
        start: Hashable,
        step: Callable[[Any, int], Hashable | None],
        accepts: Callable[[Any], bool],
    ) -> None:
        """Reading the cells in order, ``step(state, digit)`` never gives None and ends well.

        Its clauses are kept for the next cells with equal ``start``, ``step`` and
        ``accepts``: functions of the module, with all parameters in the state, are equal; a
        function made on the spot never is.
        """
        found = pattern(len(cells), self.size, start, step, accepts)
        if found is None:
            self.add()
            return
        variables = [self.digit(cell, d) for cell in cells for d in range(1, self.size + 1)]
        variables += range(self.top + 1, self.top + 1 + found.states)
        self.top += found.states
        for clauses in found.laid(variables, self._guard):
            self.clauses += clauses

    def _differ(self, a: int, b: int) -> None:
        pair = (a, b) if a < b else (b, a)
        if b in self._geometry.peers[a] or pair in self._apart:
            return
        self._apart.add(pair)
        for digit in range(1, self.size + 1):
            self.add(-self.digit(a, digit), -self.digit(b, digit))
