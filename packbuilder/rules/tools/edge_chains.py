"""Chains of marks on edges: what two to five cells that hang together can be between them.

Marks that share cells say more together than each alone, for cells that see each other differ.
A *piece* is some cells along a chain; all ways to fill it are tried, as a person would.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache, partial
from itertools import combinations
from operator import ne
from typing import NamedTuple

from packbuilder.grid import SYMBOLS, Geometry
from packbuilder.rules.contract import Deduction, Removes, Sight
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.deducing import beyond, conclusion
from packbuilder.rules.tools.edge_links import Link
from packbuilder.rules.tools.masks import bit, digits_of, mask_of, partners, single

LONGEST = 5
"""Cells of the longest piece of a chain that a person is taken to try out."""


Ways = tuple[tuple[int, ...], ...]
"""Ways to fill the cells of a piece, each with a digit a cell."""


class Facts(NamedTuple):
    """What follows from every way to fill a piece: digits in use by cell, and digits held.

    ``used`` are masks; ``held`` are (digit, cells that see all its places).
    """

    ways: Ways
    used: tuple[int, ...]
    held: tuple[tuple[int, tuple[int, ...]], ...]


class Piece:
    """Cells along a chain, and the marks among them, in one geometry."""

    def __init__(self, cells: tuple[int, ...], links: Sequence[Link], geometry: Geometry) -> None:
        place = {cell: k for k, cell in enumerate(cells)}
        self.cells, self._peers, size = cells, geometry.peers, geometry.size
        self.links = tuple(link for link in links if link.a in place and link.b in place)
        # For each cell, what the earlier ones ask of it: (place, digit -> mask that fits).
        self._asks: list[list[tuple[int, tuple[int, ...]]]] = [[] for _ in cells]
        for link in self.links:
            first, last = sorted((place[link.a], place[link.b]))
            self._asks[last].append((first, partners(size, link.fit)))
        pairs = list(combinations(range(len(cells)), 2))
        apart = [(i, j) for i, j in pairs if cells[j] in geometry.peers[cells[i]]]
        for first, last in apart:
            self._asks[last].append((first, partners(size, ne)))
        self.in_sight = len(apart) == len(pairs)
        self._known: dict[tuple[int, ...], Facts | None] = {}

    def facts(self, masks: tuple[int, ...]) -> Facts | None:
        """What its cells' candidates allow; None where all are placed, or nothing fits."""
        if masks not in self._known:
            self._known[masks] = None if all(map(single, masks)) else self._facts(masks)
        return self._known[masks]

    def _facts(self, masks: tuple[int, ...]) -> Facts | None:
        ways = self._fill(masks)
        if not ways:
            return None
        used = tuple(mask_of(column) for column in zip(*ways, strict=True))
        held = []
        for d in sorted(set(ways[0]).intersection(*ways[1:])):
            holders = [cell for cell, mask in zip(self.cells, used, strict=True) if mask & bit(d)]
            if len(holders) > 1:  # one alone is as good as placed
                seen = frozenset.intersection(*(self._peers[cell] for cell in holders))
                held.append((d, tuple(sorted(seen - set(self.cells)))))
        return Facts(tuple(ways), used, tuple(held))

    def _fill(self, masks: tuple[int, ...]) -> list[tuple[int, ...]]:
        """Every way to fill the cells."""
        rows: list[tuple[int, ...]] = [()]
        for mask, asks in zip(masks, self._asks, strict=True):
            longer = []
            for row in rows:
                left = mask
                for k, fitting in asks:
                    left &= fitting[row[k]]
                longer += [(*row, d) for d in digits_of(left)]
            rows = longer
        return rows


class _Pieces:
    """The pieces of one chain, kept for the geometry that was asked about last.

    Which is told by identity: to compare two geometries costs more than to make the pieces.
    """

    def __init__(self, links: tuple[Link, ...]) -> None:
        self._links = links
        self._geometry: Geometry | None = None
        self._pieces: tuple[Piece, ...] = ()

    def of(self, geometry: Geometry) -> tuple[Piece, ...]:
        if geometry is not self._geometry:
            self._geometry = geometry
            self._pieces = tuple(Piece(c, self._links, geometry) for c in _paths(self._links))
        return self._pieces


