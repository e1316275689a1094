"""Editions: the forms of one pack, as plain data that the press and the proof-reader share.

A fact of the house, like its type: it draws nothing and reads nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packbuilder.errors import InputError
from packbuilder.phrases import nearest


@dataclass(frozen=True)
class Edition:
    """One form of a pack.

    ``layout`` and ``paper`` stand in for the pack's own where they are set. All text outside grids
    has at least ``text`` points, page furniture ``furniture``, small text in grids (candidates,
    corners, letters on edges) ``small``, digits of puzzle grids ``digits``. ``links`` says whether
    the file is read on a screen, or may be; ``fields`` that empty cells can be typed into;
    ``dark`` that ink is light on a dark ground; ``folded`` that pages stand in saddle-stitch order
    on sheets of twice the paper; ``bleed`` the millimetres of bleed, with crop marks round it;
    ``tagged`` that the file has a structure for screen readers.
    """

    name: str
    about: str
    suffix: str = ".pdf"
    layout: str | None = None
    paper: str | None = None
    text: float = 9.0
    furniture: float = 7.0
    small: float = 5.0
    digits: float = 9.0
    links: bool = True
    fields: bool = False
    dark: bool = False
    folded: bool = False
    bleed: float = 0.0
    tagged: bool = True

    @property
    def facing(self) -> bool:
        """Whether its pages lie side by side, as in a book: then their heads mirror each other."""
        return not self.fields


PRINT = Edition("print", "for a home printer: the pack's own paper and layout")
LARGE_PRINT = Edition(
    "large-print",
    "one grid a page, all type 18 points or more, clues 28 or more",
    layout="large-print",
    text=18.0,
    furniture=18.0,
    small=18.0,
    digits=28.0,
)
BOOKLET = Edition(
    "booklet",
    "sheets to print on both sides, fold and staple; a back cover says how",
    layout="one-up",
    links=False,
    folded=True,
    tagged=False,
)
SCREEN = Edition(
    "screen",
    "for a tablet or a computer: cells to type into, links, a narrow page",
    layout="screen",
    paper="tablet",
    fields=True,
)
SCREEN_DARK = replace(
    SCREEN, name="screen-dark", about="the same, light type on a dark ground", dark=True
)
SAMPLER = Edition(
    "sampler",
    "a few pages to pass on: easy and hard puzzles, the way to the full pack",
)
PRINT_SHOP = Edition("print-shop", "the print edition with bleed and crop marks", bleed=3.0)
TEXT = Edition(
    "text",
    "plain UTF-8 text for screen readers and braille displays",
    suffix=".txt",
    links=False,
    tagged=False,
)

EDITIONS = {
    one.name: one
    for one in (PRINT, LARGE_PRINT, BOOKLET, SCREEN, SCREEN_DARK, SAMPLER, PRINT_SHOP, TEXT)
}
"""Every edition, by name."""

HALF = {"a4": "a5", "letter": "half-letter", "a5": "a6"}
"""The page of a booklet that is printed on sheets of each paper: half of it, upright."""

OWN_PAPERS = {paper: BOOKLET for paper in HALF.values() if paper not in HALF} | {"tablet": SCREEN}
"""Papers that no pack can name: an edition takes them by itself."""

LARGE = {"a5": "a4"}
"""The paper of large print, where the pack's own is too small for it."""


def edition(name: str) -> Edition:
    """The edition of that name. Raises InputError where there is none."""
    if name in EDITIONS:
        return EDITIONS[name]
    raise InputError(f"no edition {name!r}; {nearest(name, EDITIONS)}")


ALL = "all"
"""Stands for every edition."""


def chosen(names: Sequence[str]) -> tuple[Edition, ...]:
    """The editions of those names, each once, in the order of `EDITIONS`.

    ``all`` names every one. Raises InputError for an unknown name.
    """
    wanted = {edition(name).name for name in names if name != ALL}
    return tuple(one for one in EDITIONS.values() if ALL in names or one.name in wanted)
