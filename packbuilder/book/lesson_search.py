"""Search for the grids of `lessons`: one that needs a technique, and shows it early and plainly.

Each attempt takes clues from a solved grid until what is easier than the technique gets stuck and
the technique helps; for one of the highest rung until no clue can be spared, for what is easier
finishes nearly every grid that has clues to spare. Such a grid is made plainer again: a clue goes
back in wherever the technique stays needed and its step gets easier to see.

    python -m packbuilder.book.lesson_search SLUG --attempts 200

prints what ``lessons.yaml`` has of a grid, and its cost: the plainest two are the example and the
one to try. An attempt makes the same grid again on any machine.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from packbuilder.book.lessons import GEOMETRY, allowance, first_step
from packbuilder.grid import Values, format_grid
from packbuilder.ladder.board import Board
from packbuilder.ladder.climb import climb
from packbuilder.ladder.hints import hint_at
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.reasons import Reasons
from packbuilder.ladder.rounds import rate
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.step import Step
from packbuilder.ladder.table import ASSUMING_UNIQUE
from packbuilder.proof import kernel
from packbuilder.rules.contract import Draw
from packbuilder.rules.tools.random_clues import shuffled

_OF_STRINGS = ("x-wing", "skyscraper", "two-string-kite", "w-wing")
_OF_ONE_DIGIT = ("skyscraper", "two-string-kite", "simple-colouring")
_OF_ONE_HOUSE = ("naked-triple", "hidden-triple", "hidden-pair")
_LAST = ("forcing-cell", "forcing-house")
_QUADS = ("naked-quad", "hidden-quad")
_FISH = {"x-wing": 2, "swordfish": 3, "jellyfish": 4, "finned-x-wing": 2, "finned-swordfish": 3}
FEW, MANY = 36, 48
"""How many clues an example may have: for a single, which more would only make more of; for a
strike, before which more clues leave less to do."""

PASSES = 3
"""How often all empty cells are tried again, as long as that helps."""

_SPARED = 1  # clues that are left at first of the digit or the house in which a step is hoped for


@dataclass(frozen=True)
class Found:
    """A grid that needs a technique. Of two, the one with the lower ``cost`` is plainer."""

    slug: str
    attempt: int
    clues: Values
    cost: float

    def line(self) -> str:
        """What the data file has of it, in one line: slug, attempt and grid."""
        return f"{self.slug} {self.attempt} {format_grid(self.clues)}"


def search(slug: str, attempts: Sequence[int]) -> Iterator[Found]:
    """The grids of these attempts that need the technique, made plainer."""
    for attempt in attempts:
        clues = dug(slug, attempt)
        if clues is not None:
            yield plainer(slug, attempt, clues)


def dug(slug: str, attempt: int) -> Values | None:
    """A grid that needs the technique: the first that the digging meets; None where it meets none.

    Clues are taken away while what is easier still finishes the grid. Each clue that it cannot
    spare leaves it stuck; there the technique may be what helps. A single helps everywhere; so for
    singles the digging goes on while they do.
    """
    ladder = allowance(slug)
    bare = ladder.without(slug)
    # Only random() is promised to draw the same numbers in every Python.
    draw = random.Random(f"lesson/{slug}/{attempt}").random
    solution = kernel.random_solution(GEOMETRY, int(draw() * 2**53))
    if slug in _LAST:
        bared = _bared(solution, draw)
        needs_it = not rate(GEOMETRY, bared, ladder=bare).solved and _solved(bared, ladder)
        return bared if needs_it else None
    clues = list(solution)
    for cell in _order(slug, solution, draw):
        digit, clues[cell] = clues[cell], 0
        board = Board(GEOMETRY, tuple(clues))
        climb(board, bare)
        if board.open:
            helps = any(row.find is None or any(row.find(board)) for row in ladder.rows[slug])
            helps = helps and _solved(tuple(clues), ladder)
            if helps and ladder.named(slug).find is not None:
                return tuple(clues)
            clues[cell] = 0 if helps else digit
    return None if rate(GEOMETRY, tuple(clues), ladder=bare).solved else tuple(clues)


def _bared(solution: Values, draw: Draw) -> Values:
    """The clues that are left when any that can be spared has gone, in an order by chance."""
    clues = list(solution)
    for cell in shuffled(range(GEOMETRY.cell_count), draw):
        digit, clues[cell] = clues[cell], 0
        if kernel.prove(GEOMETRY, tuple(clues)).solutions != 1:
            clues[cell] = digit
    return tuple(clues)


def _solved(clues: Values, ladder: Ladder) -> bool:
    """Whether a ladder finishes a grid that has one solution, which some of it takes as given."""
    return (
        rate(GEOMETRY, clues, ladder=ladder).solved and kernel.prove(GEOMETRY, clues).solutions == 1
    )


def _order(slug: str, solution: Values, draw: Draw) -> list[int]:
    """All cells, as they are tried: first those that leave room for the step, last its walls."""
    cells = shuffled(range(GEOMETRY.cell_count), draw)
    first: list[int] = []
    last: list[int] = []
    if slug in _FISH:
        first, last = _waters(_FISH[slug], slug.startswith("finned"), solution, draw)
    elif slug in _QUADS:
        first, last = _bare_line(4, slug.startswith("hidden"), solution, draw)
    elif slug in _OF_ONE_DIGIT:
        digit = 1 + int(draw() * GEOMETRY.size)
        first = [cell for cell in cells if solution[cell] == digit][_SPARED:]
    elif slug in _OF_ONE_HOUSE:
        house = GEOMETRY.houses[int(draw() * len(GEOMETRY.houses))]
        first = [cell for cell in cells if cell in house.cells][_SPARED:]
    return [*first, *(cell for cell in cells if cell not in {*first, *last}), *last]


def _waters(n: int, finned: bool, solution: Values, draw: Draw) -> tuple[list[int], list[int]]:
    """Room for a fish of n lines, and what walls it in.

    The digit's own cells go first, and those where its n lines meet the n across; the other cells
    of its lines stay as long as they can, so that the digit has no place there. A fin needs one of
    them.
    """
    size = GEOMETRY.size
    digit, level = 1 + int(draw() * size), draw() < 0.5
    lines = shuffled(range(size), draw)[:n]
    houses = [GEOMETRY.houses[line if level else size + line] for line in lines]
    held = {cell for house in houses for cell in house.cells if solution[cell] == digit}
    across = {cell % size if level else cell // size for cell in held}
    cells = [cell for house in houses for cell in house.cells]
    meet = [cell for cell in cells if (cell % size if level else cell // size) in across]
    walls = shuffled((cell for cell in cells if cell not in meet), draw)
    fins = walls[: 1 + int(draw() * 2)] if finned else []
    own = [cell for cell, value in enumerate(solution) if value == digit and cell not in held]
    return shuffled([*meet, *own, *fins], draw), [cell for cell in walls if cell not in fins]


def _bare_line(n: int, hidden: bool, solution: Values, draw: Draw) -> tuple[list[int], list[int]]:
    """Room for n digits that share n cells of an empty line, and what walls them in.

    Hidden, the n digits are seen from the line's other cells; naked, the n cells see all other
    digits of the line. What they see in the lines across stays as long as it can.
    """
    size = GEOMETRY.size
    line, level = int(draw() * size), draw() < 0.5
    cells = shuffled(GEOMETRY.houses[line if level else size + line].cells, draw)
    within, outside = cells[:n], cells[n:]
    lookers, seen = (outside, within) if hidden else (within, outside)
    digits = {solution[cell] for cell in seen}
    across = [GEOMETRY.houses[size + c % size if level else c // size].cells for c in lookers]
    walls = [cell for house in across for cell in house if solution[cell] in digits]
    return cells, shuffled((cell for cell in walls if cell not in cells), draw)


def plainer(slug: str, attempt: int, clues: Values) -> Found:
    """The grid with clues put back, one by one, for as long as that makes its step plainer."""
    ladder = allowance(slug)
    bare = ladder.without(slug)
    path = walk(GEOMETRY, clues, ladder=ladder)
    solution, cost = path.position_before(len(path.steps)).values, cost_of(path, slug)
    most = FEW if ladder.named(slug).find is None else MANY
    draw = random.Random(f"plainer/{slug}/{attempt}").random
    for _ in range(PASSES):
        before = cost
        for cell in shuffled([c for c, v in enumerate(clues) if not v], draw):
            if GEOMETRY.cell_count - clues.count(0) >= most:
                break
            more = tuple(solution[c] if c == cell else v for c, v in enumerate(clues))
            if rate(GEOMETRY, more, ladder=bare).solved:
                continue
            lower = cost_of(walk(GEOMETRY, more, ladder=ladder), slug)
            if lower <= cost:
                clues, cost = more, lower
        if cost == before:
            break
    return Found(slug, attempt, clues, cost)


def cost_of(path: Path, slug: str) -> float:
    """How hard the first step of a technique is to see, the least the best: our own judgement.

    Earlier strikes weigh most, for they leave no trace on paper; then a step that lets nothing be
    written at once, best in the one cell that it clears; other steps open beside it, several
    losses, candidates to show, links to follow, ends of links that stand close, and empty cells.
    """
    k = first_step(path, slug)
    if k is None:
        return float("inf")
    steps, strikes = path.steps, bool(path.steps[k].removes)
    hint = hint_at(Reasons(path), k)
    ways = Path(path.geometry, path.clues, steps[: k + 1], path.rating, path.ladder).ways()[k]
    return (
        8.0 * sum(bool(step.removes) for step in steps[:k])
        + 10.0 * (k + 1 < len(steps) and bool(steps[k + 1].removes))
        + 6.0 * (strikes and not hint.settled)
        + 3.0 * (ways - 1) * strikes
        + 2.0 * (len({cell for cell, _ in steps[k].removes}) - 1) * strikes
        + 4.0 * _crowded(steps[k])
        + 1.0 * sum(len(digits) for _, digits in hint.shown)
        + 2.0 * len(steps[k].nodes)
        + 0.25 * hint.position.count(0)
    )


def _crowded(step: Step) -> int:
    """How many ends of a step's strings stand on one line and in one band, so nowhere far apart."""
    if step.technique not in _OF_STRINGS:
        return 0
    spots = [divmod(cell, 9) for cell in step.cells]
    return sum(
        (r == q and c // 3 == k // 3) or (c == k and r // 3 == q // 3)
        for (r, c), (q, k) in combinations(spots, 2)
    )


def main(arguments: Sequence[str] | None = None) -> None:
    """Search from the command line."""
    parser = argparse.ArgumentParser(description="search for the grid of a lesson")
    parser.add_argument("slug", choices=ASSUMING_UNIQUE.slugs, metavar="SLUG")
    parser.add_argument("--first", type=int, default=1, help="the first attempt (1)")
    parser.add_argument("--attempts", type=int, default=200, help="how many attempts (200)")
    given = parser.parse_args(arguments)
    for found in search(given.slug, range(given.first, given.first + given.attempts)):
        print(f"{found.line()}  # cost {found.cost:g}", flush=True)


if __name__ == "__main__":
    main()
