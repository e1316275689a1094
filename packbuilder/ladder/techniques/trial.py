"""Trial: a position in which one candidate is tried, and what follows by singles.

It goes by waves: all singles that are open are placed at once, then each part of the puzzle's rules
whose cells have changed strikes what it can. It has failed where a cell has no digit left, or a
house no place for a digit, or where a part cannot hold any more.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from functools import lru_cache

from packbuilder.ladder.bit_layout import cells_in, mask_of
from packbuilder.ladder.board import Board, alone
from packbuilder.rules.contract import Part, Section

KEPT = 100_000
"""What parts left before, so often asked again when arguments are made shorter."""


class Trial:
    """A position to be played on, apart from its board. ``parts`` are those of the rules.

    ``bits`` are the candidates in their fields, ``need`` the guard bits of the fields in which one
    must be left; ``masks`` are the candidates cell by cell, for the parts (empty without parts).
    ``broken`` is a part that cannot hold any more.
    """

    __slots__ = (
        "_changed",
        "_known",
        "_reaches",
        "bits",
        "broken",
        "fields",
        "masks",
        "need",
        "parts",
    )

    def __init__(self, board: Board, parts: Sequence[Part] = ()) -> None:
        fields = self.fields = board.fields
        reach = fields.whole_reach
        self.parts = [section for part in parts for section in part.sections(fields.size)]
        self.bits = board.bits & reach.bits
        self.need = self.bits + reach.bits & reach.guards
        self.masks: list[int] = []
        self.broken: Section | None = None
        self._changed = 0
        self._known = _known(tuple(parts))
        self._reaches = [mask_of(p.cells) if p.cells else fields.all_cells for p in self.parts]
        if parts:
            self.masks = [
                1 << value - 1 if value else board.digits_of(cell)
                for cell, value in enumerate(board.values)
            ]

    def copy(self) -> Trial:
        """The same position, to be played on apart."""
        other = object.__new__(Trial)
        other.fields, other.parts = self.fields, self.parts
        other.bits, other.need, other.broken = self.bits, self.need, self.broken
        other.masks, other._changed = self.masks.copy(), self._changed
        other._reaches, other._known = self._reaches, self._known
        return other

    @property
    def failed(self) -> bool:
        """Whether it is seen that the position has no solution."""
        return self.broken is not None or bool(self.empty())

    def empty(self) -> int:
        """The guard bits of the fields in which none is left, and one must be."""
        return self.need & ~(self.bits + self.fields.whole_reach.bits)

    def place(self, key: int) -> None:
        """Write a candidate into its cell."""
        fields = self.fields
        self.bits &= fields.keep[key]
        self.need &= ~fields.guards_of[key]
        if self.masks:
            cell, d = divmod(key, fields.size)
            for peer in fields.geometry.peers[cell]:
                self.masks[peer] &= ~(1 << d)
            self.masks[cell] = 1 << d
            self._changed |= fields.peer_masks[cell] | 1 << cell

    def wave(self, *, singles: bool = True) -> list[int | Section]:
        """All singles, then all parts whose cells have changed: the keys and parts that moved."""
        moved: list[int | Section] = []
        for key in self.singles() if singles else ():
            if self.bits & self.fields.spots[key]:
                self.place(key)
                moved.append(key)
        touched, self._changed = self.touched(), 0
        for part, kept in [(part, self._pruned(part)) for part in touched]:
            if self._keep(part, kept):
                moved.append(part)
        return moved

    def touched(self) -> list[Section]:
        """The parts whose cells have changed since the last wave."""
        reaches = zip(self.parts, self._reaches, strict=True)
        return [part for part, reach in reaches if reach & self._changed]

    def strike(self, part: Section, only: Collection[int] | None = None) -> list[int]:
        """Let a part strike what it can (``only`` of these keys), and give the keys."""
        return self._keep(part, self._pruned(part), only)

    def _pruned(self, part: Section) -> tuple[int, ...] | None:
        """The candidates that a part leaves of its cells; None where it cannot hold."""
        masks, cells = self.masks, part.cells or range(self.fields.cell_count)
        before = tuple([masks[cell] for cell in cells])
        known = self._known.get((id(part), before), ())
        if known != ():
            return known
        if len(self._known) > KEPT:
            self._known.clear()
        left = self._known[id(part), before] = _left_by(part, cells, masks, self.fields.size)
        return left

    def _keep(
        self, part: Section, kept: tuple[int, ...] | None, only: Collection[int] | None = None
    ) -> list[int]:
        if kept is None:
            self.broken = part
            return [-1]
        fields, struck, masks = self.fields, [], self.masks
        for cell, mask in zip(part.cells or range(fields.cell_count), kept, strict=True):
            lost = masks[cell] & ~mask
            for d in cells_in(lost) if lost else ():
                key = cell * fields.size + d
                if only is None or key in only:
                    struck.append(key)
                    masks[cell] &= ~(1 << d)
                    self.bits &= ~fields.spots[key]
                    self._changed |= 1 << cell
        return struck

    def reason(self, key: int) -> int | None:
        """The house in which a candidate is a single, -1 if in its cell; None where it is none."""
        fields = self.fields
        alike = alone(self.bits, fields.whole_reach, fields.size) & fields.spots[key]
        return fields.house_at((alike & -alike).bit_length() - 1) if alike else None

    def singles(self) -> Iterator[int]:
        """The keys of all singles."""
        fields = self.fields
        pool = alone(self.bits, fields.whole_reach, fields.size)
        while pool:
            key = fields.key_at[pool.bit_length() - 1]
            pool &= ~fields.spots[key]
            yield key


def _left_by(
    part: Section, cells: Sequence[int], masks: list[int], size: int
) -> tuple[int, ...] | None:
    """What a part leaves of its cells when it has nothing more to strike."""
    left, before = masks.copy(), masks
    while True:
        if not part.prune(left, size) or not all(left[cell] for cell in cells):
            return None
        if left == before:
            return tuple([left[cell] for cell in cells])
        before = left.copy()


@lru_cache(maxsize=8)
def _known(parts: tuple[Part, ...]) -> dict[tuple[int, tuple[int, ...]], tuple[int, ...] | None]:
    """What parts left before, by part (its id, as it lives on in this cache) and candidates."""
    return {}
