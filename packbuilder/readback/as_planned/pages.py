"""Pages: what a page of the file paints, against what the plan says, mark for mark and in order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import chain
from operator import sub

from packbuilder.readback.as_planned.marks import Mark
from packbuilder.readback.as_planned.objects import HUNDREDTH
from packbuilder.readback.as_planned.syntax import quoted

_TOLD = 3
"""How many marks are told in words; the rest are counted."""


def marks_unlike(have: Sequence[Mark], planned: Sequence[Mark]) -> Iterator[str]:
    """Words for what a page paints and must not, does not and must, or paints in another order."""
    if [mark.kind for mark in have] == [mark.kind for mark in planned] and _near(have, planned):
        return
    less, more = _beyond(planned, have), _beyond(have, planned)
    if not less and not more:
        yield "its marks are painted in another order than planned"
    yield from _told("is missing, or is elsewhere", less)
    yield from _told("must not be there", more)


def _near(have: Sequence[Mark], planned: Sequence[Mark]) -> bool:
    one, other = (chain.from_iterable(m.numbers for m in marks) for marks in (have, planned))
    return max(map(abs, map(sub, one, other)), default=0.0) < HUNDREDTH


def _beyond(these: Sequence[Mark], those: Sequence[Mark]) -> list[Mark]:
    """Of some marks those that have no match among others."""
    free = Counter(map(_key, those))
    found = []
    for mark in these:
        key = _key(mark)
        if free[key]:
            free[key] -= 1
        else:
            found.append(mark)
    return found


def _key(mark: Mark) -> Mark:
    return Mark(mark.kind, tuple(round(value, 2) for value in mark.numbers))


def _told(what: str, marks: Sequence[Mark]) -> Iterator[str]:
    """The first few marks, text before all else."""
    if marks:
        first = sorted(marks, key=lambda mark: _RANK.get(mark.kind[0], len(_RANK)))[:_TOLD]
        more = f"; and {len(marks) - _TOLD} more" if len(marks) > _TOLD else ""
        yield f"{what}: {'; '.join(map(_words, first))}{more}"


_RANK = {"text": 0, "path": 1}


def _words(mark: Mark) -> str:
    kind, numbers = mark
    if kind[0] == "text":
        x, y, size, grey, spacing, *_ = numbers
        opened = f", opened by {spacing:g}" if spacing else ""
        where = f"grey {grey:.2f}, at {x:.2f} {y:.2f}{opened}"
        return f"{quoted(kind[2])} in {kind[1]} {size:g}, {where}"
    if kind[0] == "path":
        place = f"{numbers[0]:.2f} {numbers[1]:.2f}" if len(numbers) > 1 else "no place"
        what = "a stroke" if kind[1] == "S" else "a fill" if kind[1][0] == "f" else "a shape"
        return f"{what} of {len(kind[2])} parts from {place}"
    if kind[0] == "begin":
        return f"content {kind[2]} of {kind[1]}" if kind[2] is not None else "furniture"
    return "the stamp" if kind[0] == "stamp" else "an end of marked content"
