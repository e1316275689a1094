"""Rounds: how hard a grid is, the same in every disguise.

A grid is solved by *rounds*. Each takes the first technique in the ladder's order (by rung, then
what is promised, then the lightest) that offers anything, and takes all that it offers at once: so
nothing depends on where on the grid a thing stands or which digit it is.

- The **grade** is the rung of the hardest technique that the solve took.
- The **effort** is the sum of weights: that of its technique for each digit placed, and for each
  round of strikes once. `Rating.techniques` counts the same way. So effort is near to the sum over
  the steps of a path, of which several may make up one round.
- The **hardest** technique is, of those on the rung of the grade, the heaviest that the grid cannot
  do without: with all the others up to that rung it is not solved. Where each of them can be
  spared, it is the one that comes first when the solve is first stuck below that rung.

No solve ends elsewhere for taking things in another order, as what is open stays open until it is
taken: so a path has the grade of its rating and always takes the ``hardest`` technique.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.board import Board
from packbuilder.ladder.climb import singles
from packbuilder.ladder.find import keys_in
from packbuilder.ladder.rungs import Ladder, Sight, Technique
from packbuilder.ladder.table import DEFAULT
from packbuilder.puzzle import BEYOND, Grade


@dataclass(frozen=True)
class Rating:
    """How hard a grid is.

    ``grade`` is a rung, or ``beyond`` where the ladder does not finish; ``hardest`` a slug (where
    the ladder does not finish, of the heaviest technique taken; "" if none was), ``techniques``
    are (slug, how often) pairs, easiest first.
    """

    grade: Grade
    hardest: str
    effort: float
    techniques: tuple[tuple[str, int], ...]

    @property
    def solved(self) -> bool:
        """True if the ladder finishes the grid."""
        return self.grade != BEYOND


def rate(geometry: Geometry, clues: Values, *, ladder: Ladder = DEFAULT) -> Rating:
    """Rate a grid, which is taken to have one solution: that is for the proof to say.

    A grid whose clues clash has the grade ``beyond``.
    """
    start = Board(geometry, clues)
    board = start.copy()
    counts, before = _play(board, ladder)
    finished = not board.open and not board.broken
    taken = list(counts)
    by_slug: Counter[str] = Counter()
    for technique in sorted(taken, key=lambda t: (t.rung, t.weight)):
        by_slug[technique.slug] += counts[technique]
    return Rating(
        grade=max((t.rung for t in taken), default=1) if finished else BEYOND,
        hardest=_hardest(taken, before, start, ladder) if finished else _heaviest(taken),
        effort=round(float(sum(t.weight * count for t, count in counts.items())), 1),
        techniques=tuple(by_slug.items()),
    )


def solves(geometry: Geometry, clues: Values, ladder: Ladder) -> bool:
    """Whether a ladder finishes a grid."""
    return _finishes(Board(geometry, clues), ladder)


def _play(board: Board, ladder: Ladder) -> tuple[Counter[Technique], dict[Technique, Board]]:
    """Play all rounds: how often each technique was taken, and the board before it first was.

    The first is in the order of taking.
    """
    counts: Counter[Technique] = Counter()
    before: dict[Technique, Board] = {}
    order = ladder.order
    while board.open:
        for technique in order:
            if technique.sight:
                if found := _places(board, technique.sight):
                    for key in found:
                        board.place(key)
                    counts[technique] += len(found)
                    break
            elif gone := strikes(board, technique):
                if technique not in before:
                    before[technique] = board.copy()
                board.strike(gone)
                counts[technique] += 1
                break
        else:
            break
        if technique.slug in ladder.first:
            order = ladder.order_after(counts)
    return counts, before


def _finishes(board: Board, ladder: Ladder) -> bool:
    """Whether a ladder finishes a board: the strongest first, as the order makes no difference."""
    placing = [t for t in ladder.order if t.sight]
    order = (*placing, *reversed([t for t in ladder.order if not t.sight]))
    while board.open:
        for technique in order:
            if technique.sight:
                if found := _places(board, technique.sight):
                    for key in found:
                        board.place(key)
                    break
            elif gone := strikes(board, technique):
                board.strike(gone)
                break
        else:
            return False
    return not board.broken


def _places(board: Board, sight: Sight) -> set[int]:
    """The keys of all singles that are seen so."""
    pool, found, key_at = singles(board, sight), set(), board.fields.key_at
    while pool:
        low = pool & -pool
        pool ^= low
        found.add(key_at[low.bit_length() - 1])
    return found


def strikes(board: Board, technique: Technique) -> Collection[int]:
    """The keys that all finds of a technique remove."""
    if technique.sweep:
        return keys_in(technique.sweep(board), board.fields)
    found: set[int] = set()
    for find in technique.find(board) if technique.find else ():
        found.update(find.removes)
    return found


def _heaviest(taken: list[Technique]) -> str:
    return max(taken, key=lambda t: (t.rung, t.weight)).slug if taken else ""


def _hardest(
    taken: list[Technique], before: dict[Technique, Board], start: Board, ladder: Ladder
) -> str:
    """The slug of the hardest technique of a solve that took these, in this order."""
    if not taken:
        return ""
    rung = max(t.rung for t in taken)
    top = [t for t in taken if t.rung == rung]
    allowed = ladder.up_to(rung + 1)
    for technique in sorted(top, key=lambda t: t.weight, reverse=True) if len(top) > 1 else ():
        # The last one in the order was taken where all others had nothing left.
        if technique is allowed.order[-1] and technique.slug not in ladder.first:
            return technique.slug
        if not _finishes(before.get(technique, start).copy(), allowed.dropping(technique)):
            return technique.slug
    return top[0].slug
