"""Rungs: what a technique and a ladder of techniques are. The table itself is in `table`."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import Enum
from functools import cached_property

from packbuilder.errors import InputError
from packbuilder.grid import Geometry
from packbuilder.ladder.find import Finder, Sweep
from packbuilder.ladder.step import Step
from packbuilder.rules.contract import Part

RUNGS = 8
"""The top rung. A puzzle that takes more than is on it has the grade ``beyond``."""


class Sight(Enum):
    """How a single is seen. The solve finds singles itself, all of them in one sweep."""

    LAST_CELL = "the last empty cell of a house"
    AREA = "one cell left for a digit in a block or region"
    LINE = "one cell left for a digit in a row, a column or another line"
    CELL = "one digit left for a cell"


@dataclass(frozen=True, eq=False)
class Technique:
    """One row of the table.

    ``about`` is a sentence for a glossary in print, ``idea`` one for a hint that names the idea
    and no cell. A technique that places has a ``sight``; one that strikes has a ``find``, and a
    ``sweep`` where all that it strikes is found quicker without words. Rows may share a slug where
    one technique sits on two rungs.
    """

    slug: str
    name: str
    rung: int
    weight: float
    about: str
    idea: str
    tell: Callable[[Step, Geometry], str]
    find: Finder | None = None
    sight: Sight | None = None
    sweep: Sweep | None = None


@dataclass(frozen=True, eq=False)
class Ladder:
    """Techniques in order of difficulty.

    ``first`` are slugs that a puzzle or its pack promises; ``parts`` those parts of a puzzle's
    rules from which some of the techniques deduce.
    """

    techniques: tuple[Technique, ...]
    first: frozenset[str] = frozenset()
    parts: tuple[Part, ...] = ()

    @cached_property
    def order(self) -> tuple[Technique, ...]:
        """The techniques as they are tried at first: see `order_after`."""
        return self.order_after(())

    def order_after(self, taken: Collection[Technique]) -> tuple[Technique, ...]:
        """The techniques as they are tried when some were taken before.

        By rung; on a rung what is promised and was not taken yet, then all that is promised, then
        the lightest. Of equal weight, as listed.
        """

        def promised(t: Technique) -> int:
            return 2 if t.slug not in self.first else 1 if t in taken else 0

        return tuple(sorted(self.techniques, key=lambda t: (t.rung, promised(t), t.weight)))

    @cached_property
    def rungs(self) -> tuple[tuple[int, tuple[Technique, ...]], ...]:
        """The techniques of each rung that has any, lowest first."""
        numbers = sorted({t.rung for t in self.techniques})
        return tuple((r, tuple(t for t in self.techniques if t.rung == r)) for r in numbers)

    @cached_property
    def slugs(self) -> tuple[str, ...]:
        """Every slug once, easiest first."""
        return tuple(dict.fromkeys(t.slug for _, group in self.rungs for t in group))

    @cached_property
    def rows(self) -> dict[str, tuple[Technique, ...]]:
        """For each slug, its rows, easiest first."""
        return {
            slug: tuple(t for _, group in self.rungs for t in group if t.slug == slug)
            for slug in self.slugs
        }

    def rung_of(self, slug: str) -> int:
        """The lowest rung on which a technique sits. Raises InputError for an unknown slug."""
        return self.named(slug).rung

    def named(self, slug: str) -> Technique:
        """The easiest row of a slug. Raises InputError for an unknown one."""
        self.check(slug)
        return self.rows[slug][0]

    def check(self, *slugs: str) -> None:
        """Raise InputError at the first slug that is not in the ladder."""
        for slug in slugs:
            if slug not in self.slugs:
                raise InputError(self.unknown(slug))

    def unknown(self, slug: str) -> str:
        """The sentence about a slug that is not in the ladder: the nearest, and all there are."""
        close = get_close_matches(slug.lower().replace("_", "-").replace(" ", "-"), self.slugs, 1)
        hint = f"; did you mean {close[0]!r}?" if close else "."
        return f"{slug!r} is not a technique of the ladder{hint} There are: {', '.join(self.slugs)}"

    def promising(self, *slugs: str) -> Ladder:
        """The ladder with these techniques tried first on their rungs; some may not be on it."""
        return replace(self, first=frozenset(slugs)) if slugs else self

    def only(self, slugs: Iterable[str]) -> Ladder:
        """The ladder with these techniques and no others. Raises InputError for an unknown slug."""
        wanted = set(slugs)
        self.check(*sorted(wanted))
        return self._with(t for t in self.techniques if t.slug in wanted)

    def without(self, *slugs: str) -> Ladder:
        """The ladder with these techniques left out. Raises InputError for an unknown slug."""
        self.check(*slugs)
        return self._with(t for t in self.techniques if t.slug not in slugs)

    def up_to(self, rung: int, *slugs: str) -> Ladder:
        """Everything on rungs below ``rung``, and these techniques whatever their rung."""
        self.check(*slugs)
        return self._with(t for t in self.techniques if t.rung < rung or t.slug in slugs)

    def dropping(self, row: Technique) -> Ladder:
        """The ladder without one row; another of its slug stays."""
        return self._with(t for t in self.techniques if t is not row)

    def _with(self, techniques: Iterable[Technique]) -> Ladder:
        return replace(self, techniques=tuple(techniques))
