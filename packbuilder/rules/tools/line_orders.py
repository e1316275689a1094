"""All orders of a row or column in which certain neighbours may not clash.

A line holds each digit once, so filling it from one end is a walk through sets of digits. A set of
such sets is one int, with bit S for the set whose mask is S: so a digit is added to all sets at
once by a shift. (The exact walk through subsets is Held and Karp's, "A dynamic programming approach
to sequencing problems", 1962.)
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise

from packbuilder.rules.contract import Removes, Sight
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.masks import digits_of, keep

Clash = Callable[[int, int], bool]

MOST_CELLS = 9
"""Longer lines have too many sets of digits."""


@dataclass(frozen=True)
class Line:
    """A row or column, ``label``, that must be put in order; ``why`` says what the rule is."""

    label: str
    cells: tuple[int, ...]
    bound: tuple[bool, ...]
    clash: Clash
    why: str

    def name(self, size: int) -> str:
        """``order of row 1``."""
        return f"order of {self.label}"

    def prune(self, masks: list[int], size: int) -> bool:
        """Exact."""
        left = orders(tuple([masks[cell] for cell in self.cells]), self.bound, self.clash)
        return keep(masks, self.cells, left)

    def tell(self, sight: Sight, removes: Removes) -> str:
        """What all orders of the line leave."""
        label = f"{self.label[0].upper()}{self.label[1:]}"
        ways = words.ways_to_that(removes, sight.masks, sight.size)
        return f"{label} holds every digit, and {self.why}. {ways}"


def lines(
    size: int, pairs: Collection[tuple[int, int]], clash: Clash, why: str
) -> tuple[Line, ...]:
    """The rows and columns in which some of these pairs lie side by side."""
    rows = [tuple(range(r * size, (r + 1) * size)) for r in range(size)]
    labelled = [(f"row {k + 1}", cells) for k, cells in enumerate(rows)]
    labelled += [(f"column {k + 1}", cells) for k, cells in enumerate(zip(*rows, strict=True))]
    known, found = set(pairs), []
    for label, cells in labelled:
        bound = tuple(pair in known for pair in pairwise(cells))
        if any(bound):
            found.append(Line(label, cells, bound, clash, why))
    return tuple(found)


@lru_cache(maxsize=32_768)
def orders(masks: tuple[int, ...], bound: tuple[bool, ...], clash: Clash) -> tuple[int, ...] | None:
    """What is left of the candidates of a line in all its orders; None where it has none.

    ``bound[k]`` says that the cells k and k + 1 may not clash.
    """
    size = len(masks)
    friends, lacking = _tables(size, clash)
    ahead: list[dict[int, int]] = []
    reached = {d: 1 << (1 << d - 1) for d in digits_of(masks[0])}
    for k in range(1, size):
        ahead.append(reached)
        anything = _union(reached, reached)
        reached = {
            d: (sets & lacking[d]) << (1 << d - 1)
            for d in digits_of(masks[k])
            if (sets := _union(reached, friends[d]) if bound[k - 1] else anything)
        }
    wanted = {d: 1 << (1 << size) - 1 for d in reached if reached[d]}
    kept = [sum(1 << d - 1 for d in wanted)]
    for k in range(size - 2, -1, -1):
        # Of the sets before the next digit was added, those that end well.
        before = {d: sets >> (1 << d - 1) for d, sets in wanted.items()}
        anything = _union(before, before)
        wanted = {
            d: sets & (_union(before, friends[d]) if bound[k] else anything)
            for d, sets in ahead[k].items()
        }
        wanted = {d: sets for d, sets in wanted.items() if sets}
        kept.append(sum(1 << d - 1 for d in wanted))
    return tuple(reversed(kept)) if kept[-1] else None


def _union(sets: dict[int, int], digits: Sequence[int] | dict[int, int]) -> int:
    whole = 0
    for d in digits:
        if d in sets:
            whole |= sets[d]
    return whole


@cache
def _tables(size: int, clash: Clash) -> tuple[list[list[int]], list[int]]:
    """For each digit those that may stand beside it, and the sets that lack it. Index 0 unused."""
    span = range(1, size + 1)
    friends = [[], *([e for e in span if not clash(d, e)] for d in span)]
    lacking = [0, *(sum(1 << s for s in range(1 << size) if not s >> d - 1 & 1) for d in span)]
    return friends, lacking
