"""Board: a position in the middle of a solve, digits placed and candidates left.

Candidates live in one int, laid out by `bit_layout`; the masks and lists that techniques read are
drawn from it when they are asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.bit_layout import Reach, fields_of

T = TypeVar("T")


class Board:
    """Values and candidates of one grid. Place and strike; nothing is ever taken back.

    ``bits`` are the candidates (see `bit_layout`), ``open`` the mask of empty cells, ``left`` the
    number of empty cells of each house, ``last_cells`` the field bits of houses with one empty cell
    (and of filled ones), ``values`` the digits placed (0 for an empty cell).
    ``broken`` is True once a digit was placed where it was no candidate. ``memo`` is for
    techniques to note what need not be looked at again.
    """

    __slots__ = ("_seen", "_seen_of", "bits", "broken", "fields", "last_cells", "left", "memo",
                 "open", "values")  # fmt: skip

    def __init__(self, geometry: Geometry, clues: Values) -> None:
        fields = self.fields = fields_of(geometry)
        self.values = [0] * fields.cell_count
        self.open = fields.all_cells
        self.bits = fields.everything
        self.broken = False
        self.memo: dict[object, int] = {}
        self._seen_of = -1
        self._seen: dict[object, Any] = {}
        bits, gaps = self.bits, self.open
        spots, keep, size = fields.spots, fields.keep, fields.size
        for cell, digit in enumerate(clues):
            if digit:
                key = cell * size + digit - 1
                if not bits & spots[key]:
                    self.broken = True
                bits &= keep[key]
                gaps ^= 1 << cell
                self.values[cell] = digit
        self.bits, self.open = bits, gaps
        self.left = [(gaps & mask).bit_count() for mask in fields.house_masks]
        self.last_cells = 0
        for h, bits_of_house in fields.house_bits.items():
            if self.left[h] <= 1:
                self.last_cells |= bits_of_house

    def place(self, key: int) -> None:
        """Write a candidate into its cell; the cell's peers lose the digit."""
        fields = self.fields
        cell, d = divmod(key, fields.size)
        if not self.bits & fields.spots[key]:
            self.broken = True
        self.bits &= fields.keep[key]
        self.open &= ~(1 << cell)
        self.values[cell] = d + 1
        left = self.left
        for h in fields.geometry.houses_of[cell]:
            left[h] -= 1
            if left[h] == 1 and h in fields.house_bits:
                self.last_cells |= fields.house_bits[h]

    def copy(self) -> Board:
        """The same position, to be played on apart."""
        other = object.__new__(Board)
        other.fields, other.bits, other.open = self.fields, self.bits, self.open
        other.values, other.left = self.values.copy(), self.left.copy()
        other.last_cells, other.broken, other.memo = self.last_cells, self.broken, self.memo.copy()
        other._seen, other._seen_of = {}, -1
        return other

    def strike(self, keys: Iterable[int]) -> None:
        """Take candidates away. Those already gone are passed over."""
        gone = 0
        for key in keys:
            gone |= self.fields.spots[key]
        self.bits &= self.fields.everything ^ gone

    def planes(self) -> list[int]:
        """A cell mask for each digit, entry 0 empty. Bit i: cell i is open and may be the digit."""
        return self.once(_planes)

    def once(self, make: Callable[[Board], T]) -> T:
        """``make(board)``, worked out once in each position. Read it, do not write to it."""
        if self._seen_of != self.bits:
            self._seen, self._seen_of = {}, self.bits
        if make not in self._seen:
            self._seen[make] = make(self)
        found: T = self._seen[make]
        return found

    def digits_of(self, cell: int) -> int:
        """The candidates of a cell as a mask: bit d-1 for digit d. 0 for a filled cell."""
        fields = self.fields
        return self.bits >> fields.cells_at + cell * fields.width & (1 << fields.size) - 1

    def candidates(self) -> tuple[tuple[int, ...], ...]:
        """The candidates of every cell, lowest first; none for a filled cell."""
        planes = self.planes()
        return tuple(
            tuple(d for d in range(1, self.fields.size + 1) if planes[d] >> cell & 1)
            for cell in range(self.fields.cell_count)
        )


def _planes(board: Board) -> list[int]:
    fields = board.fields
    whole, count = board.bits >> fields.planes_at, fields.cell_count
    return [0, *(whole >> d * count & fields.all_cells for d in range(fields.size))]


def alone(bits: int, reach: Reach, size: int) -> int:
    """The bits that stand alone in their field, among the fields of ``reach``.

    Taking 1 from a field with its guard set clears its lowest bit in the ``&`` and never borrows
    from the next; adding all ones to what remains lifts a guard exactly where something remains.
    """
    few = bits & reach.bits
    rest = few & ((few | reach.guards) - reach.lows)
    many = (rest + reach.bits) & reach.guards
    return few & (reach.bits ^ (many - (many >> size)))
