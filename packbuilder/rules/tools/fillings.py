"""Ways: a line that can be filled in few ways, tried one by one.

What no way has on the line goes; so does, elsewhere, what every way rules out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache, partial

from packbuilder.grid import SYMBOLS
from packbuilder.rules.contract import Deduction, Part, Removes, Sight
from packbuilder.rules.tools.deducing import beyond, conclusion
from packbuilder.rules.tools.masks import bit, digits_of, single
from packbuilder.rules.tools.words import listed, number, takes_out

MOST = 12
"""Ways that a person is taken to try."""

_TOLD = 6
"""Ways that a sentence lists; of more it gives the number."""

Grows = Callable[[tuple[int, ...], int], bool]
"""Whether a digit may follow those in the cells before. The same rule, the same function."""


def few_ways(
    part: Part, technique: str, order: tuple[int, ...], grows: Grows, sight: Sight
) -> Iterator[Deduction]:
    """What the ways to fill a line say, if they are at most MOST.

    ``order`` are the part's cells in the order in which ``grows`` wants them.
    """
    rows = fillings(order, grows, sight)
    if not rows:
        return
    places = [order.index(cell) for cell in part.cells]
    ways = [tuple(row[k] for k in places) for row in rows]
    yield from _on_the_line(part, technique, ways, sight)
    if len(ways) > 1:
        yield from _elsewhere(part, technique, ways, sight)


def fillings(order: Sequence[int], grows: Grows, sight: Sight) -> tuple[tuple[int, ...], ...]:
    """All ways to fill the cells; none where there are more than MOST.

    Cells that see each other differ.
    """
    peers, masks = sight.geometry.peers, sight.masks
    if sum(not single(masks[cell]) for cell in order) < 2:
        return ()  # nothing to try
    apart = tuple(
        tuple([j for j in range(k) if order[j] in peers[cell]]) for k, cell in enumerate(order)
    )
    return _fill(tuple([masks[cell] for cell in order]), apart, grows)


@lru_cache(maxsize=1 << 14)
def _fill(
    masks: tuple[int, ...], apart: tuple[tuple[int, ...], ...], grows: Grows
) -> tuple[tuple[int, ...], ...]:
    """A solve asks again and again of lines on which nothing has moved."""
    found: list[tuple[int, ...]] = []

    def fill(row: tuple[int, ...]) -> None:
        k = len(row)
        if k == len(masks):
            found.append(row)
            return
        for d in digits_of(masks[k]):
            if all(row[j] != d for j in apart[k]) and grows(row, d):
                fill((*row, d))
                if len(found) > MOST:
                    return

    fill(())
    return tuple(found) if len(found) <= MOST else ()


def _on_the_line(
    part: Part, technique: str, ways: list[tuple[int, ...]], sight: Sight
) -> Iterator[Deduction]:
    kept = [0] * len(part.cells)
    for way in ways:
        kept = [mask | bit(d) for mask, d in zip(kept, way, strict=True)]
    wanted, tell = beyond(part.cells, kept, sight), partial(_tell, part, ways, sight.size)
    yield from conclusion(sight, technique, part.cells, wanted, tell, ())


def _elsewhere(
    part: Part, technique: str, ways: list[tuple[int, ...]], sight: Sight
) -> Iterator[Deduction]:
    """Every way has the digit in a cell that this one sees."""
    masks, peers, mine = sight.masks, sight.geometry.peers, set(part.cells)
    used = [bit(d) for d in set(ways[0]).intersection(*ways)]
    for mask in sorted(used):
        d = mask.bit_length()
        held = {
            frozenset(c for c, e in zip(part.cells, way, strict=True) if e == d) for way in ways
        }
        near = set[int]().union(*(peers[c] for c in next(iter(held)))) - mine
        places = [
            cell
            for cell in sorted(near)
            if masks[cell] & mask and all(peers[cell] & cells for cells in held)
        ]
        tell = partial(_tell_elsewhere, part, d, len(ways), sight.size)
        wanted = [(cell, mask) for cell in places]
        yield from conclusion(sight, technique, part.cells, wanted, tell, (d,))


def _tell(part: Part, ways: list[tuple[int, ...]], size: int, removes: Removes) -> str:
    name = part.name(size)
    if len(ways) == 1:
        start = f"The {name} can be filled in one way: {_way(ways[0])}"
    elif len(ways) > _TOLD:
        start = f"The {name} can be filled in {number(len(ways))} ways"
    else:
        told = listed((_way(way) for way in ways), "or")
        start = f"The {name} can be filled in {number(len(ways))} ways: {told}"
    return f"{start}. {takes_out(removes, size)}"


def _tell_elsewhere(part: Part, digit: int, count: int, size: int, removes: Removes) -> str:
    d, all_of_them = SYMBOLS[digit], "both" if count == 2 else "all of them"
    return (
        f"There are {number(count)} ways to fill the {part.name(size)}, and {d} is on it in "
        f"{all_of_them}; a cell that sees it each time cannot be {d}. {takes_out(removes, size)}"
    )


def _way(way: tuple[int, ...]) -> str:
    return "-".join(SYMBOLS[d] for d in way)
