"""Reasons: the evidence of each step of a path, and the path without detours.

A solve is told by its placements and those strikes without which one of them could not be made. A
strike that nothing later rests on is a detour.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from functools import partial

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
        path, placed = self.path, self._placed
        values = tuple(v if placed.get(c, -1) < k else 0 for c, v in enumerate(self._last))
        struck = {
            (cell, digit): j
            for (cell, digit), j in self._struck.items()
            if j < k and not values[cell]
        }
        return Scene(path.geometry, values, path.steps[:k], struck, path.ladder)


def without_detours(path: Path) -> Path:
    """The path with those steps only that it is told with (see `Reasons.needed`).

    Each strikes what it strikes then: perhaps more than before, as something else has not.
    """
    board = Board(path.geometry, path.clues)
    return replace(path, steps=tuple(_retold(path, board, Reasons(path).needed())))


def _retold(path: Path, board: Board, told: Collection[int]) -> Iterator[Step]:
    for k in told:
        step = path.steps[k]
        if step.removes:
            step = _as_it_stands(step, board, path)
            if not step.removes:
                continue
        take(board, step)
        yield step


def _as_it_stands(step: Step, board: Board, path: Path) -> Step:
    """The step with all that it strikes on a board."""
    size = path.geometry.size
    rows = [row for row in path.ladder.rows[step.technique] if row.rung == step.rung]
    for row in rows:
        for find in row.find(board) if row.find and not row.sweep else ():
            again = find.cells, find.digits, find.houses, find.part
            if again == (step.cells, step.digits, step.houses, step.part) and not find.nodes:
                return step_of(row, find, size)
    left = tuple((c, d) for c, d in step.removes if board.digits_of(c) >> d - 1 & 1)
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
