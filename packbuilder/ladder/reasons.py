"""Reasons: the evidence of each step of a path, and the path without detours.

A solve is told by its placements and those strikes without which one of them could not be made. A
strike that nothing later rests on is a detour.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from functools import partial

from packbuilder.grid import Values
from packbuilder.ladder.basis import basis_of
from packbuilder.ladder.board import Board
from packbuilder.ladder.evidence import Because, Scene
from packbuilder.ladder.path import Path, step_of, take
from packbuilder.ladder.sparing import spared
from packbuilder.ladder.step import Step
from packbuilder.rules.contract import Part, Sight
from packbuilder.rules.tools.masks import everything

Pair = tuple[int, int]


class Reasons:
    """The reasons of a path's steps, which are numbered from 0. Worked out when asked for."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._struck: dict[Pair, int] = {}
        self._placed: dict[int, int] = {}
        values = list(path.clues)
        for k, step in enumerate(path.steps):
            self._struck = dict.fromkeys(step.removes, k) | self._struck
            for cell, digit in step.places:
                values[cell], self._placed[cell] = digit, k
        self._last = tuple(values)
        self._known: dict[int, tuple[Because, ...]] = {}

    def because(self, k: int) -> tuple[Because, ...]:
        """The evidence of step ``k``: see `Scene.because`."""
        if k not in self._known:
            self._known[k] = self._scene(k).because(self.path.steps[k])
        return self._known[k]

    def digit_at(self, cell: int) -> int:
        """The digit that the solve places in a cell, or that is given there; 0 if none."""
        return self._last[cell]

    def rests_on(self, k: int) -> frozenset[int]:
        """The earlier strikes without which step ``k`` could not be made.

        Perhaps more of them, where a forcing or a refutation does not show which.
        """
        step = self.path.steps[k]
        if step.places or basis_of(step, self.path.geometry):
            return frozenset(one.step for one in self.because(k) if one.step >= 0)
        scene = self._scene(k)
        struck = {pair: j for pair, j in scene.struck.items() if not scene.seen(*pair)}
        if step.part:
            return frozenset(_of_rule(step, step.part, scene, struck))
        near = step.cells if not self.path.ladder.parts else range(len(scene.values))
        return frozenset(j for (c, d), j in struck.items() if c in near or d in step.digits)

    def values(self, k: int) -> Values:
        """The digits that stand before step ``k``; 0 for an empty cell."""
        placed = self._placed
        return tuple(v if placed.get(c, -1) < k else 0 for c, v in enumerate(self._last))

    def candidates(self, k: int) -> tuple[tuple[int, ...], ...]:
        """What is left for each empty cell before step ``k``, less what parts close at a glance.

        What the step strikes is left, and the places of a digit that is all that it speaks of.
        """
        scene, digits = self._scene(k), range(1, self.path.geometry.size + 1)
        step = self.path.steps[k]
        kept = {*step.removes}
        kept |= {(cell, *step.digits) for cell in step.cells if len(step.digits) == 1}

        def closed(cell: int, digit: int) -> bool:
            pair = cell, digit
            if pair in kept:
                return pair in scene.struck or scene.seen(cell, digit)
            return scene.closed(cell, digit)

        return tuple(
            () if value else tuple(d for d in digits if not closed(cell, d))
            for cell, value in enumerate(scene.values)
        )

    def needed(self) -> tuple[int, ...]:
        """The steps that the solve is told with: all that place a digit, and what they rest on.

        Of a technique that is promised one step at least is told, if the path takes it. Of a solve
        that ends unfinished every step is.
        """
        steps = self.path.steps
        if not self.path.solved:
            return tuple(range(len(steps)))
        wanted = {k for k, step in enumerate(steps) if step.places}
        told = {step.technique for step in self._closed(wanted)}
        for slug in sorted(self.path.ladder.first - told):
            wanted.update([k for k, step in enumerate(steps) if step.technique == slug][:1])
        self._closed(wanted)
        return tuple(sorted(wanted))

    def _closed(self, wanted: set[int]) -> list[Step]:
        """Add to some steps all that they rest on."""
        for k in range(len(self.path.steps) - 1, -1, -1):
            if k in wanted:
                wanted |= self.rests_on(k)
        return [self.path.steps[k] for k in wanted]

    def _scene(self, k: int) -> Scene:
        path, values = self.path, self.values(k)
        struck = {
            (cell, digit): j
            for (cell, digit), j in self._struck.items()
            if j < k and not values[cell]
        }
        return Scene(path.geometry, values, path.steps[:k], struck, path.ladder)


def without_detours(path: Path) -> Path:
    """The path with those steps only that it is told with: see `told`."""
    return replace(path, steps=tuple(step for _, step in told(path)))


def told(path: Path) -> Iterator[tuple[int, Step]]:
    """The steps that a path is told with (see `Reasons.needed`), each with its number on the path.

    Each strikes what it strikes then: perhaps more than before, as something else has not.
    """
    board = Board(path.geometry, path.clues)
    for k in Reasons(path).needed():
        step = path.steps[k]
        if step.removes:
            step = _as_it_stands(step, board, path)
        if step.places or step.removes:
            take(board, step)
            yield k, step


def _as_it_stands(step: Step, board: Board, path: Path) -> Step:
    """The step with all that it strikes on a board."""
    left = tuple((c, d) for c, d in step.removes if board.digits_of(c) >> d - 1 & 1)
    due = step.cells, step.digits, step.houses, step.part
    for row in path.ladder.rows[step.technique] if left and not step.nodes else ():
        if row.rung == step.rung and row.find and not row.sweep:
            for find in row.find(board):
                again = step_of(row, find, path.geometry.size)
                rests_on = again.cells, again.digits, again.houses, again.part
                if rests_on == due and set(left) <= set(again.removes):
                    return again
    return replace(step, removes=left)


def _of_rule(step: Step, part: Part, scene: Scene, struck: dict[Pair, int]) -> list[int]:
    """The strikes that a part needs to say the same: those in its own cells, if they are enough."""
    enough = partial(_says_the_same, step, part, scene, struck)
    near = sorted({j for (cell, _), j in struck.items() if cell in {*step.cells, *part.cells}})
    return spared(near if enough(near) else sorted(set(struck.values())), enough)


def _says_the_same(
    step: Step, part: Part, scene: Scene, struck: dict[Pair, int], some: Collection[int]
) -> bool:
    """Whether a part strikes what a step strikes, after these strikes alone."""
    masks = [1 << value - 1 if value else everything(scene.geometry.size) for value in scene.values]
    for cell, value in enumerate(scene.values):
        if value:
            for peer in scene.geometry.peers[cell]:
                if not scene.values[peer]:
                    masks[peer] &= ~(1 << value - 1)
    for (cell, digit), j in struck.items():
        if j in some:
            masks[cell] &= ~(1 << digit - 1)
    found = part.deduce(Sight(scene.geometry, masks))
    return any(
        made.technique == step.technique and set(step.removes) <= set(made.removes)
        for made in found
    )
