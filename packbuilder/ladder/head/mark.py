"""Marks: the facts that a person who writes nothing may hold in mind, and what each rules out.

What is *seen* of an empty cell are the digits that no placed digit in its houses rules out, less
what the marks held at that moment rule out. A mark is one remembered fact, found from what is
seen, of two kinds:

- one digit: in a house that must hold it, its open cells are two or three and all lie in a second
  house ("the 5s of block 3 are in these two cells");
- a set: two or three open cells of one house hold exactly as many digits, whether it shows in the
  cells (naked) or in the digits (hidden; then the house must hold every digit).

Either way a mark is *these digits are in these cells*, and it rules out all that this contradicts:
the digits leave the other cells of every house that contains all of its cells, and in a set the
other digits leave the cells. What it rules out depends on the fact alone, not on how it was found.

A position is one int of candidates, laid out by `bit_layout`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from packbuilder.grid import Geometry
from packbuilder.ladder.bit_layout import BitLayout, Reach, Slot, cells_in, fields_of
from packbuilder.ladder.board import alone

MOST = 3
"""Cells, and digits, of the largest mark."""

_REMEMBERED = 20_000
"""Masks kept from one search to the next."""


class Mark(NamedTuple):
    """``digits`` (bit d-1 is digit d) are in ``cells`` (bit i is cell i); as ints, for speed."""

    cells: int
    digits: int

    @property
    def is_set(self) -> bool:
        """True for as many digits as cells, False for one digit that is held to a few."""
        return self.digits.bit_count() > 1


class Marks:
    """The marks of one geometry: how to find them in a position, and what they leave of it."""

    def __init__(self, fields: BitLayout) -> None:
        self.fields = fields
        reaches = (fields.area_reach, fields.line_reach, fields.cell_reach)
        self.whole = Reach(
            sum(reach.bits for reach in reaches),
            sum(reach.guards for reach in reaches),
            sum(reach.lows for reach in reaches),
        )
        self._held_to = [
            (reach, [(slot.apart, _meets_of(fields, slot, reach)) for slot in slots])
            for reach, slots in (
                (fields.area_reach, fields.area_slots),
                (fields.line_reach, fields.line_slots),
            )
        ]
        self._keeps: dict[Mark, int] = {}

    def singles(self, bits: int) -> int:
        """The field bits of every placement that is seen: one digit, or one cell, left."""
        return alone(bits, self.whole, self.fields.size)

    def answerable(self, bits: int) -> int:
        """The guards of all fields with a bit: the cells with a digit, the digits with a cell.

        Only placements take a field from them, unless the grid has no solution.
        """
        return ((bits & self.whole.bits) + self.whole.bits) & self.whole.guards

    def keep(self, mark: Mark) -> int:
        """What a mark leaves: to hold it is to ``&`` the position with this."""
        kept = self._keeps.get(mark)
        if kept is None:
            if len(self._keeps) >= _REMEMBERED:
                self._keeps.clear()
            kept = self._keeps[mark] = self._kept(mark)
        return kept

    def hold(self, bits: int, marks: Iterable[Mark]) -> int:
        """What is seen with these marks held."""
        for mark in marks:
            bits &= self.keep(mark)
        return bits

    def planes(self, bits: int) -> list[int]:
        """For each digit, from 1 on, the cells in which it is seen."""
        fields = self.fields
        whole, count, every = bits >> fields.planes_at, fields.cell_count, fields.all_cells
        return [whole >> d * count & every for d in range(fields.size)]

    def open_cells(self, bits: int) -> int:
        """The cells of which any digit is seen."""
        found = 0
        for plane in self.planes(bits):
            found |= plane
        return found

    def find(self, bits: int) -> list[Mark]:
        """Every mark that can be found from what is seen and that changes it; the lightest first.

        Nothing may be left to place: a mark with a single cell is none.
        """
        return [mark for some in self.by_weight(bits) for mark in some]

    def by_weight(self, bits: int) -> Iterator[list[Mark]]:
        """The same in three helpings: one digit, two digits, three digits."""
        fields, planes = self.fields, self.planes(bits)
        yield self._useful(bits, self._single_digits(bits, planes))
        two = three = four = one = 0
        for plane in planes:
            four |= three & plane
            three |= two & plane
            two |= one & plane
            one |= plane
        few = {cell: self._digits(bits, cell) for cell in cells_in(two & ~four)}
        places = [
            (mask, [p if (p := plane & mask).bit_count() <= MOST else 0 for plane in planes])
            for mask in (fields.house_masks[h] for h in fields.fielded)
            if (one & mask).bit_count() > 2
        ]
        yield self._useful(bits, self._pairs(few, two & ~three, places))
        yield self._useful(bits, self._triples(few, places))

    def _useful(self, bits: int, found: dict[Mark, None]) -> list[Mark]:
        keep = self.keep
        return [mark for mark in found if bits & keep(mark) != bits]

    def _digits(self, bits: int, cell: int) -> int:
        fields = self.fields
        return bits >> fields.cells_at + cell * fields.width & (1 << fields.size) - 1

    def _single_digits(self, bits: int, planes: list[int]) -> dict[Mark, None]:
        """A digit whose cells in one house are two or three, all in a second house."""
        found: dict[Mark, None] = {}
        for reach, slots in self._held_to:
            here = bits & reach.bits
            filled = (here + reach.bits) & reach.guards
            for apart, meets in slots:
                held = filled & ~((here & apart) + reach.bits)
                while held:
                    guard = held & -held
                    held ^= guard
                    d, meet, rest = meets[guard.bit_length()]
                    if planes[d] & rest and (cells := planes[d] & meet).bit_count() <= MOST:
                        found[Mark(cells, 1 << d)] = None
        return found

    def _pairs(
        self, few: dict[int, int], twos: int, places: list[tuple[int, list[int]]]
    ) -> dict[Mark, None]:
        """Two cells of a house that hold two digits: naked, then hidden."""
        found: dict[Mark, None] = {}
        by_digits: dict[int, int] = {}
        for cell in cells_in(twos):
            by_digits[few[cell]] = by_digits.get(few[cell], 0) | 1 << cell
        peers = self.fields.peer_masks
        for digits, cells in by_digits.items():
            while cells:
                low = cells & -cells
                cells ^= low
                for other in cells_in(cells & peers[low.bit_length() - 1]):
                    found[Mark(low | 1 << other, digits)] = None
        for _, masks in places:
            first: dict[int, int] = {}
            for d, cells in enumerate(masks):
                if cells.bit_count() == 2:
                    if cells in first:
                        found[Mark(cells, 1 << first[cells] | 1 << d)] = None
                    first[cells] = d
        return found

    def _triples(
        self, few: dict[int, int], places: list[tuple[int, list[int]]]
    ) -> dict[Mark, None]:
        """Three cells of a house that hold three digits: naked, then hidden."""
        found: dict[Mark, None] = {}
        for mask in self.fields.house_masks:
            here = [(1 << cell, digits) for cell, digits in few.items() if mask >> cell & 1]
            for cells, digits in _threes(here):
                found[Mark(cells, digits)] = None
        for _, masks in places:
            here = [(1 << d, cells) for d, cells in enumerate(masks) if cells]
            for digits, cells in _threes(here):
                found[Mark(cells, digits)] = None
        return found

    def _kept(self, mark: Mark) -> int:
        fields, size, cells = self.fields, self.fields.size, cells_in(mark.cells)
        others = 0
        for house in fields.house_masks:
            if not mark.cells & ~house:
                others |= house
        gone, digits = 0, cells_in(mark.digits)
        for cell in cells_in(others & ~mark.cells):
            for d in digits:
                gone |= fields.spots[cell * size + d]
        if mark.is_set:
            for cell in cells:
                for d in range(size):
                    if not mark.digits >> d & 1:
                        gone |= fields.spots[cell * size + d]
        return fields.everything ^ gone


def marks_of(geometry: Geometry) -> Marks:
    """The marks of a geometry, made once."""
    return _marks_of(fields_of(geometry))


@lru_cache(maxsize=64)
def _marks_of(fields: BitLayout) -> Marks:
    return Marks(fields)


def _meets_of(fields: BitLayout, slot: Slot, reach: Reach) -> dict[int, tuple[int, int, int]]:
    """By guard (its bit length): the digit from 0, where it is held, and where it then leaves."""
    meets = {}
    for guard in cells_in(reach.guards):
        bit = guard - fields.size
        house = fields.house_at(bit)
        if house in slot.partner:
            own, other = fields.house_masks[house], fields.house_masks[slot.partner[house]]
            meets[guard + 1] = (fields.digit_at(bit) - 1, own & other, other & ~own)
    return meets


def _threes(sets: list[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Any three (name, mask) whose masks have three bits in all: (names, union)."""
    for i in range(len(sets) - 2):
        name, mask = sets[i]
        for j in range(i + 1, len(sets) - 1):
            two = mask | sets[j][1]
            if two.bit_count() > 3:
                continue
            for k in range(j + 1, len(sets)):
                three = two | sets[k][1]
                if three.bit_count() == 3:
                    yield name | sets[j][0] | sets[k][0], three
