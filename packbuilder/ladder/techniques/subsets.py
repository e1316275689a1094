"""Subsets: n cells and n digits of one house that belong together.

Naked: n cells hold n digits between them, so the rest of the house loses those digits. Hidden: n
digits fit only in n cells, so those cells lose all else. Locked: a naked one whose cells share two
houses, both of which it clears.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.grid import Geometry
from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digits, labels, number, out_of
from packbuilder.ladder.find import Find, keys_of, part_by_part
from packbuilder.ladder.step import Step


def locked(board: Board, n: int) -> Iterator[Find]:
    """Naked subsets of n cells within the meet of two houses."""
    fields, bits = board.fields, board.bits
    masks = [meet.mask for meet in fields.meets]
    return _naked(board, ("locked", n), n, masks, [bits & own for own in fields.meet_bits])


def naked(board: Board, n: int) -> Iterator[Find]:
    """Naked subsets of n cells, in any house."""
    fields, bits = board.fields, board.bits
    houses = zip(fields.cell_bits, board.left, strict=True)
    parts = [bits & own if left > n else 0 for own, left in houses]
    return _naked(board, ("naked", n), n, fields.house_masks, parts)


def hidden(board: Board, n: int) -> Iterator[Find]:
    """Hidden subsets of n digits, in any house that must hold every digit."""
    fields, planes, bits = board.fields, board.planes(), board.bits
    everything = range(1, fields.size + 1)

    def look(k: int) -> Iterator[Find]:
        h = fields.fielded[k]
        mask = fields.house_masks[h]
        for ds, where in unions([(d, planes[d] & mask) for d in everything], n):
            others = [d for d in everything if d not in ds]
            if removes := keys_of(where, others, planes, fields.size):
                yield Find(cells_in(where), ds, (h,), removes)

    left, own = board.left, fields.house_bits
    parts = [bits & own[h] if left[h] > n else 0 for h in fields.fielded]
    return part_by_part(board, ("hidden", n), parts, look)


def unions(sets: Sequence[tuple[int, int]], n: int) -> Iterator[tuple[tuple[int, ...], int]]:
    """Every choice of n of the (name, mask) sets whose union has exactly n bits.

    Gives (names, union). Empty sets take no part.
    """
    small = [(name, mask) for name, mask in sets if 0 < mask.bit_count() <= n]

    def grow(
        start: int, names: tuple[int, ...], union: int
    ) -> Iterator[tuple[tuple[int, ...], int]]:
        if len(names) == n:
            if union.bit_count() == n:
                yield names, union
            return
        for k in range(start, len(small) - n + len(names) + 1):
            name, mask = small[k]
            if (union | mask).bit_count() <= n:
                yield from grow(k + 1, (*names, name), union | mask)

    return grow(0, (), 0)


def at_most(planes: list[int], n: int) -> int:
    """The cells with 1 to n candidates: planes are counted like falling bricks, level by level."""
    levels = [0] * (n + 2)
    for plane in planes:
        for k in range(n + 1, 1, -1):
            levels[k] |= levels[k - 1] & plane
        levels[1] |= plane
    return levels[1] & ~levels[n + 1]


def _naked(
    board: Board, asker: object, n: int, places: Sequence[int], parts: Sequence[int]
) -> Iterator[Find]:
    fields, planes = board.fields, board.planes()
    few = at_most(planes, n)
    done = set()

    def look(k: int) -> Iterator[Find]:
        here = few & places[k]
        if here.bit_count() < n:
            return
        for group, union in unions([(i, board.digits_of(i)) for i in cells_in(here)], n):
            if group in done:
                continue
            done.add(group)
            ds = tuple(d + 1 for d in cells_in(union))
            houses = _shared(board, group)
            clear = 0
            for h in houses:
                clear |= fields.house_masks[h]
            for cell in group:
                clear &= ~(1 << cell)
            if removes := keys_of(clear, ds, planes, fields.size):
                yield Find(group, ds, houses, removes)

    return part_by_part(board, asker, parts, look)


def _shared(board: Board, group: tuple[int, ...]) -> tuple[int, ...]:
    """The houses that contain all these cells."""
    houses_of = board.fields.geometry.houses_of
    return tuple(h for h in houses_of[group[0]] if all(h in houses_of[cell] for cell in group[1:]))


def tell_naked(step: Step, geometry: Geometry) -> str:
    """The words of a naked or locked subset."""
    size = geometry.size
    them = cells(step.cells, size)
    between = f"hold {digits(step.digits)} between them"
    no_other = f"can be {digits(step.digits, 'or')}. {out_of(step, size)}"
    where = labels(step.houses, geometry)
    if len(step.houses) == 1:
        return f"In {where}, {them} {between}, so no other cell of {where} {no_other}"
    either = "either" if len(step.houses) == 2 else "these"
    return f"{them} {between}. They lie in {where}, so no other cell of {either} {no_other}"


def tell_hidden(step: Step, geometry: Geometry) -> str:
    """The words of a hidden subset."""
    size = geometry.size
    return (
        f"In {labels(step.houses, geometry)}, {digits(step.digits)} fit only in "
        f"{cells(step.cells, size)}, so those {number(len(step.cells))} cells can be nothing else. "
        f"{out_of(step, size)}"
    )
