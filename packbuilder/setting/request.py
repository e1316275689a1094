"""Request: what a run of `set` is asked for, checked before it starts, and named for its ids."""

from __future__ import annotations

import difflib
import hashlib
from dataclasses import dataclass

from packbuilder import rules as known_rules
from packbuilder import symmetry as symmetries
from packbuilder.errors import InputError
from packbuilder.grid import Geometry
from packbuilder.ladder.table import DEFAULT
from packbuilder.phrases import counted
from packbuilder.puzzle import BEYOND, Grade


@dataclass(frozen=True)
class Request:
    """Grids of this geometry, grade (None: any), symmetry, clue count (low, high), and so on."""

    geometry: Geometry
    grade: Grade | None
    symmetry: str
    clues: tuple[int, int]
    needs: tuple[str, ...]
    rules: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    no_notes: int | None = None

    def words(self) -> str:
        """What was asked for, for messages."""
        grade = "" if self.grade is None else f", grade {self.grade}"
        needs = f", needing {' and '.join(self.needs)}" if self.needs else ""
        needs += f", solved only by {' and '.join(self.only)}" if self.only else ""
        if self.no_notes is not None:
            needs += f", without notes and with at most {counted(self.no_notes, 'mark')}"
        rules = f", with {' and '.join(self.rules)}" if self.rules else ""
        return (
            f"{self.geometry.name()}{rules}, {self.symmetry} symmetry, {self.span()} "
            f"clues{grade}{needs}"
        )

    def span(self) -> str:
        """The clue counts, for messages."""
        low, high = self.clues
        return f"{low}" if low == high else f"{low} to {high}"

    def draw(self, seed: int) -> str:
        """The seed of the run's solved grids.

        The request goes into it: two runs with one seed must not share their solved grids, or a
        pack that is made of both has the same answer twice.
        """
        rules = ("rules", *self.rules) if self.rules else ()
        only = ("only", *self.only) if self.only else ()
        if self.no_notes is not None:
            only += ("no-notes", str(self.no_notes))
        return "/".join(
            map(str, (seed, self.grade, self.symmetry, *self.clues, *self.needs, *only, *rules))
        )

    def name(self, seed: int) -> str:
        """Four characters that tell runs apart: the same for the same request on any machine."""
        whole = f"{self.draw(seed)}/{self.geometry.size}/{self.geometry.regions}"
        return hashlib.sha256(whole.encode()).hexdigest()[:4]

    def check(self, seed: int) -> None:
        """Raise InputError where the request cannot be met, or is none."""
        low, high = self.clues
        cells = self.geometry.cell_count
        if self.symmetry not in symmetries.NAMES:
            known = ", ".join(symmetries.NAMES)
            raise InputError(f"no symmetry {self.symmetry!r}; the symmetries are: {known}")
        if low > high:
            raise InputError(f"{low} to {high} clues: write the lower number first")
        if not 0 <= low <= high < cells:
            raise InputError(
                f"{self.span()} clues in a grid of {cells} cells: it can have 0 to {cells - 1}, as "
                "at least one cell must be left to solve"
            )
        if not self._reachable():
            raise InputError(
                f"no picture of {self.span()} clues has {self.symmetry} symmetry in a grid of "
                f"{cells} cells; allow a wider range"
            )
        rungs = [rung for rung, _ in DEFAULT.rungs]
        if self.grade not in (None, BEYOND, *rungs):
            raise InputError(f"grade {self.grade}: the ladder goes from {rungs[0]} to {rungs[-1]}")
        self._check_rules()
        if seed < 0:
            raise InputError(f"seed {seed}: a seed is 0 or more")

    def _reachable(self) -> bool:
        """True if some set of orbits has a number of cells in the wanted range."""
        sums = {0}
        for orbit in symmetries.orbits(self.symmetry, self.geometry.size):
            sums |= {total + len(orbit) for total in sums}
        return any(self.clues[0] <= total <= self.clues[1] for total in sums)

    def _check_rules(self) -> None:
        kinds = known_rules.kinds()
        for slug in self.rules:
            if slug not in kinds:
                near = difflib.get_close_matches(slug, kinds, 1)
                mend = f"did you mean {near[0]}?" if near else f"the rules are: {', '.join(kinds)}"
                raise InputError(f"{slug!r} is not a rule; {mend}")
            for other in kinds[slug].lookalikes:
                if other in self.rules:
                    raise InputError(f"{slug} and {other} look alike in print; take one of them")
        own = {row.slug for slug in self.rules for row in kinds[slug].techniques}
        DEFAULT.check(*(need for need in (*self.needs, *self.only) if need not in own))
