"""Reasons: the evidence of each step of a path, and which earlier strikes it rests on.

So a solve can be told without detours: a strike that nothing later rests on is left out.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from functools import partial

from packbuilder.ladder.basis import basis_of
from packbuilder.ladder.bit_layout import BitLayout
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import reason_of
from packbuilder.ladder.evidence import Because, Scene
from packbuilder.ladder.find import Find
from packbuilder.ladder.path import Path, step_of_find, take
from packbuilder.ladder.puzzle_ladder import sight_of
from packbuilder.ladder.sparing import spared
from packbuilder.ladder.step import Step
from packbuilder.rules.contract import Part

Pair = tuple[int, int]


class Reasons:
    """The reasons of a path's steps, which are numbered from 0. Worked out when asked for."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._struck: dict[Pair, int] = {}
        self._placed: dict[int, int] = {}
        values = list(path.clues)
        for k, step in enumerate(path.steps):
            self._struck = {pair: k for pair in step.removes} | self._struck
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
        """The earlier strikes without which step ``k`` could not be made; perhaps more of them,
        where a forcing or a refutation does not show which."""
        step = self.path.steps[k]
        if step.places or basis_of(step, self.path.geometry):
            return frozenset(one.step for one in self.because(k) if one.step >= 0)
        scene = self._scene(k)
        open_still = {pair: j for pair, j in scene.struck.items() if not _seen(pair, scene)}
        if step.part:
            return self._of_rule(step, scene, open_still)
        if self.path.ladder.parts:
            return frozenset(open_still.values())
        spoken = {
            pair: j
            for pair, j in open_still.items()
            if pair[0] in step.cells or pair[1] in step.digits
        }
        return frozenset(spoken.values())

    def needed(self) -> tuple[int, ...]:
        """The steps that the solve is told with: all that place a digit, and what they rest on.

        Of a technique that is promised one step at least is told, if the path takes it.
        """
        steps, wanted = self.path.steps, set[int]()

        def add(k: int) -> None:
            wanted.add(k)
            for j in range(k, -1, -1):
                if j in wanted:
                    wanted.update(self.rests_on(j))

        for k in range(len(steps) - 1, -1, -1):
            if steps[k].places:
                wanted.add(k)
            if k in wanted:
                wanted |= self.rests_on(k)
        for slug in self.path.ladder.first:
            taken = [k for k, step in enumerate(steps) if step.technique == slug]
            if taken and wanted.isdisjoint(taken):
                add(taken[0])
        return tuple(sorted(wanted))

    def _scene(self, k: int) -> Scene:
        path, placed = self.path, self._placed
        values = tuple(v if placed.get(c, -1) < k else 0 for c, v in enumerate(self._last))
        struck = {
            (cell, digit): j
            for (cell, digit), j in self._struck.items()
            if j < k and not values[cell]
        }
        return Scene(path.geometry, values, path.steps[:k], struck, path.ladder)

    def _of_rule(self, step: Step, scene: Scene, struck: dict[Pair, int]) -> frozenset[int]:
        """The strikes that its part needs to say the same, those in its own cells first."""
        enough = partial(_says_the_same, step, scene, struck)
        near = sorted({j for (cell, _), j in struck.items() if cell in step.cells})
        start = next(
            (
                some
                for some in (
                    near,
                    sorted({j for (cell, _), j in struck.items() if cell in step.part.cells}),
                )
                if enough(some)
            ),
            sorted(set(struck.values())),
        )
        return frozenset(spared(start, enough))
