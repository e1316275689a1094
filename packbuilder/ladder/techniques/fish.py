"""Fish: the places of one digit in n lines are held to n lines across.

Two lines make an X-wing, three a swordfish, four a jellyfish. Each of the n lines takes its digit
from another of the n across, so the rest of those lose it. A finned fish is one but for some places
more, its fins: either a fin holds the digit, or the fish is whole, and a cell that both ways rule
out loses the digit.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

from packbuilder.grid import Geometry
from packbuilder.ladder.bit_layout import BitLayout, cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cannot, cells, digit, digits_plural, labels, out_of
from packbuilder.ladder.find import Find, keys_of, part_by_part
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques import own_fish
from packbuilder.ladder.techniques.subsets import unions


class _Sheet(NamedTuple):
    """The grid with its rows, or else its columns, as the lines that are read.

    ``bases`` and ``covers`` are the houses of the lines and of those across; a `plane` of it has
    bit ``line * size + across`` for a cell; ``peers`` likewise, by that number.
    """

    bases: tuple[int, ...]
    covers: tuple[int, ...]
    peers: tuple[int, ...]
    turned: bool

    def plane(self, board: Board, d: int) -> int:
        """The places of a digit."""
        plane = board.planes()[d]
        return _turned(board.fields, plane) if self.turned else plane


@lru_cache(maxsize=1024)
def _turned(fields: BitLayout, plane: int) -> int:
    return fields.turned(plane)


def basic(board: Board, n: int) -> Iterator[Find]:
    """Every fish of n lines; where the grid has houses of its own, also those that they are in."""
    planes, size = board.planes(), board.fields.size

    def look(d: int) -> Iterator[Find]:
        for sheet in _sheets(board.fields):
            lines = list(enumerate(_lines(sheet.plane(board, d), size)))
            for chosen, across in unions(lines, n):
                bases = tuple(sheet.bases[i] for i in chosen)
                covers = tuple(sheet.covers[j] for j in cells_in(across))
                if find := _find(board, d, bases, covers, planes):
                    yield find

    yield from part_by_part(board, ("fish", n), planes, look)
    for fish in own_fish.basic(board, n):
        yield _of_own(board, fish)


def finned(board: Board, n: int) -> Iterator[Find]:
    """Every finned fish of n lines, also where a corner is missing beside the fin."""

    def look(d: int) -> Iterator[Find]:
        for sheet in _sheets(board.fields):
            yield from _finned(board, n, d, sheet)

    yield from part_by_part(board, ("finned", n), board.planes(), look)
    for fish in own_fish.finned(board, n):
        yield _of_own(board, fish)


def _finned(board: Board, n: int, d: int, sheet: _Sheet) -> Iterator[Find]:
    """Read from the cell that loses the digit: were it there, n lines would be left with fewer
    than n places across."""
    fields, size = board.fields, board.fields.size
    full = (1 << size) - 1
    plane = sheet.plane(board, d)
    lines = [(i, line) for i, line in enumerate(_lines(plane, size)) if line]
    if len(lines) <= n:
        return
    found: dict[tuple[tuple[int, ...], int], list[int]] = {}
    for cell in cells_in(plane):
        home, own = cell // size, 1 << cell % size
        rest = plane & ~sheet.peers[cell]
        left = [
            (i, line, some)
            for i, line in lines
            if i != home and (some := rest >> i * size & full).bit_count() < n
        ]
        if len(left) < n:
            continue
        for group in combinations(left, n):
            across = base = 0
            for _, line, some in group:
                across |= some
                base |= line
            if across.bit_count() < n and base & ~(across | own):
                chosen = tuple(i for i, _, _ in group)
                found.setdefault((chosen, across | own), []).append(cell)
    for (chosen, across), gone in found.items():
        bases = tuple(sheet.bases[i] for i in chosen)
        covers = tuple(sheet.covers[j] for j in cells_in(across))
        at = [_cell(cell, size, sheet.turned) for cell in gone]
        removes = tuple(sorted(cell * size + d - 1 for cell in at))
        places = board.planes()[d] & _union(fields.house_masks, bases)
        yield Find(cells_in(places), (d,), bases + covers, removes)


@lru_cache(maxsize=64)
def _sheets(fields: BitLayout) -> tuple[_Sheet, ...]:
    if not fields.rows or not fields.columns:
        return ()
    return (
        _Sheet(fields.rows, fields.columns, fields.peer_masks, False),
        _Sheet(fields.columns, fields.rows, fields.turned_peers, True),
    )


def _lines(plane: int, size: int) -> list[int]:
    full = (1 << size) - 1
    return [plane >> k & full for k in range(0, size * size, size)]


def _cell(number: int, size: int, turned: bool) -> int:
    return number % size * size + number // size if turned else number


def _find(
    board: Board, d: int, bases: tuple[int, ...], covers: tuple[int, ...], planes: list[int]
) -> Find | None:
    masks, size = board.fields.house_masks, board.fields.size
    base = _union(masks, bases)
    removes = keys_of(_union(masks, covers) & ~base, (d,), planes, size)
    if not removes:
        return None
    return Find(cells_in(planes[d] & base), (d,), bases + covers, removes)


def _of_own(board: Board, fish: own_fish.OwnFish) -> Find:
    masks, planes = board.fields.house_masks, board.planes()
    places = planes[fish.digit] & _union(masks, fish.bases)
    removes = keys_of(fish.gone, (fish.digit,), planes, board.fields.size)
    return Find(cells_in(places), (fish.digit,), fish.bases + fish.covers, removes)


def _union(masks: tuple[int, ...], houses: tuple[int, ...]) -> int:
    whole = 0
    for h in houses:
        whole |= masks[h]
    return whole


def tell(step: Step, geometry: Geometry) -> str:
    """The words of a fish without fins."""
    bases, covers, _ = parts(step, geometry)
    d = step.digits[0]
    across = labels(covers, geometry)
    return (
        f"In {labels(bases, geometry)}, the {digits_plural(d)} are held to {across}, one in each, "
        f"so no other cell of {across} can be {digit(d)}. {out_of(step, geometry.size)}"
    )


def tell_finned(step: Step, geometry: Geometry) -> str:
    """The words of a finned fish."""
    bases, covers, fins = parts(step, geometry)
    d, size = step.digits[0], geometry.size
    lines, across = labels(bases, geometry), labels(covers, geometry)
    gone = sorted({cell for cell, _ in step.removes})
    see = "it sees" if len(gone) == 1 else "both see" if len(gone) == 2 else "they all see"
    none = "if not" if len(fins) == 1 else "if neither is" if len(fins) == 2 else "if none is"
    kinds = {geometry.houses[h].kind for h in covers}
    there = f"of those {kinds.pop()}s" if len(kinds) == 1 else "there"
    return (
        f"In {lines}, the {digits_plural(d)} are held to {across}, but for {cells(fins, size)}. "
        f"If {cells(fins, size, 'or')} is {digit(d)}, {cannot(gone, '', size)}, as {see} "
        f"{cells(fins, size)}; {none}, the {digits_plural(d)} of {lines} take {across}, so no "
        f"other cell {there} can be {digit(d)}. {out_of(step, size)}"
    )


def bases_of(step: Step, geometry: Geometry) -> tuple[int, ...]:
    """The houses of a fish that hold its digit: those told first, until they have all its cells."""
    held: set[int] = set()
    for count, h in enumerate(step.houses):
        if set(step.cells) <= held:
            return step.houses[:count]
        held |= set(geometry.houses[h].cells)
    return step.houses


def parts(
    step: Step, geometry: Geometry
) -> tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]:
    """(bases, covers, fins) of a fish."""
    bases = bases_of(step, geometry)
    covers = step.houses[len(bases) :]
    covered = {cell for h in covers for cell in geometry.houses[h].cells}
    return bases, covers, tuple(cell for cell in step.cells if cell not in covered)
