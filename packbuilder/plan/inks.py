"""Inks: what things are printed in, by name, and the one table that turns a name into a grey.

Items of a plan name their ink and know no number. Greys go from 0, black, to 1, white.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

Ink = Literal[
    "ink", "quiet", "rule", "shade", "contour", "fill", "faint", "paper", "black", "white"
]  # fmt: skip
"""Text and grid lines; quiet text; thin rules; the shade of cells; contours of rules' marks, and
their fills; a large picture; bare paper. Black and white are called so to readers
of the book: they are as dark and as light as a file has them, on whatever ground."""

Inks = Mapping[Ink, float]
"""The grey of every ink of one file."""

_HOUSE: dict[Ink, float] = {
    "ink": 0.0,
    "quiet": 0.33,
    "rule": 0.5,
    "shade": 0.9,
    "contour": 0.2,  # paler, a copier loses it
    "fill": 0.86,  # pencil shows on it
    "faint": 0.84,  # stands behind nothing and must not outdo the page
    "paper": 1.0,
    "black": 0.0,
    "white": 1.0,
}

_DARK_INK, _DARK_PAPER = 0.93, 0.10


def inks(quiet: float, rule: float, shade: float, *, dark: bool = False) -> Inks:
    """The table of a file whose layout has these three greys; ``dark``: light ink on dark paper."""
    table: dict[Ink, float] = {**_HOUSE, "quiet": quiet, "rule": rule, "shade": shade}
    if dark:
        table |= {"black": 1.0, "white": 0.0}
        table = {k: _DARK_INK + (_DARK_PAPER - _DARK_INK) * grey for k, grey in table.items()}
    return table
