"""Mend: what would give a puzzle one solution, the likeliest first.

With several solutions: a clue more, or more of them where the picture has a symmetry to keep or
one alone cannot do it, or another digit for one that was misread. Without any: the slips of a
person who copies a grid, two digits exchanged, a row shifted, a digit in the cell beside its own,
and then any one digit changed or left out.
"""

from __future__ import annotations

import time
from collections import Counter as Counts
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from packbuilder import symmetry
from packbuilder.errors import Unfinished
from packbuilder.grid import Values
from packbuilder.mending.change import Change, changed
from packbuilder.mending.counting import Counter
from packbuilder.proof.certify import certify
from packbuilder.puzzle import Pack, Puzzle

LISTED = 2_000
"""Solutions that are listed to see which clues tell them apart (with rules a tenth)."""

MOST = 40
"""Changes of one kind that the gate looks at: it solves each as a person does."""

EXCHANGED, SHIFTED, MISPLACED, MISREAD, ADDED, SPARE = (
    "two digits exchanged", "a line shifted", "a digit in the cell beside its own",
    "a digit misread", "a clue forgotten", "a digit too many",
)  # fmt: skip


@dataclass(frozen=True)
class Mends:
    """What was found of a puzzle: how many solutions it has (None: not known), and its mends.

    ``whole`` is False where the time ran out before all were looked at.
    """

    solutions: int | None
    found: tuple[Change, ...] = ()
    whole: bool = True


def mends(puzzle: Puzzle, pack: Pack, *, budget: float = 60.0, most: int = 8) -> Mends:
    """The mends of a puzzle, those first that keep what is promised; none if it needs none.

    Every one is proved by both engines, save those of a grid without any solution that would leave
    several, which are told where nothing better is.
    """
    deadline = time.monotonic() + budget
    solutions: int | None = 0
    if not _clash(puzzle):
        proof = certify(puzzle.geometry, puzzle.clues, puzzle.rules, time_limit=budget)
        solutions = proof.verdict.solutions
    if solutions == 1 or solutions is None:
        return Mends(solutions)
    counter = Counter(puzzle, deadline)
    looked: list[Change] = []
    whole = True
    try:
        for change in (_for_several if solutions else _for_none)(puzzle, pack, counter):
            counter.look()
            _ = change.broken  # the gate's look at it is what takes time
            looked.append(change)
    except Unfinished:
        whole = False
    looked.sort(key=lambda change: _unlikely(change, solutions or 0))
    found: list[Change] = []
    for change in looked:
        if len(found) == most:
            break
        if change.solutions != 1 or certify(puzzle.geometry, change.clues, puzzle.rules).unique:
            found.append(change)
    return Mends(solutions, tuple(found), whole)


def _unlikely(change: Change, solutions: int) -> tuple[object, ...]:
    """How unlikely a change is what the setter meant: the order in which they are told."""
    known = change.puzzle.solution
    against = sum(change.clues[c] not in (0, known[c]) for c in change.cells) if known else 0
    slips = (EXCHANGED, SHIFTED, MISPLACED, MISREAD, ADDED, SPARE)
    broken, few = len(change.codes), len(change.cells)
    likely = slips.index(change.slip)
    uneven = "wrong-symmetry" in change.codes
    order = (uneven, broken, change.slip == MISREAD, few) if solutions else (likely, broken, few)
    return (change.solutions, against, *order, change.cells, change.clues)


def _clash(puzzle: Puzzle) -> bool:
    clues, peers = puzzle.clues, puzzle.geometry.peers
    return any(d and any(clues[p] == d for p in peers[c]) for c, d in enumerate(clues))


# --- several solutions ------------------------------------------------------------------------


def _for_several(puzzle: Puzzle, pack: Pack, counter: Counter) -> Iterator[Change]:
    solutions, whole = counter.listed(LISTED)
    known = [s for s in solutions if s == puzzle.solution]
    kept = symmetry.completions(puzzle.promise.symmetry or "none", puzzle.clues, puzzle.size)
    together = [cells for cells in kept if _differ(solutions, cells)]
    cells = [c for c, d in enumerate(puzzle.clues) if not d and _differ(solutions, (c,))]
    places = dict.fromkeys([*together, *((cell,) for cell in cells)])
    found = list(_telling(puzzle, counter, list(places), solutions, whole))
    if not any(len(_new(puzzle, clues)) == 1 for clues in found):
        found += _telling(puzzle, counter, list(combinations(cells, 2)), solutions, whole)
    agreed = [c for c in found if known and all(known[0][k] == c[k] for k in _new(puzzle, c))]
    for clues in _some(puzzle, agreed or found):
        yield Change(puzzle, pack, clues, ADDED)
    for clues in counter.unique(list(_misread(puzzle)))[:MOST]:
        yield Change(puzzle, pack, clues, MISREAD)


