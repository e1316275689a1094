"""Search for the grids of `lessons`: one that needs a technique, and shows it early and plainly.

Each attempt takes clues from a solved grid until what is easier than the technique gets stuck and
the technique helps. Such a grid is made plainer again: a clue goes back in wherever the technique
stays needed and its step gets easier to see.

    python -m packbuilder.setting.lesson_search SLUG --attempts 200

prints what ``lessons.yaml`` has of a grid whenever a plainer one is found. An attempt makes the
same grid again on any machine.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packbuilder.grid import Values, format_grid
from packbuilder.ladder.board import Board
from packbuilder.ladder.climb import climb
from packbuilder.ladder.hints import hint_at
from packbuilder.ladder.path import Path, rate, walk
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.techniques import ASSUMING_UNIQUE
from packbuilder.proof import kernel
from packbuilder.rules.contract import Draw
from packbuilder.rules.dealing import shuffled
from packbuilder.setting.lessons import GEOMETRY, allowance, first_step

_OF_ONE_DIGIT = ("x-wing", "swordfish", "jellyfish", "finned-x-wing", "finned-swordfish",
                 "skyscraper", "two-string-kite", "simple-colouring")  # fmt: skip
_OF_ONE_HOUSE = ("naked-quad", "hidden-quad", "naked-triple", "hidden-triple", "hidden-pair")
_ENOUGH = 36  # clues: with many more an example looks like none of the puzzles
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
    """The grids of these attempts that need the technique, each only if plainer than the last."""
    best = float("inf")
    for attempt in attempts:
        clues = dug(slug, attempt)
        if clues is None:
            continue
        found = plainer(slug, attempt, clues)
        if found.cost < best:
            best = found.cost
            yield found


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


def _solved(clues: Values, ladder: Ladder) -> bool:
    """Whether a ladder finishes a grid that has one solution, which some of it takes as given."""
    return (
        rate(GEOMETRY, clues, ladder=ladder).solved and kernel.prove(GEOMETRY, clues).solutions == 1
    )


def _order(slug: str, solution: Values, draw: Draw) -> list[int]:
    """All cells, as they are tried: first those that leave room for the step."""
    cells = shuffled(range(GEOMETRY.cell_count), draw)
    if slug in _OF_ONE_DIGIT:
        digit = 1 + int(draw() * 9)
        first = [cell for cell in cells if solution[cell] == digit][_SPARED:]
    elif slug in _OF_ONE_HOUSE:
        house = GEOMETRY.houses[int(draw() * len(GEOMETRY.houses))]
        first = [cell for cell in cells if cell in house.cells][_SPARED:]
    else:
        first = []
    return [*first, *(cell for cell in cells if cell not in first)]


def plainer(slug: str, attempt: int, clues: Values) -> Found:
    """The grid with clues put back, one by one, for as long as that makes its step plainer."""
    ladder = allowance(slug)
    bare = ladder.without(slug)
    path = walk(GEOMETRY, clues, ladder=ladder)
    solution, cost = path.position_before(len(path.steps)).values, cost_of(path, slug)
    draw = random.Random(f"plainer/{slug}/{attempt}").random
    for cell in shuffled([c for c, v in enumerate(clues) if not v], draw):
        if GEOMETRY.cell_count - clues.count(0) >= _ENOUGH:
            break
        more = tuple(solution[c] if c == cell else v for c, v in enumerate(clues))
        if rate(GEOMETRY, more, ladder=bare).solved:
            continue
        lower = cost_of(walk(GEOMETRY, more, ladder=ladder), slug)
        if lower <= cost:
            clues, cost = more, lower
    return Found(slug, attempt, clues, cost)


def cost_of(path: Path, slug: str) -> float:
    """How hard the first step of a technique is to see, the least the best: our own judgement.

    Earlier strikes weigh most, for they leave no trace on paper; then a step that opens nothing
    at once, other steps open beside it, candidates to show, links to follow, and empty cells.
    """
    k = first_step(path, slug)
    if k is None:
        return float("inf")
    steps = path.steps
    hint = hint_at(path, k)
    ways = Path(path.geometry, path.clues, steps[: k + 1], path.rating, path.ladder).ways()[k]
    return (
        8.0 * sum(bool(step.removes) for step in steps[:k])
        + 10.0 * (k + 1 < len(steps) and bool(steps[k + 1].removes))
        + 3.0 * (ways - 1) * bool(steps[k].removes)
        + 1.0 * sum(len(digits) for _, digits in hint.shown)
        + 2.0 * len(steps[k].nodes)
        + 0.25 * hint.position.count(0)
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
