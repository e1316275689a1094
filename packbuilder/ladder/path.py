"""Path: how a person solves a grid, easiest idea first, step by step."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.board import Board
from packbuilder.ladder.climb import Move, climb, openings
from packbuilder.ladder.find import Find
from packbuilder.ladder.rounds import Rating, rate
from packbuilder.ladder.rungs import Ladder, Technique
from packbuilder.ladder.step import Step
from packbuilder.ladder.table import DEFAULT
from packbuilder.puzzle import Grade


@dataclass(frozen=True)
class Position:
    """A grid between two steps: the digits placed so far, and each empty cell's candidates."""

    values: Values
    candidates: tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Path:
    """A solve: the steps in order, and how hard the grid is, which no single path can say."""

    geometry: Geometry
    clues: Values
    steps: tuple[Step, ...]
    rating: Rating
    ladder: Ladder = DEFAULT

    @property
    def solved(self) -> bool:
        """True if the steps fill the grid."""
        return self.rating.solved

    @property
    def grade(self) -> Grade:
        """The rung of the hardest step, or ``beyond``. For these four see `Rating`."""
        return self.rating.grade

    @property
    def hardest(self) -> str:
        """The slug of the hardest technique, or "" where there is none."""
        return self.rating.hardest

    @property
    def effort(self) -> float:
        """The weights of all that it takes, to one decimal."""
        return self.rating.effort

    @property
    def techniques(self) -> tuple[tuple[str, int], ...]:
        """(slug, how often), easiest first."""
        return self.rating.techniques

    @property
    def slugs(self) -> tuple[str, ...]:
        """The techniques of the steps, each once, easiest first."""
        taken = {step.technique for step in self.steps}
        return tuple(slug for slug in self.ladder.slugs if slug in taken)

    def position_before(self, k: int) -> Position:
        """The position before step ``k`` (from 0); ``len(steps)`` gives the last one.

        Raises IndexError outside 0 to ``len(steps)``.
        """
        if not 0 <= k <= len(self.steps):
            raise IndexError(f"the path has {len(self.steps)} steps; there is no step {k}")
        board = self._board()
        for step in self.steps[:k]:
            take(board, step)
        return Position(tuple(board.values), board.candidates())

    def positions(self) -> Iterator[Position]:
        """The position before each step, and the last one: ``len(steps) + 1`` in all."""
        board = self._board()
        yield Position(tuple(board.values), board.candidates())
        for step in self.steps:
            take(board, step)
            yield Position(tuple(board.values), board.candidates())

    def positions_left(self) -> int:
        """How many cells the solve leaves empty: 0 if it is solved."""
        placed = sum(len(step.places) for step in self.steps)
        return self.clues.count(0) - placed

    def ways(self) -> tuple[int, ...]:
        """For each step, how many steps of its rung were open then, itself included.

        Nothing easier is ever open: the lowest rung that offers anything is taken. Two steps count
        as one where they place or strike the same.
        """
        return self._ways

    @cached_property
    def _ways(self) -> tuple[int, ...]:
        board = self._board()
        counts = []
        for step in self.steps:
            counts.append(sum(1 for _ in openings(board, self.ladder)))
            take(board, step)
        return tuple(counts)

    def _board(self) -> Board:
        return Board(self.geometry, self.clues)


def walk(
    geometry: Geometry,
    clues: Values,
    *,
    ladder: Ladder = DEFAULT,
    only: Collection[str] | None = None,
) -> Path:
    """Solve a grid easiest idea first, as far as the ladder goes, keeping every step.

    ``only`` leaves no technique but these slugs (InputError for an unknown one). The grid is
    taken to have one solution; that is for the proof to say. A grid whose clues clash comes out
    unsolved, grade ``beyond``.
    """
    if only is not None:
        ladder = ladder.only(only)
    board = Board(geometry, clues)
    moves = climb(board, ladder)
    steps = tuple(_step(move, geometry.size) for move in moves)
    return Path(geometry, clues, steps, rate(geometry, clues, ladder=ladder), ladder)


def _step(move: Move, size: int) -> Step:
    technique, key, house, find = move
    if find is None:
        cell, digit = key // size, key % size + 1
        houses = (house,) if house >= 0 else ()
        return Step(technique.slug, technique.rung, ((cell, digit),), (), (cell,), (digit,), houses)
    return step_of(technique, find, size)


def step_of(technique: Technique, find: Find, size: int) -> Step:
    """A find as a step."""
    removes = tuple((key // size, key % size + 1) for key in find.removes)
    return Step(
        technique.slug,
        technique.rung,
        (),
        removes,
        find.cells,
        find.digits,
        find.houses,
        find.nodes,
        find.ties,
        find.told() if find.told else "",
        find.part,
    )


def take(board: Board, step: Step) -> None:
    """Make a step on a board."""
    size = board.fields.size
    for cell, digit in step.places:
        board.place(cell * size + digit - 1)
    board.strike(_keys(step.removes, size))


def _keys(pairs: Iterable[tuple[int, int]], size: int) -> list[int]:
    return [cell * size + digit - 1 for cell, digit in pairs]
