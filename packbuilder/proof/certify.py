"""Certify: both engines must say the same of a grid, or nothing is released.

The engines are the kernel and the SAT solver; where rules ask for more than houses, the rule
search stands in for the kernel. What an editor needs to mend a faulty grid comes with the answer:
where two solutions differ and one clue that would settle it, or the clues and the parts of rules
that contradict one another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from packbuilder.errors import Unfinished
from packbuilder.grid import Geometry, Values
from packbuilder.proof import kernel, rule_search, sat
from packbuilder.proof.mending import Clue, Mender
from packbuilder.proof.verdict import Verdict
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import with_houses, without_houses


@dataclass(frozen=True)
class Proof:
    """What both engines say of a grid together.

    Two solutions in hand are an answer, and so is a contradiction, whichever engine came upon it;
    that there is one solution and no more both must say. ``verdict`` is undecided where they
    disagree, or where neither knows of several or none and one of them gave up; ``undecided`` then
    says in words which limit ran out. ``agree`` is False where what they found cannot both be true:
    a fault of the program. With two solutions, ``differing`` are the cells in which the two of the
    verdict differ, and ``mend`` one (cell, digit) that leaves a single solution, or ``pair`` two of
    them where no one will do. Without a solution, ``clash`` are cells of clues, and
    ``clash_parts`` parts of rules, that contradict one another, and ``corrections`` (cell, digit)s
    that, each for the clue that stands there, leave one solution. All these are proved by both
    engines, and given as far as they were found within the limits.
    """

    verdict: Verdict
    agree: bool = True
    differing: tuple[int, ...] = ()
    mend: Clue | None = None
    pair: tuple[Clue, Clue] | None = None
    clash: tuple[int, ...] = ()
    undecided: str = ""
    clash_parts: tuple[Part, ...] = ()
    corrections: tuple[Clue, ...] = ()

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
    symmetry: str = "none",
) -> Proof:
    """Prove a grid by both engines, and find what would mend it: first, with clues that keep or
    restore the ``symmetry`` of its picture.

    ``parts`` are those of its rules; the houses that they bring are in ``geometry`` already.
    ``node_limit`` bounds the first engine (branches), ``time_limit`` (seconds) each question that
    is put to the SAT solver or to the rule search. Raises ValueError for clues that do not fit the
    geometry.
    """
    grid = _Grid(geometry, tuple(clues), tuple(parts), node_limit, time_limit, symmetry)
    theirs = sat.prove(geometry, clues, grid.beyond, time_limit=time_limit)
    # Two solutions settle it; the rule search need not look for two of its own.
    ours = theirs if grid.beyond and theirs.solutions == 2 else grid.prove()
    if not _consistent(grid, ours, theirs):
        return Proof(Verdict(None), agree=False)
    several = next((v for v in (ours, theirs) if v.solutions == 2), None)
    if several is not None:
        # Both solutions are seen to keep the plain rules.
        return grid.mended(Proof(several, differing=_differing(several)))
    none = next((v for v in (ours, theirs) if v.solutions == 0), None)
    if none is not None:
        return grid.explained(none)
    reasons = []
    if ours.solutions is None:
        reasons.append(f"{grid.engine} stopped after {grid.bound(ours)}")
    if theirs.solutions is None:
        reasons.append(f"the SAT solver stopped after {time_limit:g} seconds")
    if reasons:
        return Proof(Verdict(None, nodes=ours.nodes), undecided=" and ".join(reasons))
    return Proof(ours)


@dataclass(frozen=True)
class _Grid:
    """A grid as it is proved: ``beyond`` are its parts that are more than houses."""

    geometry: Geometry
    clues: Values
    parts: tuple[Part, ...]
    node_limit: int
    time_limit: float | None
    symmetry: str = "none"

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

    def mended(self, proof: Proof) -> Proof:
        """The proof of several solutions, with what would leave one."""
        with self.mender() as mender:
            even = mender.even()
            clue = even[0] if len(even) == 1 else None if even else mender.clue()
            pair = (even[0], even[1]) if len(even) == 2 else None if clue else mender.pair()
            return replace(proof, mend=clue, pair=pair)

    def explained(self, none: Verdict) -> Proof:
        """The proof that there is no solution, with what contradicts what.

        Clues that clash are asked about once more, of the first engine, and by themselves.
        """
        cells, clashing = self.clash()
        if self.alone(cells, clashing).prove().solutions not in (0, None):
            return Proof(Verdict(None), agree=False)
        with self.mender() as mender:
            corrections = mender.corrections(cells)
        return Proof(none, clash=cells, clash_parts=clashing, corrections=corrections)

    def mender(self) -> Mender:
        """What mends the grid."""
        return Mender(
            self.geometry,
            self.clues,
            self.beyond,
            node_limit=self.node_limit,
            time_limit=self.time_limit,
            symmetry=self.symmetry,
        )

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
