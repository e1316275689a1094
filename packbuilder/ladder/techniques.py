"""The ladder's table: every technique with its rung, its weight and its words.

Rungs go from 1 (a glance) to 7. The rung decides the grade; the weight is what one such step adds
to a puzzle's effort, and settles which of two techniques on a rung is the harder. Both are our own
judgement, meant to be argued with.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from enum import Enum
from functools import cached_property, partial
from typing import Any

from packbuilder.errors import InputError
from packbuilder.grid import Geometry
from packbuilder.ladder import locked, singles, subsets
from packbuilder.ladder.find import Finder
from packbuilder.ladder.step import Step


class Sight(Enum):
    """How a single is seen. The path finds singles itself, all of them in one sweep."""

    LAST_CELL = "the last empty cell of a house"
    AREA = "one cell left for a digit in a block or region"
    LINE = "one cell left for a digit in a row, a column or another line"
    CELL = "one digit left for a cell"


@dataclass(frozen=True, eq=False)
class Technique:
    """One row of the table.

    ``about`` is a sentence for a glossary in print, ``idea`` one for a hint that names the idea
    and no cell. A technique that places has a ``sight``; one that strikes has a ``find``. Rows may
    share a slug where one technique sits on two rungs.
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


@dataclass(frozen=True, eq=False)
class Ladder:
    """Techniques in order of difficulty: by rung, then as listed."""

    techniques: tuple[Technique, ...]

    @cached_property
    def rungs(self) -> tuple[tuple[int, tuple[Technique, ...]], ...]:
        """The techniques of each rung that has any, lowest first."""
        numbers = sorted({t.rung for t in self.techniques})
        return tuple((r, tuple(t for t in self.techniques if t.rung == r)) for r in numbers)

    @cached_property
    def slugs(self) -> tuple[str, ...]:
        """Every slug once, easiest first."""
        return tuple(dict.fromkeys(t.slug for _, group in self.rungs for t in group))

    def rung_of(self, slug: str) -> int:
        """The lowest rung on which a technique sits. Raises InputError for an unknown slug."""
        self.check(slug)
        return min(t.rung for t in self.techniques if t.slug == slug)

    def named(self, slug: str) -> Technique:
        """The first row of a slug. Raises InputError for an unknown one."""
        self.check(slug)
        return next(t for t in self.techniques if t.slug == slug)

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

    def only(self, slugs: Iterable[str]) -> Ladder:
        """The ladder with these techniques and no others. Raises InputError for an unknown slug."""
        wanted = set(slugs)
        self.check(*sorted(wanted))
        return Ladder(tuple(t for t in self.techniques if t.slug in wanted))

    def without(self, *slugs: str) -> Ladder:
        """The ladder with these techniques left out. Raises InputError for an unknown slug."""
        self.check(*slugs)
        return Ladder(tuple(t for t in self.techniques if t.slug not in slugs))

    def up_to(self, rung: int, *slugs: str) -> Ladder:
        """Everything on rungs below ``rung``, and these techniques whatever their rung."""
        self.check(*slugs)
        return Ladder(tuple(t for t in self.techniques if t.rung < rung or t.slug in slugs))


TABLE = (
    Technique(
        "full-house",
        "Full house",
        1,
        0.5,
        "A house has one empty cell left; it takes the one digit that is missing.",
        "A house with a single empty cell.",
        singles.tell_full_house,
        sight=Sight.LAST_CELL,
    ),
    Technique(
        "hidden-single",
        "Hidden single",
        1,
        0.8,
        "A digit has only one cell left in a block; its copies elsewhere rule out the rest.",
        "A hidden single: one digit has a single place left in a block.",
        singles.tell_hidden_single,
        sight=Sight.AREA,
    ),
    Technique(
        "hidden-single",
        "Hidden single",
        2,
        1.2,
        "A digit has only one cell left in a row or a column.",
        "A hidden single: one digit has a single place left in a row or a column.",
        singles.tell_hidden_single,
        sight=Sight.LINE,
    ),
    Technique(
        "naked-single",
        "Naked single",
        2,
        1.5,
        "A cell sees every digit but one, and takes that one.",
        "A naked single: one cell sees every digit but one.",
        singles.tell_naked_single,
        sight=Sight.CELL,
    ),
    Technique(
        "pointing",
        "Pointing",
        3,
        2.5,
        "All places for a digit in a block lie in one row or column; the rest of that row or "
        "column loses the digit.",
        "Pointing: one digit of a block is held to a line.",
        locked.tell,
        find=locked.pointing,
    ),
    Technique(
        "claiming",
        "Claiming",
        3,
        2.8,
        "All places for a digit in a row or column lie in one block; the rest of that block loses "
        "the digit.",
        "Claiming: one digit of a line is held to a block.",
        locked.tell,
        find=locked.claiming,
    ),
    Technique(
        "locked-pair",
        "Locked pair",
        3,
        3.0,
        "Two cells where a line meets a block hold two digits between them; both the line and the "
        "block lose those digits elsewhere.",
        "A locked pair: two digits are held to two cells where a line meets a block.",
        subsets.tell_naked,
        find=partial(subsets.locked, n=2),
    ),
    Technique(
        "locked-triple",
        "Locked triple",
        3,
        3.5,
        "Three cells where a line meets a block hold three digits between them; both the line and "
        "the block lose those digits elsewhere.",
        "A locked triple: three digits are held to three cells where a line meets a block.",
        subsets.tell_naked,
        find=partial(subsets.locked, n=3),
    ),
    Technique(
        "naked-pair",
        "Naked pair",
        4,
        4.0,
        "Two cells of a house hold the same two digits between them; the rest of the house loses "
        "both.",
        "A naked pair: two cells of a house hold two digits between them.",
        subsets.tell_naked,
        find=partial(subsets.naked, n=2),
    ),
    Technique(
        "hidden-pair",
        "Hidden pair",
        4,
        4.5,
        "Two digits fit only in the same two cells of a house; those cells lose every other digit.",
        "A hidden pair: two digits of a house fit only in the same two cells.",
        subsets.tell_hidden,
        find=partial(subsets.hidden, n=2),
    ),
    Technique(
        "naked-triple",
        "Naked triple",
        4,
        5.0,
        "Three cells of a house hold three digits between them; the rest of the house loses all "
        "three.",
        "A naked triple: three cells of a house hold three digits between them.",
        subsets.tell_naked,
        find=partial(subsets.naked, n=3),
    ),
    Technique(
        "hidden-triple",
        "Hidden triple",
        4,
        6.0,
        "Three digits fit only in the same three cells of a house; those cells lose every other "
        "digit.",
        "A hidden triple: three digits of a house fit only in the same three cells.",
        subsets.tell_hidden,
        find=partial(subsets.hidden, n=3),
    ),
)

DEFAULT = Ladder(TABLE)
"""The ladder as this project sees it."""


def as_json(ladder: Ladder = DEFAULT) -> list[dict[str, Any]]:
    """The table for machines: one object a row."""
    return [
        {"slug": t.slug, "name": t.name, "rung": t.rung, "weight": t.weight, "about": t.about}
        for t in ladder.techniques
    ]
