"""Certify: both engines must say the same of a grid, or nothing is released.

The engines are the kernel and the SAT solver; where rules ask for more than houses, the rule
search stands in for the kernel. What an editor needs to mend a faulty grid comes with the answer:
where two solutions differ and one clue that would settle it, or the clues and the parts of rules
that contradict one another.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np

from packbuilder.errors import Unfinished
from packbuilder.grid import Geometry, Values
from packbuilder.proof import kernel, rule_search, sat
from packbuilder.proof.verdict import Verdict
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import with_houses, without_houses

SAMPLE = 2_000
"""Solutions that the search for a mending clue looks at before it tries clues one by one."""

MEND_NODES = 20_000
"""Branches for each clue so tried; one that needs more is passed over. With rules, the conflicts
for all of them."""

RULE_SAMPLE = 200
"""Solutions of a grid with rules that are looked at for the same purpose."""


@dataclass(frozen=True)
class Proof:
    """What both engines say of a grid together.

    ``verdict`` is undecided where they disagree, or where either engine is and the other has not
    shown two solutions; ``undecided`` then says in words which limit ran out. ``agree`` is False
    where what they found cannot both be true: a fault of the program. With two solutions,
    ``differing`` are the cells in which the two of the verdict differ, and ``mend`` one (cell,
    digit) that leaves a single solution, proved by both engines, if one clue can do it and was
    found within the limits. Without a solution, ``clash`` are cells of clues, and ``clash_parts``
    parts of rules, that contradict one another.
    """

    verdict: Verdict
    agree: bool = True
    differing: tuple[int, ...] = ()
    mend: tuple[int, int] | None = None
    clash: tuple[int, ...] = ()
    undecided: str = ""
    clash_parts: tuple[Part, ...] = ()

    @property
    def unique(self) -> bool:
        """True if both engines proved exactly one solution, the same one."""
        return self.agree and self.verdict.solutions == 1


def certify(
    geometry: Geometry,
    clues: Sequence[int],
    parts: Sequence[Part] = (),
    *,
    node_limit: int = kernel.NODE_LIMIT,
    time_limit: float | None = None,
) -> Proof:
    """Prove a grid by both engines, and find what would mend it.

    ``parts`` are those of its rules; the houses that they bring are in ``geometry`` already.
    ``node_limit`` bounds the first engine (branches), ``time_limit`` (seconds) each question that
    is put to the SAT solver or to the rule search. Raises ValueError for clues that do not fit the
    geometry.
    """
    grid = _Grid(geometry, tuple(clues), tuple(parts), node_limit, time_limit)
    ours = grid.prove()
    theirs = sat.prove(geometry, clues, grid.beyond, time_limit=time_limit)
    if not _consistent(grid, ours, theirs):
        return Proof(Verdict(None), agree=False)
    several = next((v for v in (ours, theirs) if v.solutions == 2), None)
    if several is not None:
        # Two solutions in hand, both seen to keep the plain rules: no limit of the other engine
        # can make that undecided.
        return Proof(several, differing=_differing(several), mend=grid.mend())
    reasons = []
    if ours.solutions is None:
        reasons.append(f"{grid.engine} stopped after {grid.bound(ours)}")
    if theirs.solutions is None:
        reasons.append(f"the SAT solver stopped after {time_limit:g} seconds")
    if reasons:
        return Proof(Verdict(None, nodes=ours.nodes), undecided=" and ".join(reasons))
    if ours.solutions == 0:
        cells, clashing = grid.clash()
        if grid.alone(cells, clashing).prove().solutions not in (0, None):
            return Proof(Verdict(None), agree=False)
        return Proof(ours, clash=cells, clash_parts=clashing)
    return Proof(ours)


@dataclass(frozen=True)
class _Grid:
    """A grid as it is proved: ``beyond`` are its parts that are more than houses."""

    geometry: Geometry
    clues: Values
    parts: tuple[Part, ...]
    node_limit: int
    time_limit: float | None

    @cached_property
    def beyond(self) -> tuple[Part, ...]:
        return tuple(p for p in self.parts if not p.houses_only)

    @property
    def engine(self) -> str:
        return "the rule search" if self.beyond else "the kernel"

    def bound(self, verdict: Verdict) -> str:
        """The limit that the first engine ran into, in words."""
        if self.beyond and self.time_limit is not None and verdict.nodes < self.node_limit:
            return f"{self.time_limit:g} seconds"
        return f"{self.node_limit} branches"

    def prove(self) -> Verdict:
        """What the first engine says."""
        if not self.beyond:
            return kernel.prove(self.geometry, self.clues, node_limit=self.node_limit)
        return rule_search.prove(
            self.geometry,
            self.clues,
            self.beyond,
            node_limit=self.node_limit,
            time_limit=self.time_limit,
        )

    def holds(self, values: Values) -> bool:
        """Whether a full grid is a solution by the plain rules."""
        return (
            self.geometry.holds(values)
            and all(part.holds(values, self.geometry.size) for part in self.parts)
            and all(c in (0, v) for c, v in zip(self.clues, values, strict=True))
        )

    def mend(self) -> tuple[int, int] | None:
        """See `mending_clue`."""
        find = partial(mending_clue, self.geometry, self.clues)
        if self.beyond:
            find = partial(mending_clue_with_rules, self.geometry, self.clues, self.beyond)
        return find(node_limit=self.node_limit, time_limit=self.time_limit)

    def clash(self) -> tuple[tuple[int, ...], tuple[Part, ...]]:
        """Clues and parts that contradict one another; all of them where time ran out."""
        try:
            if not self.parts:
                return sat.clash(self.geometry, self.clues, time_limit=self.time_limit), ()
            return sat.clash_with_rules(
                self.geometry, self.clues, self.parts, time_limit=self.time_limit
            )
        except Unfinished:
            return tuple(cell for cell, digit in enumerate(self.clues) if digit), self.parts

    def alone(self, cells: tuple[int, ...], parts: tuple[Part, ...]) -> _Grid:
        """The grid with these clues and these parts only."""
        base = without_houses(self.geometry, self.parts)
        clues = tuple(digit if cell in cells else 0 for cell, digit in enumerate(self.clues))
        return replace(self, geometry=with_houses(base, parts), clues=clues, parts=parts)


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


def mending_clue_with_rules(
    geometry: Geometry,
    clues: Sequence[int],
    parts: Sequence[Part],
    *,
    node_limit: int = kernel.NODE_LIMIT,
    time_limit: float | None = None,
) -> tuple[int, int] | None:
    """`mending_clue` for a grid with rules: found by the SAT solver, confirmed by the search."""
    with sat.Prover(geometry, parts) as prover:
        solutions, complete = prover.explore(clues, limit=RULE_SAMPLE, time_limit=time_limit)
        often = Counter(pair for values in solutions for pair in enumerate(values))
        for cell, clue in enumerate(clues):
            for digit in range(1, geometry.size + 1):
                if clue or often[cell, digit] > 1 or (complete and not often[cell, digit]):
                    continue
                mended = [*clues[:cell], digit, *clues[cell + 1 :]]
                if prover.conflicts() > MEND_NODES:
                    return None
                if prover.prove(mended, time_limit=time_limit).solutions == 1:
                    found = rule_search.prove(
                        geometry, mended, parts, node_limit=node_limit, time_limit=time_limit
                    )
                    if found.solutions == 1:
                        return cell, digit
    return None


def _consistent(grid: _Grid, ours: Verdict, theirs: Verdict) -> bool:
    """True if both verdicts can be true, and each solution shown is one by the plain rules."""
    witnesses: set[Values] = set()
    for verdict in (ours, theirs):
        shown = [s for s in (verdict.first, verdict.second) if s is not None]
        if verdict.solutions is not None and len(set(shown)) != verdict.solutions:
            return False
        witnesses |= set(shown)
    if not all(map(grid.holds, witnesses)):
        return False
    claims = {v.solutions for v in (ours, theirs)} - {None}
    return len(claims) < 2 and all(c == 2 or len(witnesses) == c for c in claims)


def _differing(verdict: Verdict) -> tuple[int, ...]:
    pairs = zip(verdict.first or (), verdict.second or (), strict=True)
    return tuple(cell for cell, (a, b) in enumerate(pairs) if a != b)
