"""Fields: how a whole position is laid out in one Python int, worked out once per geometry.

Every question of a solve is a *field*: "where in block 3 can the 5 go?" or "what can r1c1 be?".
A field is as many bits as the grid has digits, and one guard bit above them that is always 0 at
rest. All fields lie side by side in one int, so that one ``&`` places a digit everywhere at once
and a few operations find every field with a single bit left: every hidden and naked single::

     lowest bits                                                           highest bits
    | area x digit | area x digit | ... | line x digit | ... | cell | cell | ... | planes |
      `-- g876543210: bit p = the house's cell p can be that digit
                          bit d-1 of a cell's field = the cell can be digit d --'

*Areas* are blocks and irregular regions; *lines* are all other houses that hold every digit. A
house of fewer cells than digits has no fields, for a digit may be missing from it. *Planes* repeat
the candidates once more, for techniques that follow one digit over the grid: bit i of plane d says
that cell i is open and may be d. A *key* numbers a candidate: ``cell * size + digit - 1``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import combinations

from packbuilder.grid import Geometry

AREA_KINDS = frozenset({"block", "region"})
"""House kinds that the eye takes in as one patch: hidden singles show there first."""


class _Lazy(dict[int, int]):
    """Masks by key, each worked out when it is first asked for."""

    def __init__(self, make: Callable[[int], int]) -> None:
        self.make = make

    def __missing__(self, key: int) -> int:
        mask = self[key] = self.make(key)
        return mask


@dataclass(frozen=True)
class Reach:
    """Some of the fields: all their bits, their guard bits, and the lowest bit of each."""

    bits: int
    guards: int
    lows: int


@dataclass(frozen=True)
class Meet:
    """Two houses that share two cells or more, neither inside the other; ``mask`` is the meet."""

    first: int
    second: int
    mask: int


@dataclass(frozen=True, eq=False)
class Slot:
    """For the question "is a digit of this house held to that meet?", asked of all houses at once.

    Each house has one partner in a slot; ``apart`` are the field bits outside the two's meet.
    """

    apart: int
    partner: dict[int, int]


class BitLayout:
    """The layout of a position for one geometry, and every mask that moves on it need.

    ``house_masks`` and ``peer_masks`` are cell masks (bit i is cell i). ``spots[key]`` are all bits
    of one candidate; ``keep[key]`` what is left of a position once it is placed. ``stay[key]`` are
    the candidates in the same area or of the same digit, ``near[key]`` those a glance away.
    ``common_peers[mask]`` are the cells that see every cell of a mask.
    ``sight[bits]`` are the candidates, as bits of the planes laid end to end, that cannot be true
    where one of these is: candidates of one digit, given likewise.
    """

    def __init__(self, geometry: Geometry) -> None:
        self.geometry = geometry
        self.size = size = geometry.size
        self.width = width = size + 1
        self.cell_count = count = geometry.cell_count
        self.all_cells = (1 << count) - 1
        self.house_masks = tuple(mask_of(house.cells) for house in geometry.houses)
        self.peer_masks = tuple(mask_of(peers) for peers in geometry.peers)
        self.areas, self.lines = _sorted_houses(geometry)
        self.fielded = self.areas + self.lines
        self.rows = _along(geometry, "row", self.lines)
        self.columns = _along(geometry, "column", self.lines)
        self.span = size * width
        self.lines_at = len(self.areas) * self.span
        self.cells_at = len(self.fielded) * self.span
        self.planes_at = self.cells_at + count * width
        self.key_at = [0] * self.planes_at
        self.spots = self._spots()
        self.everything = _union(self.spots)
        self.keep = _Lazy(self._keep)
        self.stay = _Lazy(self._stay)
        self.near = _Lazy(self._near)
        self.sight = _Lazy(self._sight)
        self.common_peers = _Lazy(self._common_peers)
        self._zones = _Lazy(lambda mask: _union(self.spots[key] for key in self._keys_in(mask)))
        self.area_reach = self._reach(0, self.lines_at)
        self.line_reach = self._reach(self.lines_at, self.cells_at)
        self.cell_reach = self._reach(self.cells_at, self.planes_at)
        self.house_bits = {
            h: self._reach(s * self.span, (s + 1) * self.span).bits
            for s, h in enumerate(self.fielded)
        }
        self.meets = _meets(self.house_masks)
        self.area_slots = self._slots(self.areas, self.area_reach)
        self.line_slots = self._slots(self.lines, self.line_reach)

    @cached_property
    def whole_reach(self) -> Reach:
        """All fields."""
        return self._reach(0, self.planes_at)

    @cached_property
    def guards_of(self) -> tuple[int, ...]:
        """For each key the guard bits of the fields in which its candidate stands."""
        low, width, size = (1 << self.planes_at) - 1, self.width, self.size
        fields = ([bit // width for bit in cells_in(spots & low)] for spots in self.spots)
        return tuple(_union(1 << at * width + size for at in found) for found in fields)

    @cached_property
    def cell_bits(self) -> tuple[int, ...]:
        """For each house the field bits of its cells."""
        return tuple(self._zones[mask] & self.cell_reach.bits for mask in self.house_masks)

    @cached_property
    def meet_bits(self) -> tuple[int, ...]:
        """For each meet the field bits of its cells."""
        return tuple(self._zones[meet.mask] & self.cell_reach.bits for meet in self.meets)

    @cached_property
    def meets_of(self) -> dict[int, list[int]]:
        """For each house that holds every digit, its meets with others, as cell masks."""
        return {
            h: [meet.mask for meet in self.meets if h in (meet.first, meet.second)]
            for h in self.fielded
        }

    @cached_property
    def turned_peers(self) -> tuple[int, ...]:
        """``peer_masks`` of the grid mirrored in its falling diagonal: rows are columns there."""
        return tuple(
            self.turned(self.peer_masks[self._mirror(cell)]) for cell in range(self.cell_count)
        )

    def turned(self, mask: int) -> int:
        """A cell mask mirrored in the falling diagonal."""
        return mask_of(map(self._mirror, cells_in(mask)))

    def _mirror(self, cell: int) -> int:
        return cell % self.size * self.size + cell // self.size

    def plane_bit(self, key: int) -> int:
        """A candidate as a bit of the planes laid end to end."""
        cell, d = divmod(key, self.size)
        return 1 << d * self.cell_count + cell

    def house_at(self, bit: int) -> int:
        """The house that a field bit belongs to, or -1 for a cell's field."""
        return self.fielded[bit // self.span] if bit < self.cells_at else -1

    def digit_at(self, bit: int) -> int:
        """The digit that a house's field bit is about."""
        return bit // self.width % self.size + 1

    def _reach(self, start: int, stop: int) -> Reach:
        lows = sum(1 << at for at in range(start, stop, self.width))
        return Reach(lows * ((1 << self.size) - 1), lows << self.size, lows)

    def _spots(self) -> list[int]:
        size, width, count = self.size, self.width, self.cell_count
        spots = [0] * (count * size)
        for cell in range(count):
            for d in range(size):
                key = cell * size + d
                at = self.cells_at + cell * width + d
                self.key_at[at] = key
                spots[key] = 1 << at | 1 << self.planes_at + d * count + cell
        for s, h in enumerate(self.fielded):
            for place, cell in enumerate(self.geometry.houses[h].cells):
                for d in range(size):
                    at = (s * size + d) * width + place
                    self.key_at[at] = cell * size + d
                    spots[cell * size + d] |= 1 << at
        return spots

    def _keep(self, key: int) -> int:
        cell, d = divmod(key, self.size)
        gone = _union(self.spots[cell * self.size + e] for e in range(self.size))
        gone |= _union(self.spots[peer * self.size + d] for peer in self.geometry.peers[cell])
        return self.everything ^ gone

    def _stay(self, key: int) -> int:
        cell, d = divmod(key, self.size)
        digit = _union(self.spots[i * self.size + d] for i in range(self.cell_count))
        return self._zones[self._home(cell)] | digit

    def _near(self, key: int) -> int:
        cell, shape = key // self.size, self.geometry.shape
        if shape is None:
            return self._zones[self.peer_masks[cell] | 1 << cell]
        band, stack = cell // self.size // shape[0], cell % self.size // shape[1]
        return self._zones[
            mask_of(
                i
                for i in range(self.cell_count)
                if i // self.size // shape[0] == band or i % self.size // shape[1] == stack
            )
        ]

    def _sight(self, bits: int) -> int:
        count = self.cell_count
        d = (bits.bit_length() - 1) // count
        mask = bits >> d * count
        own = _union(mask << e * count for e in range(self.size) if e != d)
        return self.common_peers[mask] << d * count | (0 if mask & (mask - 1) else own)

    def _common_peers(self, mask: int) -> int:
        seen = self.all_cells
        for cell in cells_in(mask):
            seen &= self.peer_masks[cell]
        return seen

    def _home(self, cell: int) -> int:
        """The area of a cell; in a grid without areas, its row and its column."""
        areas = [self.house_masks[h] for h in self.areas if self.house_masks[h] >> cell & 1]
        return areas[0] if areas else self.peer_masks[cell] | 1 << cell

    def _keys_in(self, mask: int) -> Iterable[int]:
        return (i * self.size + d for i in cells_in(mask) for d in range(self.size))

    def _slots(self, houses: tuple[int, ...], reach: Reach) -> tuple[Slot, ...]:
        partners: dict[int, list[Meet]] = {h: [] for h in houses}
        for meet in self.meets:
            for h in (meet.first, meet.second):
                if h in partners:
                    partners[h].append(meet)
        slots = []
        for j in range(max(map(len, partners.values()), default=0)):
            held, partner = 0, {}
            for h, meets in partners.items():
                if j < len(meets):
                    keys = self._keys_in(meets[j].mask)
                    held |= _union(self.spots[key] for key in keys) & self.house_bits[h]
                    partner[h] = meets[j].first + meets[j].second - h
            slots.append(Slot(reach.bits ^ held, partner))
        return tuple(slots)


def cells_in(mask: int) -> tuple[int, ...]:
    """The set bits of a mask, lowest first."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return tuple(found)


def mask_of(cells: Iterable[int]) -> int:
    """The mask with these bits set."""
    return _union(1 << cell for cell in cells)


def fields_of(geometry: Geometry) -> BitLayout:
    """The layout of a geometry, made once."""
    # Hashing a geometry costs as much as half a solve: look first whether it is the very object
    # that was asked about last.
    global _last
    if _last is None or _last[0] is not geometry:
        _last = geometry, _fields_of(geometry)
    return _last[1]


_last: tuple[Geometry, BitLayout] | None = None


@lru_cache(maxsize=64)
def _fields_of(geometry: Geometry) -> BitLayout:
    return BitLayout(geometry)


def _sorted_houses(geometry: Geometry) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The houses that hold every digit: (areas, lines)."""
    areas: list[int] = []
    lines: list[int] = []
    for h, house in enumerate(geometry.houses):
        if len(house.cells) == geometry.size:
            (areas if house.kind in AREA_KINDS else lines).append(h)
    return tuple(areas), tuple(lines)


def _along(geometry: Geometry, kind: str, lines: tuple[int, ...]) -> tuple[int, ...]:
    """The rows or the columns, in order."""
    found = [h for h in lines if geometry.houses[h].kind == kind]
    return tuple(sorted(found, key=lambda h: min(geometry.houses[h].cells)))


def _meets(masks: tuple[int, ...]) -> tuple[Meet, ...]:
    return tuple(
        Meet(a, b, both)
        for a, b in combinations(range(len(masks)), 2)
        if (both := masks[a] & masks[b]).bit_count() >= 2 and both not in (masks[a], masks[b])
    )


def _union(masks: Iterable[int]) -> int:
    whole = 0
    for mask in masks:
        whole |= mask
    return whole
