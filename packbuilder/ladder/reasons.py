"""Reasons: the evidence of each step of a path, and the path without detours.

A solve is told by its placements and those strikes without which one of them could not be made. A
strike that nothing later rests on is a detour, be it a whole step or a part of one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from packbuilder.grid import Values
from packbuilder.ladder.basis import COUNTS_ALL, basis_of
from packbuilder.ladder.english import takes_out
from packbuilder.ladder.evidence import Because, Scene
from packbuilder.ladder.path import Path
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

    def rests_on(self, k: int) -> frozenset[Pair]:
        """The (cell, digit) pairs struck earlier without which step ``k`` could not be made.

        Perhaps more of them, where a forcing or a refutation does not show which.
        """
        step = self.path.steps[k]
        if step.places or basis_of(step, self.path.geometry):
            own = (one for one in self.because(k) if one.step >= 0)
            return frozenset((cell, one.digit) for one in own for cell in one.closes)
        scene = self._scene(k)
        struck = {pair: j for pair, j in scene.struck.items() if not scene.seen(*pair)}
        if step.technique in COUNTS_ALL:
            return frozenset(struck)
        if step.part:
            return frozenset(_of_rule(step, step.part, scene, struck))
        near = step.cells if not self.path.ladder.parts else range(len(scene.values))
        return frozenset(pair for pair in struck if pair[0] in near or pair[1] in step.digits)

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

    def needed(self) -> dict[int, tuple[Pair, ...]]:
        """The steps that the solve is told with, in order, each with the strikes that are.

        All that place a digit, and what they rest on. Of a technique that is promised one step at
        least is told, if the path takes it. Of a solve that ends unfinished every step is, whole.
        """
        steps = self.path.steps
        if not self.path.solved:
            return {k: step.removes for k, step in enumerate(steps)}
        wanted = {k for k, step in enumerate(steps) if step.places}
        told = {steps[k].technique for k in self._closed(wanted)}
        for slug in sorted(self.path.ladder.first - told):
            wanted.update([k for k, step in enumerate(steps) if step.technique == slug][:1])
        return self._closed(wanted)

    def _closed(self, wanted: Collection[int]) -> dict[int, tuple[Pair, ...]]:
        """Some steps and all that they rest on, each with what is needed of its strikes.

        Of a step that nothing rests on that is all.
        """
        found: dict[int, tuple[Pair, ...]] = {}
        used = set[Pair]()
        for k in range(len(self.path.steps) - 1, -1, -1):
            step = self.path.steps[k]
            needed = tuple(pair for pair in step.removes if pair in used)
            if k in wanted or needed:
                found[k] = needed or step.removes
                used |= self.rests_on(k)
        return dict(sorted(found.items()))

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
    """The steps that a path is told with, each with its number on it: see `Reasons.needed`."""
    for k, removes in Reasons(path).needed().items():
        yield k, in_part(path.steps[k], removes, path.geometry.size)


def in_part(step: Step, removes: Collection[Pair], size: int) -> Step:
    """The step with some of its strikes; whole, where its words speak of them all."""
    told = tuple(pair for pair in step.removes if pair in removes)
    untold = (*step.untold, *(pair for pair in step.removes if pair not in removes))
    if not step.told:
        colours = step.nodes if step.technique == "simple-colouring" else ()
        gone = {cell for cell, _ in step.removes}
        whole = any(gone.issuperset(cells) for cells, _ in colours) or step.technique in COUNTS_ALL
        return step if whole else replace(step, removes=told, untold=untold)
    start = step.told.removesuffix(takes_out(step.removes, size))
    if start == step.told:
        return step
    return replace(step, removes=told, untold=untold, told=f"{start}{takes_out(told, size)}")


def _of_rule(step: Step, part: Part, scene: Scene, struck: dict[Pair, int]) -> list[Pair]:
    """The strikes that a part needs to say the same: those in its own cells, if they are enough."""

    def enough(some: Collection[Pair]) -> bool:
        return _says_the_same(step, part, scene, some)

    def of_steps(some: Collection[int]) -> list[Pair]:
        return [pair for pair, j in struck.items() if j in some]

    near = sorted({j for (cell, _), j in struck.items() if cell in {*step.cells, *part.cells}})
    if not enough(of_steps(near)):
        near = sorted(set(struck.values()))
    return spared(of_steps(spared(near, lambda some: enough(of_steps(some)))), enough)


def _says_the_same(step: Step, part: Part, scene: Scene, struck: Collection[Pair]) -> bool:
    """Whether a part strikes what a step strikes, after these strikes alone."""
    masks = [1 << value - 1 if value else everything(scene.geometry.size) for value in scene.values]
    for cell, value in enumerate(scene.values):
        if value:
            for peer in scene.geometry.peers[cell]:
                if not scene.values[peer]:
                    masks[peer] &= ~(1 << value - 1)
    for cell, digit in struck:
        masks[cell] &= ~(1 << digit - 1)
    found = part.deduce(Sight(scene.geometry, masks))
    return any(
        made.technique == step.technique and set(step.removes) <= set(made.removes)
        for made in found
    )
