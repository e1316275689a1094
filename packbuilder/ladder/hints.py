"""Hints: three tiers for a point of the solve at which a reader gets stuck.

A reader gets stuck where the ways on are few and hard: at the steps of the highest rung, and among
them where the fewest steps are open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packbuilder.grid import Values
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.hint_words import idea, where
from packbuilder.ladder.path import Path
from packbuilder.ladder.reasons import Reasons, told
from packbuilder.ladder.step import Step
from packbuilder.ladder.telling import Telling
from packbuilder.ladder.words import technique_of
from packbuilder.puzzle import BEYOND, Grade

MOST = 5
"""Hints for one puzzle, whatever its grade."""

FEW = 3
"""Hints for a puzzle that has few hard steps: one below grade HARD."""

HARD = 5
"""The grade from which on a puzzle may have MOST hints."""

APART = 4
"""Steps between two hints: closer ones would help with the same knot."""

EARLY = 1 / 2
"""Where nothing but singles is to be told: the part of the solve that still has knots."""


@dataclass(frozen=True)
class Hint:
    """Help with one step, in three tiers that give away more and more.

    ``where`` says where to look and no more; ``idea`` names the idea; ``told`` is the step in
    words. ``position`` is the grid as it stands before the step: clues and digits placed so far.
    ``shown`` lists the cells whose candidates the step needs, each with its candidates;
    ``struck`` the (cell, digit) candidates among them that the step removes; a cell that it settles
    shows its digit instead. ``because`` is its evidence (see `evidence`), ``gives`` the (cell,
    digit) pair that can be placed at once after it. ``letters`` are what its words call some cells.
    """

    where: str
    idea: str
    told: str
    step: Step
    position: Values
    shown: tuple[tuple[int, tuple[int, ...]], ...] = ()
    struck: tuple[tuple[int, int], ...] = ()
    because: tuple[Because, ...] = ()
    gives: tuple[tuple[int, int], ...] = ()
    letters: tuple[tuple[int, str], ...] = ()

    @property
    def pictured(self) -> Values:
        """The digits that its picture shows: the position, and what can be written in its cells.

        That is what a placement writes, and what is left for a cell that a strike settles.
        """
        written = dict((*self.step.places, *self.settled))
        return tuple(written.get(cell, value) for cell, value in enumerate(self.position))

    @property
    def settled(self) -> tuple[tuple[int, int], ...]:
        """The cells that its strikes settle, each with the digit that is left."""
        cells = {c for c, _ in self.step.removes} - {c for c, _ in self.struck}
        return tuple(pair for pair in self.gives if pair[0] in cells)

    @property
    def spoken(self) -> tuple[tuple[int, tuple[int, ...]], ...]:
        """What `shown` lists, and the candidates of the cells that it settles too."""
        lost = self.step.removes
        every = {c: tuple(sorted((d, *(e for at, e in lost if at == c)))) for c, d in self.settled}
        return tuple(sorted((every | dict(self.shown)).items()))

    @property
    def loses(self) -> tuple[int, ...]:
        """The cells that lose candidates and keep others, in order."""
        cells = {cell for cell, _ in self.step.removes}
        return tuple(cell for cell in sorted(cells) if not self.pictured[cell])


def hints(path: Path) -> tuple[Hint, ...]:
    """The hints for a puzzle, in the order of the solve; none if no step can be made."""
    steps, every = tuple(told(path)), path.ways()
    straight = replace(path, steps=tuple(step for _, step in steps))
    reasons, ways = Reasons(straight), [every[k] for k, _ in steps]
    return tuple(hint_at(reasons, k) for k in _knots(straight, ways))


def most(grade: Grade) -> int:
    """How many hints a puzzle of this grade has at most."""
    return MOST if grade == BEYOND or grade >= HARD else FEW


def hint_at(reasons: Reasons, k: int, *, onward: bool = True) -> Hint:
    """The hint that helps with step ``k`` (from 0), and tells what it gives if ``onward``."""
    path, telling = reasons.path, Telling(reasons)
    step, geometry = path.steps[k], path.geometry
    given = telling.given(k) if onward else None
    shown = _shown(step, reasons.because(k), reasons.candidates(k))
    settled = {cell for cell, _ in given.places} if given and not given.houses else set()
    return Hint(
        where=where(step, reasons.values(k), geometry),
        idea=idea(step, technique_of(step, path.ladder).idea, geometry),
        told=telling.onward(k) if onward else telling.words(k),
        step=step,
        position=reasons.values(k),
        shown=tuple(one for one in shown if one[0] not in settled),
        struck=tuple(pair for pair in step.removes if pair[0] not in settled),
        because=reasons.because(k),
        gives=given.places if given else (),
    )


def _knots(path: Path, ways: Sequence[int]) -> list[int]:
    """The steps worth a hint: the hardest first, then the narrowest, then the earliest."""
    steps = path.steps
    first_strike = next((k for k, step in enumerate(steps) if step.removes), len(steps))

    def worth(k: int) -> bool:
        if steps[k].removes:
            # A strike that opens nothing easier was not what the reader was looking for.
            return k + 1 < len(steps) and steps[k + 1].rung < steps[k].rung
        # After the first strike a single may rest on struck candidates that the page does not show.
        early = k < first_strike and k <= EARLY * len(steps)
        return early and ways[k] <= 2 and not plain(k)

    def plain(k: int) -> bool:
        # The last empty cell of a house is seen without help.
        return steps[k].technique == "full-house"

    def rank(k: int) -> tuple[bool, bool, bool, int, int]:
        return not worth(k), plain(k), k > EARLY * len(steps), ways[k], k

    top = max((step.rung for step in steps), default=0)
    first = sorted((k for k, step in enumerate(steps) if step.rung == top), key=rank)[:1]
    others = sorted(filter(worth, range(len(steps))), key=lambda k: (-steps[k].rung, ways[k], k))
    chosen: list[int] = []
    for k in first + others:
        # What is more than a few is for hard steps, not for singles between them.
        room = FEW if steps[k].places else most(path.grade)
        if len(chosen) < room and all(abs(k - other) >= APART for other in chosen):
            chosen.append(k)
    return sorted(chosen)


def _shown(
    step: Step, because: Sequence[Because], left: Sequence[tuple[int, ...]]
) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """The cells whose candidates make the step plain, in reading order. None for a placement.

    They are the cells that the step rests on and those that it clears, with the candidates that it
    speaks of; and those that are closed to a digit by something else than a placed one, with all
    that they have left.
    """
    if not step.removes:
        return ()
    own = {*step.cells, *(cell for cell, _ in step.removes)}
    by_digit = {(cell, one.digit) for one in because if one.kind == "digit" for cell in one.closes}
    lost = {c for one in because for c in one.closes if (c, one.digit) not in by_digit}
    # A rule's step may rest on filled cells too; they have no candidates to show.
    return tuple(
        (cell, _spoken_of(step, cell, here) if cell in own else here)
        for cell in sorted(own | lost)
        if (here := left[cell])
    )


def _spoken_of(step: Step, cell: int, here: tuple[int, ...]) -> tuple[int, ...]:
    """Those candidates of a cell of the step without which it would not be plain.

    A step along links, or of one digit, is about those candidates alone. A cell that it leaves a
    single candidate shows that too: it is what the step was made for.
    """
    struck = {d for at, d in step.removes if at == cell}
    spoken = {d for where, d in step.nodes if cell in where}
    if not step.nodes and len(step.digits) == 1 and not step.told:
        spoken = set(step.digits)
    elif not step.nodes:
        return here
    left = set(here) - struck
    return tuple(d for d in here if d in spoken | struck or (struck and len(left) == 1))
