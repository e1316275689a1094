"""Promises about the way a puzzle is solved: does it need a technique, only that one, or use it?

A puzzle *needs* T if and only if all techniques on rungs below T's, with T, solve it, and those
below T's rung alone do not. With several, everything below the hardest one's rung and all of them
are allowed together, and none of them may be left out.

So others of T's rung may do instead of it: its *rivals*. It is solved *only* by T if it needs T and
has no rival: all techniques up to T's rung (with several, up to the hardest one's), T left out, do
not solve it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.english import article, listed, noun
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.rounds import Rating, rate, solves
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.table import DEFAULT
from packbuilder.puzzle import BEYOND


@dataclass(frozen=True)
class Need:
    """Whether one technique is needed, and how that was found out.

    ``allowed`` is the path with every technique that the promise allows, ``without`` the path with
    this one left out; ``holds`` if the first is solved and the second is not. ``full`` rates the
    grid on the whole ``ladder``.
    """

    slug: str
    name: str
    holds: bool
    allowed: Path
    without: Path
    full: Rating
    ladder: Ladder

    @property
    def instead(self) -> tuple[str, ...]:
        """Where the promise fails: the techniques that solve the puzzle instead, hardest first.

        Those without T if they do, else those of the whole ladder; empty if nothing does.
        """
        path = self.without if self.without.solved else self.full
        if self.holds or not path.solved:
            return ()
        return tuple(slug for slug, _ in reversed(path.techniques))

    @property
    def words(self) -> str:
        """The finding in a sentence."""
        if self.holds:
            return (
                f"{self.name} is needed: without it the solve is stuck after "
                f"{_steps(len(self.without.steps))}"
            )
        if self.without.solved:
            hardest = self.ladder.named(self.without.hardest).name
            return (
                f"{self.name} is not needed: the puzzle is solved without it, with nothing above "
                f"rung {self.without.grade} ({noun(hardest)})"
            )
        stuck = f"even with it the solve is stuck after {_steps(len(self.allowed.steps))}"
        if not self.full.solved:
            return f"{self.name} does not solve the puzzle: {stuck}, and the whole ladder fails too"
        hardest = self.ladder.named(self.full.hardest).name
        return (
            f"{self.name} does not solve the puzzle: {stuck}; on the whole ladder it takes "
            f"{article(noun(hardest))} (rung {self.full.grade})"
        )


def needs(
    geometry: Geometry, clues: Values, slugs: Sequence[str], *, ladder: Ladder = DEFAULT
) -> tuple[Need, ...]:
    """What becomes of a promise that a puzzle needs these techniques: one answer each.

    The promise holds if every one does. Raises InputError for an unknown slug.
    """
    if not slugs:
        return ()
    top = max(ladder.rung_of(slug) for slug in slugs)
    allowance = ladder.up_to(top, *slugs)
    allowed = walk(geometry, clues, ladder=allowance)
    full = rate(geometry, clues, ladder=ladder)
    answers = []
    for slug in slugs:
        without = walk(geometry, clues, ladder=allowance.without(slug))
        holds = allowed.solved and not without.solved
        answers.append(Need(slug, ladder.named(slug).name, holds, allowed, without, full, ladder))
    return tuple(answers)


@dataclass(frozen=True)
class Rivals:
    """What would do instead of a needed technique, on the promise's rung: slugs, easiest first.

    Any one of ``each`` does; where none does, all of ``together`` do between them.
    """

    slug: str
    each: tuple[str, ...]
    together: tuple[str, ...]
    ladder: Ladder

    def __bool__(self) -> bool:
        return bool(self.each or self.together)

    @property
    def words(self) -> str:
        """The rivals in a sentence."""
        name = self.ladder.named(self.slug).name
        others = [article(noun(self.ladder.named(s).name)) for s in self.each or self.together]
        if self.each:
            return f"{name} is needed, but {listed(others, 'or')} would do instead"
        return f"{name} is needed, but {listed(others)} together would do instead"


def rivals(
    geometry: Geometry, clues: Values, slugs: Sequence[str], *, ladder: Ladder = DEFAULT
) -> tuple[Rivals, ...]:
    """For each technique of a promise of needs that holds, what else would do in its place.

    Raises InputError for an unknown slug.
    """
    top = max((ladder.rung_of(slug) for slug in slugs), default=0)
    found = []
    for slug in slugs:
        kept, others = [s for s in slugs if s != slug], ladder.without(slug)
        whole = others.up_to(top + 1)
        each: tuple[str, ...] = ()
        together: tuple[str, ...] = ()
        if solves(geometry, clues, whole):
            there = dict.fromkeys(t.slug for t in whole.order if t.rung == top)
            beside = [s for s in there if s not in kept]
            each = tuple(s for s in beside if solves(geometry, clues, others.up_to(top, *kept, s)))
            if not each:
                taken = dict(rate(geometry, clues, ladder=whole).techniques)
                together = tuple(s for s in beside if s in taken)
        found.append(Rivals(slug, each, together, ladder))
    return tuple(found)


def kept(
    geometry: Geometry,
    clues: Values,
    needing: Sequence[str],
    only: Sequence[str] = (),
    *,
    ladder: Ladder = DEFAULT,
) -> bool:
    """Whether a grid needs these techniques, and is solved only by those."""
    return all(
        need.holds
        for slugs in (needing, only)
        for need in needs(geometry, clues, slugs, ladder=ladder)
    ) and not any(rivals(geometry, clues, only, ladder=ladder))


def needed(geometry: Geometry, clues: Values, *, ladder: Ladder = DEFAULT) -> tuple[str, ...]:
    """Every technique that the grid needs, each taken alone, easiest first."""
    grade = rate(geometry, clues, ladder=ladder).grade
    if grade == BEYOND or 0 not in clues:
        return ()
    # T with everything below its rung solves the grid, and that alone does not: so T has a row on
    # the rung of the grade. And if it has, what is below does not solve the grid.
    likely = [slug for slug in ladder.slugs if any(t.rung == grade for t in ladder.rows[slug])]
    allowed = [ladder.up_to(ladder.rung_of(slug), slug) for slug in likely]
    return tuple(
        slug for slug, those in zip(likely, allowed, strict=True) if solves(geometry, clues, those)
    )


def sole(
    geometry: Geometry, clues: Values, needed: Sequence[str], *, ladder: Ladder = DEFAULT
) -> tuple[str, ...]:
    """Of the techniques that a grid needs, the one that alone does on its rung, if there is one."""
    if len(needed) != 1:
        return ()  # of two, each does without the other
    rest = ladder.up_to(ladder.rung_of(needed[0]) + 1).without(needed[0])
    return () if solves(geometry, clues, rest) else tuple(needed)


def uses(path: Path, slugs: Sequence[str]) -> bool:
    """True if all of these techniques are on the path. Raises InputError for an unknown slug."""
    path.ladder.check(*slugs)
    return all(slug in path.slugs for slug in slugs)


def _steps(count: int) -> str:
    return "1 step" if count == 1 else f"{count} steps"
