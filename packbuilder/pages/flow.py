"""Flow: how blocks are parted over pages, columns and rows, by arithmetic alone.

No line of a paragraph stands alone, no heading without its text; and the last two pages are evened
out, so that no page has but one thing at its head.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from packbuilder.pages.blocks import Block, split

LEAST = 0.3
"""The share of a page that the last one of running text is filled to, where the one before can
spare it."""

_HALF, _EARLIER = 0.5, 0.02
"""Of pages of rows: the share of each of the last two that may stay bare as if it were filled; and
how much worse the same white is a page earlier."""

_OVER = 0.01
"""Points: so much more than a page holds is not too much; what is added up is a little off."""

_STEPS = 24
"""In so many steps the page before is shortened, to half of its height at most."""

Rooms = tuple[float, float]
"""The heights of the first page and of every later one."""

Fail = Callable[[float], Exception]
"""The error for something that is higher than a page."""


def paged(blocks: Sequence[Block], rooms: Rooms, fail: Fail) -> list[list[Block]]:
    """Blocks one under another, over as few pages as hold them. Raises ``fail`` for one too high.

    Text is broken between lines; what is marked to be kept goes with what follows it; white is not
    carried over to a new page. The first page may stay empty.
    """
    pages, best = _parted(blocks, rooms, {}, fail), 0.0
    if len(pages) < 2:
        return pages
    before, count, found = len(pages) - 2, len(pages), pages
    full = rooms[min(before, 1)]
    best = _height(pages[-1])
    for k in range(_STEPS):
        if best >= LEAST * rooms[1]:
            break
        shorter = full * (1 - 0.5 * k / _STEPS)
        pages = _parted(blocks, rooms, {before: shorter}, fail)
        filled = bool(pages[before]) or not before
        if len(pages) == count and filled and _height(pages[-1]) > best:
            found, best = pages, _height(pages[-1])
    return found


def _height(blocks: Sequence[Block]) -> float:
    """Without the white at its foot."""
    inked = [k for k, block in enumerate(blocks) if not is_white(block)]
    return sum(block.height for block in blocks[: inked[-1] + 1]) if inked else 0.0


def _parted(
    blocks: Sequence[Block], rooms: Rooms, shorter: dict[int, float], fail: Fail
) -> list[list[Block]]:
    """The pages, of which some are ``shorter``."""
    pages: list[list[Block]] = [[]]
    left = shorter.get(0, rooms[0])
    rest = list(blocks)
    while rest:
        block = rest.pop(0)
        need = _kept(block, rest, rooms[1])
        if need > left + 0.01:
            parts = split(block, left)
            if parts:
                block, later = parts
                rest.insert(0, later)
            elif is_white(block):
                left = 0.0
                continue
            else:
                fresh = len(pages) > 1 and not pages[-1] and len(pages) - 1 not in shorter
                if fresh or (block.height > rooms[1] + 0.01 and not split(block, rooms[1])):
                    raise fail(need)
                pages.append([])
                left = shorter.get(len(pages) - 1, rooms[1])
                rest.insert(0, block)
                continue
        pages[-1].append(block)
        left -= block.height
    return pages


def _kept(block: Block, rest: Sequence[Block], most: float) -> float:
    """The height of a block with what it is kept with: one that is kept itself, and so on, as far
    as all of it has room on a page."""
    need = high = block.height
    for after in rest:
        if not block.keep:
            break
        first = after if after.keep else (after.lines or (after,))[0]
        high, block = high + first.height, after
        need = high if high <= most else need
    return need


def is_white(block: Block) -> bool:
    """Whether it is a gap."""
    return not block.lines and not block.keep and block.draw(0, 0) == []


def openings(
    heights: Sequence[float],
    rooms: Rooms,
    down: float,
    fail: Fail,
    folio: int = 1,
    apart: Callable[[int, int], bool] = lambda _a, _b: False,
) -> list[int]:
    """How many rows stand on each page from ``folio`` on, of which left ones are even: no opening
    shows two that must be ``apart``. The fewest pages, and of those ways the most even one, of
    which each of the last two pages may be half bare.

    The first page may stay empty, or one that faces what its row must be apart from. Raises
    ``fail`` for a row that is too high.
    """
    if too_high := [high for high in heights if rooms[1] - high < -_OVER]:
        raise fail(too_high[0])

    found: dict[tuple[int, int, bool], _Way] = {}

    def page(start: int, shown: int, left: bool, room: float, *, bare: bool) -> _Way:
        """The best way on from row ``start``, on a page of a ``room`` that may stay ``bare``, where
        the rows from ``shown`` on are to be seen."""
        ways, white = list[_Way](), room
        for end in range(start + (not bare), len(heights) + 1):
            if end > start:
                white -= heights[end - 1] + down * (end - 1 > start)
                if white < -_OVER or any(apart(k, end - 1) for k in range(shown, end - 1)):
                    break
            at = (end, shown if left else end, not left)
            onward = found[at] if end < len(heights) else _Way(0, 0.0, ())
            share = white / rooms[1]
            told = max(0.0, share - _HALF * (onward.pages < 2)) ** 2
            uneven = onward.uneven + told + _EARLIER * onward.pages * share
            ways.append(_Way(onward.pages + 1, uneven, (end - start, *onward.counts)))
        return min(ways)

    for start in range(len(heights) - 1, -1, -1):
        found[start, start, True] = page(start, start, True, rooms[1], bare=False)
        shown, facing = start, 0.0
        while shown >= 0 and facing <= max(rooms) + down + 2 * _OVER:  # sums in another order
            found[start, shown, False] = page(start, shown, False, rooms[1], bare=shown < start)
            shown -= 1
            facing += heights[shown] + down
    counts = page(0, 0, folio % 2 == 0, rooms[0], bare=True).counts
    assert sum(counts) == len(heights)
    return [*counts]


class _Way(NamedTuple):
    """So many pages, how uneven they are, and the rows on each: the less, the better."""

    pages: int
    uneven: float
    counts: tuple[int, ...]


def fitting(blocks: Sequence[Block], count: int, room: float, down: float) -> int:
    """How many of the blocks fit in so many columns of that height."""
    column, used = 0, 0.0
    for k, block in enumerate(blocks):
        if used + block.height > room + 0.01:
            column, used = column + 1, 0.0
            if column == count or block.height > room + 0.01:
                return k
        used += block.height + down
    return len(blocks)


def even(blocks: Sequence[Block], count: int, rooms: Rooms, down: float) -> float:
    """The least column height, to a point, that needs no more pages than full columns would."""

    def pages(most: float) -> int:
        done, needed = 0, 0
        while done < len(blocks):
            room = min(most, rooms[min(needed, 1)])
            done += fitting(blocks[done:], count, room, down)
            needed += 1
        return needed

    low, high = max(block.height for block in blocks), max(rooms)
    fewest = pages(high)
    while high - low > 1:
        middle = (low + high) / 2
        if pages(middle) == fewest:
            high = middle
        else:
            low = middle
    return high


def in_rows(blocks: Sequence[Block], count: int) -> list[list[Block]]:
    """Blocks in rows of ``count`` columns; a block may take several columns."""
    rows: list[list[Block]] = []
    taken = count
    for block in blocks:
        if taken + block.columns > count:
            rows.append([])
            taken = 0
        rows[-1].append(block)
        taken += block.columns
    return rows