def _some(puzzle: Puzzle, found: list[Values]) -> list[Values]:
    """At most so many, spread over the grid: those that keep a promised symmetry, then others."""
    name = puzzle.promise.symmetry or "none"
    kept = [clues for clues in found if symmetry.holds(name, clues, puzzle.size)]
    others = [clues for clues in found if clues not in kept]
    return [*_spread(kept, 4 * MOST), *_spread(others, MOST)]


def _spread(found: list[Values], most: int) -> list[Values]:
    return found if len(found) <= most else found[:: -(-len(found) // most)]


def _new(puzzle: Puzzle, clues: Values) -> list[int]:
    return [cell for cell, digit in enumerate(clues) if digit and not puzzle.clues[cell]]


def _differ(solutions: list[Values], cells: Iterable[int]) -> bool:
    return any(len({one[cell] for one in solutions}) > 1 for cell in cells)


def _telling(
    puzzle: Puzzle,
    counter: Counter,
    places: list[tuple[int, ...]],
    solutions: list[Values],
    whole: bool,
) -> list[Values]:
    """Clues in these places that one solution alone has."""
    table = np.array(solutions)
    digits, most = range(1, puzzle.size + 1), 2 if counter.plain else 1
    trials = []
    for cells in places:
        counter.look()
        often = Counts(map(tuple, table[:, cells].tolist()))
        able = [key for key, count in sorted(often.items()) if count == 1]
        if not whole and len(cells) <= most:  # a solution that was not listed may be the one
            able += [key for key in product(digits, repeat=len(cells)) if key not in often]
        trials += [changed(puzzle.clues, zip(cells, key, strict=True)) for key in able]
    return trials if whole else counter.unique(trials)


# --- no solution ------------------------------------------------------------------------------


def _for_none(puzzle: Puzzle, pack: Pack, counter: Counter) -> Iterator[Change]:
    seen: set[Values] = set()
    several: list[Change] = []
    for slip, trials in (
        (EXCHANGED, _exchanged(puzzle)),
        (SHIFTED, _shifted(puzzle)),
        (MISPLACED, _misplaced(puzzle)),
        (MISREAD, _misread(puzzle)),
        (SPARE, _without(puzzle)),
    ):
        new = [clues for clues in dict.fromkeys(trials) if clues not in seen]
        seen.update(new)
        for clues, count in counter.count(new)[: 2 * MOST]:
            change = Change(puzzle, pack, clues, slip, count)
            if count == 1:
                yield change
            else:
                several.append(change)
    yield from several


def _beside(puzzle: Puzzle) -> Iterator[tuple[int, int]]:
    size = puzzle.size
    for cell in range(size * size):
        if cell % size + 1 < size:
            yield cell, cell + 1
        if cell + size < size * size:
            yield cell, cell + size


def _exchanged(puzzle: Puzzle) -> Iterator[Values]:
    clues = puzzle.clues
    for a, b in _beside(puzzle):
        if clues[a] and clues[b] and clues[a] != clues[b]:
            yield changed(clues, [(a, clues[b]), (b, clues[a])])


def _misplaced(puzzle: Puzzle) -> Iterator[Values]:
    clues = puzzle.clues
    for a, b in _beside(puzzle):
        if bool(clues[a]) != bool(clues[b]):
            yield changed(clues, [(a, clues[b]), (b, clues[a])])


def _shifted(puzzle: Puzzle) -> Iterator[Values]:
    """A line moved by a cell, and two lines beside each other exchanged."""
    size, clues = puzzle.size, puzzle.clues
    lines = [[r * size + c for c in range(size)] for r in range(size)]
    lines += [[r * size + c for r in range(size)] for c in range(size)]
    for line in lines:
        digits = [clues[cell] for cell in line]
        if sum(map(bool, digits)) < 2:
            continue  # that is a digit in the cell beside its own
        if not digits[0]:
            yield changed(clues, zip(line, [*digits[1:], 0], strict=True))
        if not digits[-1]:
            yield changed(clues, zip(line, [0, *digits[:-1]], strict=True))
    for k in (*range(size - 1), *range(size, 2 * size - 1)):
        one, other = lines[k], lines[k + 1]
        pairs = [*zip(one, (clues[c] for c in other), strict=True),
                 *zip(other, (clues[c] for c in one), strict=True)]  # fmt: skip
        yield changed(clues, pairs)


def _misread(puzzle: Puzzle) -> Iterator[Values]:
    for cell, digit in enumerate(puzzle.clues):
        for other in range(1, puzzle.size + 1):
            if digit and other != digit:
                yield changed(puzzle.clues, [(cell, other)])


def _without(puzzle: Puzzle) -> Iterator[Values]:
    for cell, digit in enumerate(puzzle.clues):
        if digit:
            yield changed(puzzle.clues, [(cell, 0)])
