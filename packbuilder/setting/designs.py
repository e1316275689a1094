"""Designs: full grids that keep what a creator has drawn, made so that few clues are enough.

A design has rules, some of whose numbers may be open, and a picture of where digits may stand. A
full grid gives every open number and every digit. Where all that it may give leaves more than one
solution, a part of the grid is filled anew, again and again, and what leaves no more is kept.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence

from packbuilder import symmetry as symmetries
from packbuilder.errors import InputError
from packbuilder.grid import Values
from packbuilder.proof import sat
from packbuilder.rules.contract import Draw
from packbuilder.rules.tools.random_clues import shuffled
from packbuilder.setting.picture import CLUE, EITHER, NONE, Picture
from packbuilder.setting.picture_checks import fixed_clues
from packbuilder.setting.removal import QUESTION_SECONDS, Removal, asking, look
from packbuilder.setting.request import Request
from packbuilder.setting.solved_grids import (
    Rules,
    SolvedGrid,
    filled_rules,
    full_grid,
    meaning_of,
)

LISTED = 300
"""Solutions that are looked at to see which clue rules out most of them."""

CHANGES = 10
"""Times that a part of a grid is filled anew before another grid is begun with."""

KEPT = 0.85
"""How much of a grid is kept each time."""


def symmetrical(picture: Picture, symmetry: str) -> Picture:
    """A picture whose clues can only be chosen so that they have a symmetry. Raises InputError."""
    signs = list(picture.signs)
    for orbit in symmetries.orbits(symmetry, picture.size):
        found = {signs[cell] for cell in orbit}
        if NONE in found and found - {NONE, EITHER}:
            raise InputError(
                f"symmetry {symmetry}: the design has a clue where it allows none opposite to it"
            )
        sign = NONE if NONE in found else CLUE if found != {EITHER} else EITHER
        for cell in orbit:
            signs[cell] = sign if signs[cell] == EITHER else signs[cell]
    return Picture(picture.size, tuple(signs))


def begun(request: Request, seed: str, attempt: int, deadline: float) -> Removal | None:
    """A grid that keeps a design, and what can be taken from it; None where it leads nowhere.

    The same seed and attempt give the same one. Raises InputError where nothing keeps the design,
    Unfinished where the deadline passed.
    """
    assert request.picture is not None
    draw = random.Random(f"{seed}/{attempt}").random
    design = _Design(request, symmetrical(request.picture, request.symmetry), draw, deadline)
    found = design.few_clues()
    return design.removal(attempt, *found) if found else None


class _Design:
    def __init__(self, request: Request, picture: Picture, draw: Draw, deadline: float) -> None:
        self.request, self.picture = request, picture
        self.draw, self.deadline = draw, deadline
        self.base, self.design = request.geometry, request.written
        self.known = request.known
        self.orbits = [
            orbit
            for orbit in symmetries.orbits(request.symmetry, picture.size)
            if all(picture.signs[cell] == EITHER for cell in orbit)
        ]
        self.room = request.clues[1] - picture.span[0]

    def few_clues(self) -> tuple[Values, Rules, list[int]] | None:
        """A full grid, its rules, and cells beside those that must have one, for one solution."""
        solution = self._full(fixed_clues(self.picture))
        left, cells = self._left(solution)
        for _ in range(CHANGES):
            if left == 1:
                break
            look(self.deadline, "while a design was filled")
            kept = [
                digit if self.draw() < KEPT or cell in self.picture.fixed else 0
                for cell, digit in enumerate(solution)
            ]
            other = self._full(kept)
            fewer, those = self._left(other)
            if fewer <= left:
                solution, left, cells = other, fewer, those
        return (
            (solution, filled_rules(self.design, solution, self.base), cells) if left == 1 else None
        )

    def removal(self, attempt: int, solution: Values, written: Rules, cells: list[int]) -> Removal:
        """All clues for which there is room, then one after another less, to one solution."""
        given = {*self.picture.fixed, *self.picture.drawn, *cells}
        room = self.request.clues[1] - len(given)
        for orbit in shuffled(self.orbits, self.draw):
            if not given.intersection(orbit) and len(orbit) <= room:
                given |= set(orbit)
                room -= len(orbit)
        clues = tuple(digit if cell in given else 0 for cell, digit in enumerate(solution))
        taken = [tuple(cell for cell, digit in enumerate(clues) if not digit)]
        with asking(meaning_of(self.base, written)) as unique:
            for orbit in shuffled((one for one in self.orbits if one[0] in given), self.draw):
                look(self.deadline, "while clues were taken away")
                fewer = tuple(0 if cell in orbit else digit for cell, digit in enumerate(clues))
                if sum(map(bool, fewer)) >= self.request.clues[0] and unique(fewer):
                    clues = fewer
                    taken.append(orbit)
        return Removal(attempt, SolvedGrid(self.base, solution, written), tuple(taken))

    def _full(self, clues: Sequence[int]) -> Values:
        return full_grid(self.base, self.known, self.draw, clues=clues, deadline=self.deadline)

    def _left(self, solution: Values) -> tuple[int, list[int]]:
        """How many solutions are left, up to some number, and the cells chosen to have a clue.

        Of the cells that may have one that one is chosen, again and again, of which fewest of the
        solutions that are looked at have the digit.
        """
        given = {*self.picture.fixed, *self.picture.drawn}
        chosen: list[int] = []
        meaning = meaning_of(self.base, filled_rules(self.design, solution, self.base))
        with sat.Prover(meaning.geometry, meaning.parts) as prover:
            while True:
                look(self.deadline, "while a design was filled")
                clues = [
                    d if cell in given or cell in chosen else 0 for cell, d in enumerate(solution)
                ]
                found, _ = prover.explore(clues, limit=LISTED, time_limit=QUESTION_SECONDS)
                orbits = [
                    orbit
                    for orbit in self.orbits
                    if orbit[0] not in chosen and len(chosen) + len(orbit) <= self.room
                ]
                if len(found) == 1 or not orbits:
                    return len(found) or LISTED, chosen  # none in time: as bad as any number
                chosen += min(orbits, key=lambda orbit: _agreeing(found, solution, orbit))


def _agreeing(found: Sequence[Values], solution: Values, orbit: Iterable[int]) -> int:
    return sum(all(one[cell] == solution[cell] for cell in orbit) for one in found)
