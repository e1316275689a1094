"""At a glance: what a person sees a rule close, from the digits that stand in the grid.

Houses are seen anyway. Besides:

- what a digit closes elsewhere by a leap, by a sign between two cells, or along a line;
- what the length of a line, and the digits on it, leave of its other cells: a thermometer's bounds;
- what a cage of two or three cells leaves, where one combination makes its sum;
- what the rest of any clue leaves for its last open cell.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from packbuilder.rules.contract import Part
from packbuilder.rules.tools.flat_forms import Pairs

Candidate = tuple[int, int]
"""A cell and a digit."""


def exclusions(part: Part, size: int) -> Iterator[tuple[Candidate, Candidate]]:
    """Pairs of candidates of which a part allows one at most, as a glance tells."""
    if paired := _pairs(part, size):
        digits = range(1, size + 1)
        for form in paired:
            clash = [(d, e) for d in digits for e in digits if not form.fits(d, e)]
            yield from (((a, d), (b, e)) for a, b in form.pairs for d, e in clash)
    elif not part.reckons:
        for cell in dict.fromkeys(part.cells):
            for d in range(size):
                masks = [(1 << size) - 1] * (size * size)
                masks[cell] = 1 << d
                if part.prune(masks, size):
                    for other in dict.fromkeys(part.cells):
                        gone = 0 if other == cell else ~masks[other]
                        yield from (
                            ((cell, d + 1), (other, e + 1)) for e in range(size) if gone >> e & 1
                        )


def closed(part: Part, values: Sequence[int], size: int) -> Iterator[Candidate]:
    """The candidates of empty cells that a part closes, by all digits that stand on it."""
    open_ = [cell for cell in dict.fromkeys(part.cells) if not values[cell]]
    if not open_ or _pairs(part, size):  # digit by digit, that is said by `exclusions`
        return
    if part.reckons and len(open_) > 1:
        kept = dict.fromkeys(open_, _only_combination(part, size))
    else:
        masks = [1 << v - 1 if v else (1 << size) - 1 for v in values]
        if not part.prune(masks, size):
            return
        kept = {cell: masks[cell] for cell in open_}
    for cell, mask in kept.items():
        yield from ((cell, d + 1) for d in range(size) if not mask >> d & 1)


def _pairs(part: Part, size: int) -> tuple[Pairs, ...]:
    """The pairs of cells, where a part says no more than that some digits do not go together."""
    return tuple(form for form in part.flat_forms(size) if isinstance(form, Pairs))


@lru_cache(maxsize=4096)
def _only_combination(part: Part, size: int) -> int:
    """The digits of a clue of two or three cells, if only one combination makes it; else all."""
    cells, whole = set(part.cells), (1 << size) - 1
    masks = [whole] * (size * size)
    if len(cells) <= 3 and part.prune(masks, size):
        union = 0
        for cell in cells:
            union |= masks[cell]
        if union.bit_count() == len(cells):
            return union
    return whole
