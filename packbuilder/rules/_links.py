"""Marks on edges that bind two cells, such as dots: what one mark says, and a chain of them.

A *fit* is a symmetric relation of two digits; a *link* two cells that must fit. Links that share
cells make a *chain*, which says more than each of its links, for cells that see each other differ.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache, lru_cache
from itertools import combinations
from typing import NamedTuple

from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.rules import _words as words
from packbuilder.rules._masks import digits_of, partners, single
from packbuilder.rules.contract import Deduction, Sight

Fit = Callable[[int, int], bool]

LONGEST = 5
"""Cells of the longest piece of a chain that a person is taken to try out."""


class Link(NamedTuple):
    """A mark: two cells in reading order, what it asks of them, and its name: ``white dot``."""

    a: int
    b: int
    fit: Fit
    noun: str


@cache
def reach(size: int, fit: Fit) -> tuple[int, ...]:
    """For each mask of digits, the digits that fit at least one of them."""
    beside = partners(size, fit)
    table = [0] * (1 << size)
    for mask in range(1, 1 << size):
        table[mask] = table[mask & mask - 1] | beside[(mask & -mask).bit_length()]
    return tuple(table)


def components(edges: Iterable[tuple[int, int]]) -> list[list[tuple[int, int]]]:
    """The edges parted into those that hang together, each part sorted."""
    root: dict[int, int] = {}

    def find(cell: int) -> int:
        while root.setdefault(cell, cell) != cell:
            cell = root[cell]
        return cell

    known = sorted(edges)
    for a, b in known:
        root[find(b)] = find(a)
    parts: dict[int, list[tuple[int, int]]] = {}
    for a, b in known:
        parts.setdefault(find(a), []).append((a, b))
    return list(parts.values())


# One mark.


def across(link: Link, sight: Sight, technique: str, says: str) -> Iterator[Deduction]:
    """Digits on one side of a mark that fit none on the other. ``says``: ``they are consecutive``.

    Where both cells lose the same digits, as at the start of a solve, it is one deduction.
    """
    table = reach(sight.size, link.fit)
    first, second = sight.masks[link.a], sight.masks[link.b]
    lost_a, lost_b = first & ~table[second], second & ~table[first]
    if lost_a == lost_b and lost_a:
        yield _both(link, lost_a, sight, technique, says)
        return
    for here, there, lost in ((link.b, link.a, lost_a), (link.a, link.b, lost_b)):
        if lost:
            yield _over(link, here, there, lost, sight, technique, says)


def _both(link: Link, lost: int, sight: Sight, technique: str, says: str) -> Deduction:
    size, digits = sight.size, digits_of(lost)
    removes = tuple((cell, d) for cell in (link.a, link.b) for d in digits)

    def tell() -> str:
        return (
            f"{_a(link.noun)} joins {words.cells((link.a, link.b), size)}: {says}. On either "
            f"side, {words.digits(digits)} {'has' if len(digits) == 1 else 'have'} no partner. "
            f"{words.takes_out(removes, size)}"
        )

    return Deduction(technique, (link.a, link.b), digits, removes, tell)


def _over(
    link: Link, here: int, there: int, lost: int, sight: Sight, technique: str, says: str
) -> Deduction:
    """What ``here`` may be takes digits out of ``there``."""
    size, source = sight.size, digits_of(sight.masks[here])
    kept = digits_of(sight.masks[there] & ~lost)
    removes = tuple((there, d) for d in digits_of(lost))

    def tell() -> str:
        a, b = cell_name(here, size), cell_name(there, size)
        if len(source) <= 3 and kept:
            return (
                f"{a} is {words.digits(source, 'or')}, so {b} across the {link.noun} is "
                f"{words.digits(kept, 'or')}. {words.takes_out(removes, size)}"
            )
        return (
            f"{_a(link.noun)} joins {a} and {b}: {says}. No digit left in {a} goes with "
            f"{words.digits(digits_of(lost), 'or')}. {words.takes_out(removes, size)}"
        )

    return Deduction(technique, (here, there), source, removes, tell)


def _a(noun: str) -> str:
    return f"{'An' if noun[0] in 'aeioX' else 'A'} {noun}"


# A chain.


@lru_cache(maxsize=4096)
def paths(links: tuple[Link, ...]) -> tuple[tuple[int, ...], ...]:
    """Cells along two to LONGEST cells of a chain, short ones first, each in one direction only."""
    beside: dict[int, list[int]] = {}
    for link in links:
        beside.setdefault(link.a, []).append(link.b)
        beside.setdefault(link.b, []).append(link.a)
    found: list[tuple[int, ...]] = []
    layer: list[tuple[int, ...]] = [(cell,) for cell in sorted(beside)]
    for _ in range(LONGEST - 1):
        layer = [(*path, n) for path in layer for n in beside[path[-1]] if n not in path]
        found += [path for path in layer if path[0] < path[-1]]
    return tuple(found)


@lru_cache(maxsize=65536)
def fillings(
    fits: tuple[tuple[int, int, Fit], ...],
    differ: tuple[tuple[int, int], ...],
    masks: tuple[int, ...],
) -> tuple[tuple[int, ...], ...]:
    """Every way to fill some cells: ``fits`` and ``differ`` speak of positions in ``masks``."""
    rows: list[tuple[int, ...]] = [()]
    for k, mask in enumerate(masks):
        bound = [(i, fit) for i, j, fit in fits if j == k]
        unlike = [i for i, j in differ if j == k]
        rows = [
            (*row, d)
            for row in rows
            for d in digits_of(mask)
            if all(fit(row[i], d) for i, fit in bound) and all(row[i] != d for i in unlike)
        ]
    return tuple(rows)


class _Piece(NamedTuple):
    """Cells along a chain, the marks among them, and all the ways to fill them."""

    cells: tuple[int, ...]
    links: tuple[Link, ...]
    in_sight: bool
    ways: tuple[tuple[int, ...], ...]


def along(
    links: tuple[Link, ...], sight: Sight, chain: str, held: str, many: str
) -> Iterator[Deduction]:
    """What pieces of a chain say: technique ``chain`` inside it, ``held`` in cells that see it.

    ``many`` names its marks where they are not all alike: ``dots``.
    """
    for piece in _pieces(links, sight):
        if len(piece.cells) > 2:
            removes = _inside(piece, sight)
            if removes:
                yield _chain_step(piece, removes, sight, chain, many)
        always = sorted(set(piece.ways[0]).intersection(*piece.ways[1:]))
        struck = {d: hit for d in always if (hit := _outside(piece, d, sight))}
        if struck:
            removes = tuple(sorted(one for hit in struck.values() for one in hit))
            yield _held_step(piece, tuple(struck), removes, sight, held, many)


def _pieces(links: tuple[Link, ...], sight: Sight) -> Iterator[_Piece]:
    peers = sight.geometry.peers
    for cells in paths(links):
        masks = tuple(sight.masks[cell] for cell in cells)
        if all(map(single, masks)):
            continue
        place = {cell: k for k, cell in enumerate(cells)}
        among = tuple(link for link in links if link.a in place and link.b in place)
        fits = tuple((*sorted((place[link.a], place[link.b])), link.fit) for link in among)
        pairs = tuple(combinations(range(len(cells)), 2))
        differ = tuple((i, j) for i, j in pairs if cells[j] in peers[cells[i]])
        ways = fillings(fits, differ, masks)
        if ways:
            yield _Piece(cells, among, len(differ) == len(pairs), ways)


def _inside(piece: _Piece, sight: Sight) -> tuple[tuple[int, int], ...]:
    """Candidates of the piece's own cells that no way of filling it uses."""
    return tuple(
        (cell, d)
        for cell, used in zip(piece.cells, map(set, zip(*piece.ways, strict=True)), strict=True)
        for d in digits_of(sight.masks[cell])
        if d not in used
    )