_pieces = lru_cache(maxsize=256)(_Pieces)


def _paths(links: tuple[Link, ...]) -> list[tuple[int, ...]]:
    """Two to LONGEST cells along a chain, short ones first, each in one direction only."""
    beside: dict[int, list[int]] = {}
    for link in links:
        beside.setdefault(link.a, []).append(link.b)
        beside.setdefault(link.b, []).append(link.a)
    found: list[tuple[int, ...]] = []
    layer: list[tuple[int, ...]] = [(cell,) for cell in sorted(beside)]
    for _ in range(LONGEST - 1):
        layer = [(*path, n) for path in layer for n in beside[path[-1]] if n not in path]
        found += [path for path in layer if path[0] < path[-1]]
    return found


def chain_deductions(
    links: tuple[Link, ...], sight: Sight, chain: str, held: str, many: str
) -> Iterator[Deduction]:
    """What pieces of a chain say: technique ``chain`` inside it, ``held`` in cells that see it.

    ``many`` names its marks where they are not all alike: ``dots``.
    """
    masks = sight.masks
    for piece in _pieces(links).of(sight.geometry):
        facts = piece.facts(tuple([masks[cell] for cell in piece.cells]))
        if facts is None:
            continue
        cells, ways, size = piece.cells, facts.ways, sight.size
        if len(cells) > 2:
            digits = tuple(sorted({d for way in ways for d in way}))
            tell = partial(_tell_chain, piece, ways, size, many)
            wanted = beyond(cells, facts.used, sight)
            yield from conclusion(sight, chain, cells, wanted, tell, digits)
        gone = {d: [c for c in seen if masks[c] & bit(d)] for d, seen in facts.held}
        if digits := tuple(d for d, hit in gone.items() if hit):
            tell = partial(_tell_held, piece, ways, digits, size, many)
            wanted = [(cell, bit(d)) for d in digits for cell in gone[d]]
            yield from conclusion(sight, held, cells, wanted, tell, digits)


def _tell_chain(piece: Piece, ways: Ways, size: int, many: str, removes: Removes) -> str:
    where, marks = words.cells(piece.cells, size), _marks(piece.links, many)
    takes = words.takes_out(removes, size)
    if piece.in_sight and all(link.noun == "white dot" for link in piece.links):
        return (
            f"White dots join {where}, and no digit comes twice among them: they are a run, up or "
            f"down. {takes}"
        )
    if len(ways) <= 4:
        return f"The {marks} between {where} leave only {_listed(ways)} for them. {takes}"
    lost = words.in_cells(removes, size)
    return f"No way to fill {where} as the {marks} between them ask has {lost}."


def _tell_held(
    piece: Piece, ways: Ways, held: tuple[int, ...], size: int, many: str, removes: Removes
) -> str:
    where, marks = words.cells(piece.cells, size), _marks(piece.links, many)
    s = "s" if len(piece.links) == 1 else ""
    digits, takes = words.digits(held), words.takes_out(removes, size)
    if len(ways) > 6:
        return (
            f"Every way to fill {where} as the {marks} between them ask{s} uses {digits}. {takes}"
        )
    among = f"one of them is {digits}" if len(held) == 1 else f"{digits} are among them"
    only = f"leave{s} only {_listed(ways)} for them, so {among}"
    return f"The {marks} between {where} {only}. {takes}"


def _marks(links: Sequence[Link], many: str) -> str:
    """``white dot``, ``white dots``, ``dots``."""
    nouns = {link.noun for link in links}
    if len(nouns) > 1:
        return many
    return links[0].noun if len(links) == 1 else f"{links[0].noun}s"


def _listed(ways: Sequence[Sequence[int]]) -> str:
    return words.listed(("-".join(SYMBOLS[d] for d in way) for way in ways), "or")
