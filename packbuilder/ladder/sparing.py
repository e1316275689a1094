"""Sparing: of many things that bring something about, so few that none of them can be spared."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")


def spared(
    items: Sequence[T], enough: Callable[[list[T]], bool], latest_first: bool = True
) -> list[T]:
    """The items less all that can be spared while those that are left are still ``enough``.

    Runs of them are left out, then runs half as long, and so on. What cannot be spared among more
    cannot be spared among fewer: so after the last round, one by one, none can.
    """
    kept = list(items)
    run = len(kept)
    while run:
        at = len(kept) if latest_first else 0
        while at > 0 if latest_first else at < len(kept):
            low = max(0, at - run) if latest_first else at
            fewer = kept[:low] + kept[low + run if not latest_first else at :]
            if enough(fewer):
                kept, at = fewer, low
            else:
                at = low if latest_first else at + run
        run //= 2
    return kept
