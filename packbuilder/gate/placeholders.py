"""Placeholders: what a new pack is begun with, as an example, which is not for print."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.gate.report import Finding
from packbuilder.puzzle import Pack, Puzzle

BYLINE = "The Puzzle Desk"
THEME = "Two grids to try the press with."
INTRO = "Begin with the eights."
TITLES = ("First Light", "Second Light")
GRIDS = (
    "... .42 / ..4 .6. / 2.. 1.. / ..6 ..3 / .3. 6.. / 56. ...",
    "72. ..5 6.. / ... .3. ... / ..8 2.7 ... / 61. ... .8. / 5.. 3.8 ..2 / .8. ... .79 / "
    "... 5.2 7.. / ... .9. ... / ..3 8.. .46",
)


def of_pack(pack: Pack) -> Iterator[Finding]:
    """Texts of a pack that are still the example's."""
    yield from _still("pack.byline", pack.byline, BYLINE)
    yield from _still("pack.theme", pack.theme, THEME)


def of_puzzle(puzzle: Puzzle) -> Iterator[Finding]:
    """Texts of a puzzle that are still the example's."""
    yield from _still("title", puzzle.title, *TITLES)
    yield from _still("intro", puzzle.intro or "", INTRO)
    if has_example_grid(puzzle):
        yield Finding("placeholder", "grid is still the example's")


def has_example_grid(puzzle: Puzzle) -> bool:
    """Whether its clues are those of an example, which every new pack begins with."""
    return puzzle.clues in _CLUES


def _still(field: str, text: str, *examples: str) -> Iterator[Finding]:
    if text in examples:
        yield Finding("placeholder", f"{field} is still the example's, “{text}”")


_CLUES = [
    tuple(0 if cell == "." else int(cell) for cell in grid if cell not in " /") for grid in GRIDS
]
