"""Certify: both engines must say the same of a grid, or nothing is released.

What an editor needs to mend a faulty grid comes with the answer: where two solutions differ and
one clue that would settle it, or the clues that contradict one another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from packbuilder.errors import Unfinished
from packbuilder.grid import Geometry, Values
from packbuilder.proof import kernel, sat
from packbuilder.proof.verdict import Verdict

SAMPLE = 2_000
"""Solutions that the search for a mending clue looks at before it tries clues one by one."""

MEND_NODES = 20_000
"""Branches for each clue so tried; one that needs more is passed over."""


@dataclass(frozen=True)
class Proof:
    """What both engines say of a grid together.

    ``verdict`` is undecided where either engine is, or where they disagree; ``undecided`` then
    says in words which limit ran out. ``agree`` is False where what they found cannot both be
    true: a fault of the program. With two solutions, ``differing`` are the cells in which the two
    of the verdict differ, and ``mend`` one (cell, digit) that leaves a single solution, proved by
    both engines, if one clue can do it and was found within the limits. Without a solution,
    ``clash`` are cells of clues that contradict one another.
    """

    verdict: Verdict
    agree: bool = True
    differing: tuple[int, ...] = ()
    mend: tuple[int, int] | None = None
    clash: tuple[int, ...] = ()
    undecided: str = ""

    @property
    def unique(self) -> bool:
        """True if both engines proved exactly one solution, the same one."""
        return self.agree and self.verdict.solutions == 1


def certify(
    geometry: Geometry,
    clues: Sequence[int],
    *,
    node_limit: int = kernel.NODE_LIMIT,
    time_limit: float | None = None,
) -> Proof:
    """Prove a grid by both engines, and find what would mend it.

    ``node_limit`` bounds the kernel (branches), ``time_limit`` (seconds) each question that is put
    to the SAT solver. Raises ValueError for clues that do not fit the geometry.
    """
    ours = kernel.prove(geometry, clues, node_limit=node_limit)
    theirs = sat.prove(geometry, clues, time_limit=time_limit)
    if not _consistent(geometry, clues, ours, theirs):
        return Proof(Verdict(None), agree=False)
    reasons = []
    if ours.solutions is None:
        reasons.append(f"the kernel stopped after {node_limit} branches")
    if theirs.solutions is None:
        reasons.append(f"the SAT solver stopped after {time_limit:g} seconds")
    if reasons:
        return Proof(Verdict(None, nodes=ours.nodes), undecided=" and ".join(reasons))
    if ours.solutions == 2:
        return Proof(
            ours,
            differing=_differing(ours),
            mend=mending_clue(geometry, clues, node_limit=node_limit, time_limit=time_limit),
        )
    if ours.solutions == 0:
        cells = _clash(geometry, clues, time_limit)
        alone = [digit if cell in cells else 0 for cell, digit in enumerate(clues)]
        confirmed = kernel.prove(geometry, alone, node_limit=node_limit).solutions in (0, None)
        return Proof(ours, clash=cells) if confirmed else Proof(Verdict(None), agree=False)
    return Proof(ours)


def mending_clue(
    geometry: Geometry,
    clues: Sequence[int],
    *,
    node_limit: int = kernel.NODE_LIMIT,
    time_limit: float | None = None,
) -> tuple[int, int] | None:
    """One (cell, digit) that gives a grid with several solutions exactly one, or None.

    Such a digit stands in its cell in one solution only. Where all solutions can be listed that
    decides it; else every digit that a sample does not rule out is tried. The first in reading
    order is given. None means that there is none, or none within the limits.
    """
    solutions, complete = kernel.explore(geometry, clues, limit=SAMPLE, node_limit=node_limit)
    digits = np.arange(1, geometry.size + 1)
    often = (solutions[:, :, None] == digits).sum(axis=0)  # (cells, digits)
    empty = np.asarray(clues) == 0
    if complete:
        open_pairs = np.argwhere((often == 1) & empty[:, None])[:1]
    else:
        open_pairs = np.argwhere((often <= 1) & empty[:, None])
        trials = np.repeat(np.asarray(clues, np.uint8)[None, :], len(open_pairs), axis=0)
        trials[np.arange(len(open_pairs)), open_pairs[:, 0]] = open_pairs[:, 1] + 1
        counts, _ = kernel.prove_many(geometry, trials, node_limit=min(node_limit, MEND_NODES))
        open_pairs = open_pairs[counts == 1][:1]
    for cell, digit in open_pairs.tolist():
        mended = [*clues[:cell], digit + 1, *clues[cell + 1 :]]
        if sat.prove(geometry, mended, time_limit=time_limit).solutions == 1:
            return cell, digit + 1
    return None


def _consistent(geometry: Geometry, clues: Sequence[int], ours: Verdict, theirs: Verdict) -> bool:
    """True if both verdicts can be true, and each solution shown is one by the plain rules."""
    witnesses: set[Values] = set()
    for verdict in (ours, theirs):
        shown = [s for s in (verdict.first, verdict.second) if s is not None]
        if verdict.solutions is not None and len(set(shown)) != verdict.solutions:
            return False
        witnesses |= set(shown)
    for solution in witnesses:
        if not geometry.holds(solution):
            return False
        if any(c and c != s for c, s in zip(clues, solution, strict=True)):
            return False
    claims = {v.solutions for v in (ours, theirs)} - {None}
    return len(claims) < 2 and all(c == 2 or len(witnesses) == c for c in claims)


def _differing(verdict: Verdict) -> tuple[int, ...]:
    pairs = zip(verdict.first or (), verdict.second or (), strict=True)
    return tuple(cell for cell, (a, b) in enumerate(pairs) if a != b)


def _clash(geometry: Geometry, clues: Sequence[int], time_limit: float | None) -> tuple[int, ...]:
    try:
        return sat.clash(geometry, clues, time_limit=time_limit)
    except Unfinished:
        return tuple(cell for cell, digit in enumerate(clues) if digit)
