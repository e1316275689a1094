"""Entry cells: which cells a puzzle's letters stand in, so that only who solves it knows the code.

They are no clues, they fall late in every solve (see `ladder.falls`), and of such cells those are
taken that leave a guesser the most ways. A guesser is someone who looks and does not solve: who
sees which digits the clues rule out, and that digits of a house differ.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cache

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.falls import falls
from packbuilder.ladder.rungs import Ladder

LATE = 1 / 3
"""The share of the empty cells, from the last to fall, from which the letters' cells are chosen."""

SHORT_ODDS = 1000
"""A code that is guessed more easily than once in so many times is worth a word."""


@dataclass(frozen=True)
class EntryCells:
    """The cells in the order of their letters, which is that of reading; and the odds of a guess:
    one in ``odds``."""

    cells: tuple[int, ...]
    odds: int


def entry_cells(
    geometry: Geometry, clues: Values, count: int, ladder: Ladder, taken: Collection[int] = ()
) -> EntryCells | None:
    """The cells of so many letters, none of them ``taken``; None where fewer are empty."""
    fallen = falls(geometry, clues, ladder)
    empty = [cell for cell, clue in enumerate(clues) if not clue and cell not in taken]
    empty.sort(key=lambda cell: (-fallen[cell], cell))
    if len(empty) < count:
        return None
    late = empty[: max(count, round(LATE * len(empty)))]
    last = fallen[late[-1]]
    late += [cell for cell in empty[len(late) :] if fallen[cell] == last]
    chosen: list[int] = []
    while len(chosen) < count:
        left = [cell for cell in late if cell not in chosen]
        chosen.append(
            max(left, key=lambda c: (codes(geometry, clues, [*chosen, c]), fallen[c], -c))
        )
    return EntryCells(tuple(sorted(chosen)), codes(geometry, clues, chosen))


def codes(geometry: Geometry, clues: Values, cells: Sequence[int]) -> int:
    """How many ways there are to write digits into these cells that no clue and no house rules
    out, all other cells left as they are."""
    everything = (2 << geometry.size) - 2
    free = [
        everything & ~sum(1 << digit for digit in {clues[c] for c in geometry.peers[cell]} - {0})
        for cell in cells
    ]
    within = [[k for k, cell in enumerate(cells) if cell in h.cells] for h in geometry.houses]
    groups = [some for some in within if len(some) > 1]
    members = [[g for g, some in enumerate(groups) if k in some] for k in range(len(cells))]

    @cache
    def ways(k: int, used: tuple[int, ...]) -> int:
        if k == len(cells):
            return 1
        digits, total = free[k], 0
        for group in members[k]:
            digits &= ~used[group]
        while digits:
            digit = digits & -digits
            digits ^= digit
            after = list(used)
            for group in members[k]:
                after[group] |= digit
            total += ways(k + 1, tuple(after))
        return total

    return ways(0, (0,) * len(groups))