def _outside(piece: _Piece, d: int, sight: Sight) -> tuple[tuple[int, int], ...]:
    """Cells that see every place of a digit which each way of filling the piece uses."""
    holders = {
        cell for way in piece.ways for cell, e in zip(piece.cells, way, strict=True) if e == d
    }
    if any(single(sight.masks[cell]) for cell in holders):
        return ()
    peers = sight.geometry.peers
    seen = frozenset.intersection(*(peers[cell] for cell in holders)) - set(piece.cells)
    return tuple((cell, d) for cell in sorted(seen) if sight.masks[cell] >> d - 1 & 1)


def _chain_step(
    piece: _Piece, removes: tuple[tuple[int, int], ...], sight: Sight, technique: str, many: str
) -> Deduction:
    size = sight.size

    def tell() -> str:
        where, marks = words.cells(piece.cells, size), _marks(piece.links, many)
        if piece.in_sight and all(link.noun == "white dot" for link in piece.links):
            return (
                f"White dots join {where}, and no digit comes twice among them: they are a run, "
                f"up or down. {words.takes_out(removes, size)}"
            )
        if len(piece.ways) <= 4:
            return (
                f"The {marks} between {where} leave only {_listed(piece.ways)} for them. "
                f"{words.takes_out(removes, size)}"
            )
        return (
            f"No way to fill {where} as the {marks} between them ask has "
            f"{words.in_cells(removes, size)}."
        )

    return Deduction(technique, piece.cells, _digits(piece.ways), removes, tell)


def _held_step(
    piece: _Piece,
    held: tuple[int, ...],
    removes: tuple[tuple[int, int], ...],
    sight: Sight,
    technique: str,
    many: str,
) -> Deduction:
    size = sight.size

    def tell() -> str:
        where, marks = words.cells(piece.cells, size), _marks(piece.links, many)
        s = "s" if len(piece.links) == 1 else ""
        digits = words.digits(held)
        among = f"one of them is {digits}" if len(held) == 1 else f"{digits} are among them"
        told = (
            f"The {marks} between {where} leave{s} only {_listed(piece.ways)} for them, so {among}."
            if len(piece.ways) <= 6
            else f"Every way to fill {where} as the {marks} between them ask{s} uses {digits}."
        )
        return f"{told} {words.takes_out(removes, size)}"

    return Deduction(technique, piece.cells, held, removes, tell)


def _marks(links: Sequence[Link], many: str) -> str:
    """``white dot``, ``white dots``, ``dots``."""
    nouns = {link.noun for link in links}
    if len(nouns) > 1:
        return many
    return links[0].noun if len(links) == 1 else f"{links[0].noun}s"


def _listed(ways: Sequence[Sequence[int]]) -> str:
    return words.listed(("-".join(SYMBOLS[d] for d in way) for way in ways), "or")


def _digits(ways: Sequence[Sequence[int]]) -> tuple[int, ...]:
    return tuple(sorted({d for way in ways for d in way}))
