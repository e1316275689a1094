"""Marks on edges that bind two cells, such as dots: what one mark says.

A *fit* is a symmetric relation of two digits; a *link* two cells that must fit. Links that share
cells make a chain, which says more (`edge_chains`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cache, partial
from typing import NamedTuple

from packbuilder.grid import cell_name
from packbuilder.rules.contract import Deduction, Removes, Sight
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.deducing import conclusion
from packbuilder.rules.tools.masks import digits_of, partners

Fit = Callable[[int, int], bool]


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


def link_deductions(link: Link, sight: Sight, technique: str, says: str) -> Iterator[Deduction]:
    """Digits on one side of a mark that fit none on the other. ``says``: ``they are consecutive``.

    Where both cells lose the same digits, as at the start of a solve, it is one deduction.
    """
    table = reach(sight.size, link.fit)
    first, second = sight.masks[link.a], sight.masks[link.b]
    lost_a, lost_b = first & ~table[second], second & ~table[first]
    size, cells = sight.size, (link.a, link.b)
    if lost_a == lost_b:
        tell = partial(_tell_both, link, says, size)
        yield from conclusion(sight, technique, cells, [(c, lost_a) for c in cells], tell)
        return
    for here, there, lost in ((link.b, link.a, lost_a), (link.a, link.b, lost_b)):
        source, kept = digits_of(sight.masks[here]), digits_of(sight.masks[there] & ~lost)
        tell = partial(_tell_across, link, says, (source, kept), size)
        yield from conclusion(sight, technique, (here, there), [(there, lost)], tell, source)


def _tell_both(link: Link, says: str, size: int, removes: Removes) -> str:
    digits = sorted({d for _, d in removes})
    return (
        f"{_a(link.noun)} joins {words.cells((link.a, link.b), size)}: {says}. On either side, "
        f"{words.digits(digits)} {'has' if len(digits) == 1 else 'have'} no partner. "
        f"{words.takes_out(removes, size)}"
    )


def _tell_across(
    link: Link,
    says: str,
    digits: tuple[tuple[int, ...], tuple[int, ...]],
    size: int,
    removes: Removes,
) -> str:
    """What one cell may be takes digits out of the other, and leaves it some."""
    (source, kept), ((there, _), *_) = digits, removes
    a, b = (cell_name(cell, size) for cell in (link.a if there == link.b else link.b, there))
    takes = words.takes_out(removes, size)
    if len(source) <= 3:
        return (
            f"{a} is {words.digits(source, 'or')}, so {b} across the {link.noun} is "
            f"{words.digits(kept, 'or')}. {takes}"
        )
    return (
        f"{_a(link.noun)} joins {a} and {b}: {says}. No digit left in {a} goes with "
        f"{words.digits((d for _, d in removes), 'or')}. {takes}"
    )


def _a(noun: str) -> str:
    return f"{'An' if noun[0] in 'aeioX' else 'A'} {noun}"
