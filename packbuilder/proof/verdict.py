"""Verdict: what one engine says of one grid."""

from __future__ import annotations

from dataclasses import dataclass

from packbuilder.grid import Values


@dataclass(frozen=True)
class Verdict:
    """How many solutions a grid has.

    ``solutions`` is 0, 1 or 2 (two or more), or None where a limit ran out first: undecided, which
    is never taken for an answer. ``first`` and ``second`` are different solutions, where found.
    """

    solutions: int | None
    first: Values | None = None
    second: Values | None = None
    nodes: int = 0
