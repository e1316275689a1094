"""How a search stands, on standard error: a line that changes in a terminal, else one now and then.

Nothing is said of a search that is over in a moment.
"""

from __future__ import annotations

import contextlib
import sys
import time
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from packbuilder.phrases import counted

if TYPE_CHECKING:
    from packbuilder.setting.month import Month
    from packbuilder.setting.search import Search

FIRST = 1.0
"""Seconds before anything is said in a terminal."""

SELDOM, OFTEN = 10.0, 0.2
"""Seconds between two looks where each stays on the screen, and in a terminal."""


@contextlib.contextmanager
def watched(search: Search | Month) -> Iterator[None]:
    """Say how a search stands while the block goes on."""
    with contextlib.ExitStack() as stack:
        terminal = sys.stderr.isatty()
        last = time.monotonic() + (FIRST if terminal else SELDOM) - (OFTEN if terminal else SELDOM)
        status: Any = None

        def report(search: Search | Month) -> None:
            nonlocal last, status
            now = time.monotonic()
            if now - last < (OFTEN if terminal else SELDOM):
                return
            last = now
            words = standing(search, now)
            if not terminal:
                click.echo(words, err=True)
            elif status is None:
                from rich.console import Console

                status = stack.enter_context(Console(stderr=True).status(words))
            else:
                status.update(words)

        search.report = report
        yield


def standing(search: Search | Month, now: float) -> str:
    """How a search stands, in a line: found, looked at, met, near misses, and the time it expects.

    ``now`` is on the monotonic clock.
    """
    tally, spent = search.tally, now - search.began
    told = [f"{search.found} of {search.count} found", f"{counted(tally.tried, 'grid')} looked at"]
    if tally.grades:
        told.append("grades " + ", ".join(f"{g}: {n}" for g, n in sorted(tally.grades.items())))
    if tally.failed:
        told.append(f"{tally.failed.most_common(1)[0][0]} fails most")
    left = search.budget - spent
    if search.found:
        expected = spent / search.found * (search.count - search.found)
        told.append(f"about {expected:.0f} s more of {left:.0f} s left")
    else:
        told.append(f"{left:.0f} s left")
    return "; ".join(told)
