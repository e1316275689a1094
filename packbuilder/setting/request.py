"""Request: what a run of `set` is asked for, checked before it starts, and named for its ids."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property

from packbuilder import rules as known_rules
from packbuilder import symmetry as symmetries
from packbuilder.errors import InputError
from packbuilder.grid import Geometry
from packbuilder.ladder.puzzle_ladder import rule_rows
from packbuilder.ladder.table import DEFAULT
from packbuilder.phrases import listed, meant
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.setting.picture import Picture
from packbuilder.setting.picture_checks import check_picture
from packbuilder.setting.solved_grids import Rules, filled_rules, is_bare, meaning_of

QUADS = ("naked-quad", "hidden-quad")

RARE = frozenset(
    ("x-wing", "naked-quad", "hidden-quad", "swordfish", "jellyfish", "xyz-wing",
     "simple-colouring", "finned-x-wing", "finned-swordfish")
)  # fmt: skip
"""Each is needed by fewer than one in a hundred grids from which clues were taken by chance."""


@dataclass(frozen=True)
class Request:
    """What each grid must be. None, or nothing: it is all the same.

    ``clues`` are the fewest and the most. The clues make the ``picture``, or else one with the
    ``symmetry``. ``no_notes`` is the most marks to hold in mind, ``minimal`` that no clue can be
    left out. ``counts`` says of some ``rules`` how many clues they have. Of a ``design`` the rules
    are known, but for what is open in them, and where digits may stand is its ``picture``.
    ``only``: needed, and nothing else on the rung can stand in for it.
    """

    geometry: Geometry
    clues: tuple[int, int]
    symmetry: str = "none"
    grade: Grade | None = None
    needs: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    picture: Picture | None = None
    no_notes: int | None = None
    minimal: bool = False
    counts: tuple[tuple[str, int], ...] = ()
    design: Rules = ()
    only: tuple[str, ...] = ()

    @property
    def turns_on(self) -> tuple[str, ...]:
        """The techniques that are needed, whether others may do as well or not."""
        return (*self.needs, *self.only)

    @property
    def written(self) -> Rules:
        """The rules of which a grid's clues are known before the grid is: those of a design, with
        what is open in them, or else those that are bare names."""
        return self.design or tuple((slug, None) for slug in self.rules if is_bare(slug))

    @cached_property
    def known(self) -> Rules:
        """These rules without what is open."""
        return filled_rules(self.written, None, self.geometry)

    @cached_property
    def loud(self) -> tuple[str, ...]:
        """The rules that are more than houses, or whose clues are made with the grid."""
        houses = [
            slug
            for slug, value in self.known
            if (slug, value) in self.written
            and all(part.houses_only for part in meaning_of(self.geometry, ((slug, value),)).parts)
        ]
        return tuple(slug for slug in self.rules if slug not in houses)

    @property
    def in_picture(self) -> bool:
        """Whether grids are looked for in a picture: the given one, or one after another.

        Else clues are taken from solved grids, which seldom leaves what is rare.
        """
        rare = len(self.needs) > 1 or bool(self.only) or not RARE.isdisjoint(self.needs)
        if self.picture:
            return not self.loud and self.symmetry == "none"
        return rare and not self.rules

    @property
    def hardest_part(self) -> str:
        """What fails where easy steps tell enough of a grid."""
        minimal = " and minimal" if self.minimal else ""
        return (f"needs {self.turns_on[0]}" if self.turns_on else f"grade {self.grade}") + minimal

    def words(self) -> str:
        """What was asked for, for messages."""
        counts = dict(self.counts)
        named = [f"{counts[slug]} {slug}" if slug in counts else slug for slug in self.rules]
        rules = f", with {listed(named)}" if named else ""
        shape = "in the picture" if self.picture else f"{self.symmetry} symmetry"
        told = [f"{self.geometry.name()}{rules}, {shape}, {self.span()} clues"]
        told += [f"grade {self.grade}"] if self.grade is not None else []
        told += [f"needing {listed(self.needs)}"] if self.needs else []
        told += [f"solved only by {listed(self.only)}"] if self.only else []
        told += [f"no notes, {self.no_notes} marks"] if self.no_notes is not None else []
        told += ["minimal"] if self.minimal else []
        return ", ".join(told)

    def span(self) -> str:
        """The clue counts, for messages."""
        low, high = self.clues
        return f"{low}" if low == high else f"{low} to {high}"

    def draw(self, seed: int) -> str:
        """The seed of the run's solved grids.

        The request goes into it: two runs with one seed must not share their solved grids, or a
        pack that is made of both has the same answer twice.
        """
        more = ("only", *self.only) if self.only else ()
        more += ("rules", *self.rules) if self.rules else ()
        more += (repr(self.counts),) if self.counts else ()
        more += (repr(self.design),) if self.design else ()
        more += (self.picture.text,) if self.picture else ()
        more += ("no-notes", str(self.no_notes)) if self.no_notes is not None else ()
        more += ("minimal",) if self.minimal else ()
        return "/".join(
            map(str, (seed, self.grade, self.symmetry, *self.clues, *self.needs, *more))
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
        self._check_rules()
        if self.picture:
            meaning = meaning_of(self.geometry, self.known)
            check_picture(self.picture, meaning, self.clues, houses_only=not self.loud)
        elif not self._reachable():
            raise InputError(
                f"no picture of {self.span()} clues has {self.symmetry} symmetry in a grid of "
                f"{cells} cells; allow a wider range"
            )
        self._check_needs()
        if seed < 0:
            raise InputError(f"seed {seed}: a seed is 0 or more")
        if self.picture and self.loud and not self.design:
            raise InputError(
                f"a picture with {listed(self.loud)}: write the design as an entry, and set it "
                "--from that"
            )
        if self.no_notes is not None and self.no_notes < 0:
            raise InputError(f"no-notes {self.no_notes}: a number of marks is 0 or more")

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
                near = meant(slug, kinds)
                mend = f"did you mean {near}?" if near else f"the rules are: {', '.join(kinds)}"
                raise InputError(f"{slug!r} is not a rule; {mend}")

    def _most_open(self) -> int:
        """The cells without a clue in the house that has most of them."""
        given = {*self.picture.drawn, *self.picture.fixed} if self.picture else set()
        return max(len({*house.cells} - given) for house in self.geometry.houses)

    def _check_needs(self) -> None:
        """A grid that needs a technique has its rung for a grade, neither less nor more."""
        rungs = [rung for rung, _ in DEFAULT.rungs]
        if self.grade not in (None, BEYOND, *rungs):
            raise InputError(f"grade {self.grade}: the ladder goes from {rungs[0]} to {rungs[-1]}")
        kinds = known_rules.kinds()
        own = {row.slug: row for slug in self.rules for row in kinds[slug].techniques}
        lowest, highest = 0, 0
        for need in self.turns_on:
            if need not in own:
                if need in {row.slug for row in rule_rows()}:
                    rule = next(
                        s for s, k in kinds.items() if need in {r.slug for r in k.techniques}
                    )
                    raise InputError(f"{need} is a technique of {rule}; ask for --rule {rule} too")
                DEFAULT.check(need)
            rows = [own[need]] if need in own else DEFAULT.rows[need]
            lowest = max(lowest, min(row.rung for row in rows))
            highest = max(highest, *(row.rung for row in rows))
            if need in QUADS and self._most_open() < 8:
                raise InputError(
                    f"needs {need}: where fewer than eight cells of a house are open, easier "
                    f"subsets do the same, and here no house has more than {self._most_open()}"
                )
        if (
            self.turns_on
            and self.grade is not None
            and not (self.grade != BEYOND and lowest <= self.grade <= highest)
        ):
            raise InputError(
                f"grade {self.grade} with needs {listed(self.turns_on)}: a grid that needs it has "
                f"grade {lowest}; leave the grade out, or ask for that one"
            )
        tops = {
            max(min(row.rung for row in DEFAULT.rows[slug]) for slug in slugs)
            for slugs in (self.needs, self.only)
            if slugs and not own.keys() & {*slugs}
        }
        if len(tops) > 1:
            raise InputError(
                f"needs {listed(self.needs)} with only {listed(self.only)}: they stand on "
                "different rungs, and a grid that needs the easier can do without the harder"
            )
