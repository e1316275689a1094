"""Sums as clauses on bounds: the order encoding of sums in a tree (a totaliser).

A number that is being added up is known by its literals "at least v". The sum of two numbers is at
least a + b where they are at least a and b, and less than the sum of what each is less than; so
numbers are added two by two until two are left, which must make the total. Unit propagation then
does what adding up bounds does, and what the solver learns are bounds. Source: Bailleux and
Boufkhad (2003) for the tree, Tamura and others (2009) for order literals; for cells that differ,
bounds on the sum of them all are said as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from packbuilder.rules.contract import Clauses

Bound = int | bool
"""A literal, or a bound that always holds or never does."""


@dataclass(frozen=True)
class Number:
    """A number from ``low`` up; ``steps`` are its literals "at least low + 1" and so on."""

    low: int
    steps: tuple[int, ...]

    @property
    def high(self) -> int:
        """The most that it can be."""
        return self.low + len(self.steps)

    def at_least(self, v: int) -> Bound:
        """That the number is v or more."""
        if v <= self.low:
            return True
        return self.steps[v - self.low - 1] if v <= self.high else False

    def at_most(self, v: int) -> Bound:
        """That the number is v or less."""
        more = self.at_least(v + 1)
        return not more if isinstance(more, bool) else -more


def adds_up(clauses: Clauses, groups: Iterable[Sequence[int]], total: int) -> None:
    """The digits of all cells make the total. Cells of a group differ."""
    numbers = [_group(clauses, cells) for cells in groups]
    while len(numbers) > 2:
        # The two of the narrowest range; what the others can be bounds their sum.
        numbers.sort(key=lambda number: len(number.steps))
        one, other, *rest = numbers
        low = total - sum(number.high for number in rest)
        high = total - sum(number.low for number in rest)
        numbers = [*rest, _sum(clauses, one, other, low, high)]
    if len(numbers) == 1:
        _when(clauses, (), numbers[0].at_least(total))
        _when(clauses, (), numbers[0].at_most(total))
        return
    one, other = numbers
    for v in range(one.low, one.high + 1):
        _when(clauses, (one.at_least(v),), other.at_most(total - v))
        _when(clauses, (one.at_most(v),), other.at_least(total - v))


def _group(clauses: Clauses, cells: Sequence[int]) -> Number:
    """What differing cells add up to."""
    size = clauses.size
    digits = [
        Number(1, tuple(clauses.at_least(cell, d) for d in range(2, size + 1))) for cell in cells
    ]
    found = digits[0]
    for count in range(2, len(cells) + 1):
        least = count * (count + 1) // 2
        found = _sum(clauses, found, digits[count - 1], least, count * (size + 1) - least)
        spread = least - count
        for d in range(1, size + 1):
            summed = digits[:count]
            _when(clauses, [n.at_least(d) for n in summed], found.at_least(count * d + spread))
            _when(clauses, [n.at_most(d) for n in summed], found.at_most(count * d - spread))
    return found


def _sum(clauses: Clauses, one: Number, other: Number, low: int, high: int) -> Number:
    """The sum of two numbers, which is known to be from ``low`` to ``high``."""
    low, high = max(low, one.low + other.low), min(high, one.high + other.high)
    found = Number(low, tuple(clauses.new() for _ in range(low + 1, high + 1)))
    for v in range(low + 2, high + 1):
        _when(clauses, (found.at_least(v),), found.at_least(v - 1))
    for a in range(one.low, one.high + 1):
        for b in range(other.low, other.high + 1):
            _when(clauses, (one.at_least(a), other.at_least(b)), found.at_least(a + b))
            _when(clauses, (one.at_most(a), other.at_most(b)), found.at_most(a + b))
    return found


def _when(clauses: Clauses, given: Iterable[Bound], then: Bound) -> None:
    """If all of the bounds hold, so does the last."""
    known = list(given)
    if then is True or any(bound is False for bound in known):
        return
    literals = [-bound for bound in known if bound is not True]
    clauses.add(*literals, *(() if then is False else (then,)))
