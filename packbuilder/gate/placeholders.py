"""Placeholders: what a new pack is begun with, as an example, which is not for print."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.gate.report import Finding
from packbuilder.puzzle import Pack, Puzzle

BYLINE = "The Puzzle Desk"
THEME = "Two grids to try the press with."
INTRO = "Begin with the eights."
TITLES = ("First Light", "Second Light")


def of_pack(pack: Pack) -> Iterator[Finding]:
    """Texts of a pack that are still the example's."""
    yield from _still("pack.byline", pack.byline, BYLINE)
    yield from _still("pack.theme", pack.theme, THEME)


def of_puzzle(puzzle: Puzzle) -> Iterator[Finding]:
    """Texts of a puzzle that are still the example's."""
    yield from _still("title", puzzle.title, *TITLES)
    yield from _still("intro", puzzle.intro or "", INTRO)


def _still(field: str, text: str, *examples: str) -> Iterator[Finding]:
    if text in examples:
        yield Finding("placeholder", f"{field} is still the example's, “{text}”")
