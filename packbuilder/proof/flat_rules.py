"""Pairs and sums of a puzzle's rules in flat arrays, beside its houses: see `strikes`."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from packbuilder.compiled import Kernel, laid
from packbuilder.compiled.kernel import Example
from packbuilder.grid import Geometry, latin
from packbuilder.proof.flat_houses import FlatHouses, Ints, flat, flat_houses
from packbuilder.rules.contract import Part
from packbuilder.rules.tools.flat_forms import Pairs, Sums

WIDEST = 3
"""Cells of a group in a sum: their ways to differ are gone through one by one."""

FEW = 4
"""Places of a digit in a house that one cell can clash with all at once."""

FINISHED, FOUND, WEARY = 0, 1, 2
"""What `search` comes back with: nothing is left, or a full grid, or so many branches made."""


class Room(NamedTuple):
    """Room to work in: what is to be looked at again; filled cells, first how many; the position
    that is branched on; the places of a digit; sums within reach; what a group keeps."""

    dirty: NDArray[np.uint8]
    filled: Ints
    masks: Ints
    places: Ints
    reach: Ints
    kept: Ints


class FlatRules(NamedTuple):
    """Pairs and sums, laid flat. A tuple, so that numba takes it as it is.

    ``table_of[a, b]`` is the table of a pair of cells, -1 where they make none; ``near`` are, by
    cell, those that it makes a pair with. ``summed`` are the cells of the groups.
    For each group ``support`` keeps, by sum and cell, the digits that stand there when it is made,
    and ``known`` the masks that this is true of.
    """

    pairs: Ints
    keep: Ints
    table_of: Ints
    near_starts: Ints
    near: Ints
    sums: Ints
    groups: Ints
    summed: Ints
    known: Ints
    support: Ints
    room: Room


class Flat:
    """A geometry and some parts, laid flat and ready to be searched.

    ``others`` are the parts that cannot be laid flat.
    """

    def __init__(self, geometry: Geometry, parts: Sequence[Part] = ()) -> None:
        self.others = tuple(part for part in parts if not _flat(part, geometry.size))
        flat_parts = [part for part in parts if part not in self.others]
        forms = [form for part in flat_parts for form in part.flat_forms(geometry.size)]
        self.houses, self.rules = _laid_flat(geometry, forms)
        self.laid = laid(self.houses), laid(self.rules)
        self.cell_count = geometry.cell_count

    def settle(self, before: Sequence[int], masks: list[int]) -> int:
        """Strike in ``masks`` until nothing moves: -1, or the number of what cannot hold any more.

        ``before`` are the masks of an earlier position of the same search in which nothing moved:
        only what has cells that differ from it is looked at to begin with.
        """
        now = np.array(masks, np.int64)
        failed = settle(np.array(before, np.int64), now, *self.laid)
        masks[:] = now.tolist()
        return failed

    def cells_of(self, failed: int) -> list[int]:
        """The cells of what `settle` named."""
        houses, rules = self.houses, self.rules
        first_pair = len(houses.starts) - 1
        first_sum = first_pair + len(rules.pairs)
        if failed < first_pair:
            found = houses.cells[houses.starts[failed] : houses.starts[failed + 1]]
        elif failed < first_sum:
            found = rules.pairs[failed - first_pair, :2]
        else:
            first, last, _ = rules.sums[failed - first_sum]
            found = rules.summed[rules.groups[first, 0] : rules.groups[last - 1, 1]]
        return [int(cell) for cell in found]


def _laid_flat(geometry: Geometry, forms: Iterable[Pairs | Sums]) -> tuple[FlatHouses, FlatRules]:
    houses, count = flat_houses(geometry), geometry.cell_count
    tables: list[Ints] = []
    pairs: list[list[int]] = []
    table_of = np.full((count, count), -1, np.int64)
    sums: list[list[int]] = []
    groups: list[list[int]] = []
    summed: list[int] = []
    for form in forms:
        if isinstance(form, Pairs):
            at = len(tables)
            tables += [_table(geometry.size, form.fits, turned) for turned in (False, True)]
            for a, b in form.pairs:
                pairs.append([a, b, at, at + 1])
                table_of[a, b], table_of[b, a] = at, at + 1
        else:
            first, (total, flipped) = len(groups), _total(form, geometry.size)
            for cells, turned in _groups(form, geometry):
                groups.append([len(summed), len(summed) + len(cells), int(turned != flipped)])
                summed += cells
            sums.append([first, len(groups), total])
    strikers: list[list[int]] = [list(geometry.houses_of[cell]) for cell in range(count)]
    for r, (a, b, *_) in enumerate(pairs, start=len(geometry.houses)):
        strikers[a].append(r)
        strikers[b].append(r)
    for s, (first, last, _) in enumerate(sums, start=len(geometry.houses) + len(pairs)):
        for cell in summed[groups[first][0] : groups[last - 1][1]]:
            strikers[cell].append(s)
    of_starts, of = flat(strikers)
    near_starts, near = flat([np.flatnonzero(row >= 0).tolist() for row in table_of])
    none = np.zeros((0, 1), np.int64)
    return houses._replace(of_starts=of_starts, of=of), FlatRules(
        np.array(pairs, np.int64).reshape(-1, 4),
        np.array(tables, np.int64) if tables else none,
        table_of,
        near_starts,
        near,
        np.array(sums, np.int64).reshape(-1, 3),
        np.array(groups, np.int64).reshape(-1, 3),
        np.array(summed, np.int64),
        np.zeros((len(groups), WIDEST), np.int64),
        np.zeros((len(groups), WIDEST * geometry.size + 1, WIDEST), np.int64),
        Room(
            np.zeros(len(geometry.houses) + len(pairs) + len(sums), np.uint8),
            np.zeros(count * geometry.size + 1, np.int64),
            np.zeros(count, np.int64),
            np.zeros(FEW, np.int64),
            np.zeros(len(groups) + 1, np.int64),
            np.zeros(WIDEST, np.int64),
        ),
    )


@lru_cache(maxsize=64)
def _table(size: int, fits: Callable[[int, int], bool], turned: bool) -> Ints:
    """For each mask of the one cell, what the other may be: ``turned``, of the second the first."""
    table = np.zeros(1 << size, np.int64)
    digits = range(1, size + 1)
    for d in digits:
        others = [e for e in digits if (fits(e, d) if turned else fits(d, e))]
        bit = 1 << d - 1
        table[bit : 2 * bit] = table[:bit] | sum(1 << e - 1 for e in others)
    return table


def _flat(part: Part, size: int) -> bool:
    """Whether a part is nothing but pairs, and sums that a word has room for."""
    forms = part.flat_forms(size)
    return bool(forms) and all(
        isinstance(form, Pairs) or 0 <= _total(form, size)[0] < 63 for form in forms
    )


def _total(form: Sums, size: int) -> tuple[int, bool]:
    """What the cells make together where those that are taken off count as size + 1 - d; or where
    all others do, if that is less."""
    total = form.total + (size + 1) * len(form.less)
    other = (size + 1) * (len(form.cells) + len(form.less)) - total
    return min((total, False), (other, True))


def _groups(form: Sums, geometry: Geometry) -> list[tuple[list[int], bool]]:
    """The cells in groups that cannot repeat a digit, small enough to be gone through; those that
    are taken off, each by itself and turned."""
    left, found = list(form.cells), list[tuple[list[int], bool]]()
    while left:
        group = [left.pop(0)]
        for cell in tuple(left):
            if len(group) < WIDEST and all(cell in geometry.peers[other] for other in group):
                group.append(cell)
                left.remove(cell)
        found.append((group, False))
    return [*found, *(([cell], True) for cell in form.less)]


def _four() -> tuple[FlatHouses, FlatRules, Ints]:
    """The Latin squares of 4x4, and the position of one that lacks its last cell."""
    masks = [1, 2, 4, 8, 2, 1, 8, 4, 4, 8, 1, 2, 8, 4, 2, 15]
    return *_laid_flat(latin(4), ()), np.array(masks, np.int64)


def _settling() -> Example:
    houses, rules, masks = _four()
    before = np.full(16, 15, np.int64)
    return (before, masks, houses, rules), lambda failed: failed == -1 and masks[15] == 1


def _searching() -> Example:
    houses, rules, masks = _four()
    stack = np.array([masks] * 66)
    stack[0, 15] = 1
    state = np.array([1, 0], np.int64)
    return (state, stack, np.ones(16), 1, houses, rules), lambda came: came == FOUND


_OTHERS = ["packbuilder.proof.flat_rules", "packbuilder.proof.flat_houses"]
settle = Kernel("packbuilder.proof.strikes:settle", _OTHERS, "the rules' strikes", _settling)
search = Kernel("packbuilder.proof.strikes:search", _OTHERS, "the rule search", _searching)
