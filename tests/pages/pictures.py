"""Pictures of marks, a letter a pixel: what is drawn in two cells by two, told by its ink.

`pictures.txt` has them as they were looked at and approved; ``python -m tests.pages.pictures``
prints them anew. `#` is ink, `o` contour, `:` fill, `.` shade; letters and
figures fill the room of their own ink. A pixel is 3 points, and nothing is thinner; a cell has 12.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np

from packbuilder.grid import latin
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.step import Step
from packbuilder.layouts import load
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import grid
from packbuilder.pages.hint_grids import hint_grid
from packbuilder.pages.ornaments import pips
from packbuilder.pages.page_design import PageDesign
from packbuilder.plan.items import (
    Disc,
    Fills,
    Glyphs,
    Item,
    Lozenges,
    Point,
    Rings,
    Strokes,
    Text,
    Trace,
)
from packbuilder.rules import kinds
from tests.pages.house_style.measuring import marks_of

INKS = {"ink": "#", "black": "#", "contour": "o", "fill": ":", "shade": ".",
        "paper": " ", "white": " "}  # fmt: skip
PIXEL, SIDE = 3.0, 25

PLACE = GridPlace(0, 0, 12 * PIXEL, 6)
SHEET, GRID = PageDesign(load("one-up"), "a4"), latin(6)
CLUES, DIGITS = (0, 3, *[0] * 34), (0, 3, *[0] * 4, 1, *[0] * 29)
"""A clue at the upper right, a digit that was found at the lower left."""

_LINE, _SIDES = ["r1c1 r1c2 r2c2"], {"left": "3 . . . . .", "top": "2 . . . . ."}
RULES: dict[str, tuple[Any, int]] = {
    "thermometers": (["r2c1 r1c1 r1c2"], 0),
    "arrows": ([{"circle": "r1c1", "shaft": "r1c2 r2c2"}], 0),
    "between-lines": (_LINE, 0),
    "palindromes": (_LINE, 0),
    "renban": (_LINE, 0),
    "whispers": (_LINE, 0),
    "cages": ([{"cells": "r1c1 r1c2 r2c1", "sum": "8"}], 0),
    "extra-regions": ("aa....\na.....\n" + "......\n" * 4, 0),
    "parity": ({"even": "r1c1 r1c2", "odd": "r2c1 r2c2"}, 0),
    "diagonals": (None, 6),
    "dots": ({"white": ["r1c1 r1c2", "r2c1 r2c2"], "black": ["r1c1 r2c1"]}, 0),
    "xv": ({"x": ["r1c1 r1c2"], "v": ["r1c1 r2c1"]}, 0),
    "inequalities": (["r1c1 < r1c2", "r1c1 < r2c1", "r2c1 > r2c2", "r1c2 > r2c2"], 0),
    "sandwich": (_SIDES, -12),
    "sightlines": (_SIDES, -12),
    "little-sums": ([{"sum": "9", "from": "r1c1", "towards": "down-right"},
                     {"sum": "6", "from": "r2c1", "towards": "down-right"}], -12),
    "anti-king": (None, 0),
    "anti-knight": (None, 0),
    "non-consecutive": (None, 0),
}  # fmt: skip
"""Each rule's value in a 6x6 grid, and the pixel at which its picture begins, across and down."""

_NODES = ((0,), 2), ((7,), 2), ((7,), 4), ((0,), 1)
STEPS = {
    "rests, acts, strikes": Step("pointing", 3, (), ((7, 2),), (0,), (2,), ()),
    "a chain": Step("chain", 7, (), (), (0, 7), (2,), (), _NODES[:3]),
    "a chain, dashed": Step("chain", 7, (), (), (0, 7), (2,), (), _NODES[::3] + _NODES[2:3]),
    "one of two colours": Step("simple-colouring", 6, (), (), (0, 7), (2,), (), _NODES[:2]),
}
HINT = Hint("", "", "", STEPS["a chain"], DIGITS, ((0, (1, 2)), (7, (2, 4))),
            letters=((0, "A"), (7, "B")))  # fmt: skip


def pictures() -> dict[str, list[str]]:
    """Every picture as rows of letters, by its name, or the names of all that it is of."""
    found: dict[tuple[str, ...], list[str]] = {}

    def add(name: str, items: Sequence[Item], corner: int = 0) -> None:
        found.setdefault(drawn(items, corner), []).append(name)

    for slug, (value, corner) in RULES.items():
        shapes = [shape for part in kinds()[slug].read(value, GRID) for shape in part.shapes()]
        add(slug, grid(SHEET, GRID, PLACE, CLUES, DIGITS, shapes), corner)
        if slug in ("cages", "dots", "thermometers", "diagonals"):
            add(f"candidates among {slug}", hint_grid(SHEET, GRID, PLACE, CLUES, HINT, shapes))
    for name, step in STEPS.items():
        letters = HINT.letters if step.nodes else ()
        hint = replace(HINT, step=step, struck=step.removes, letters=letters)
        add(name, hint_grid(SHEET, GRID, PLACE, CLUES, hint))
    add("grade 3", pips(0, -20, 3, 18))
    return {", ".join(names): [*rows] for rows, names in found.items()}


# --- a letter a pixel ----------------------------------------------------------------------------


def drawn(items: Iterable[Item], corner: int) -> tuple[str, ...]:
    """Items, each pixel by the ink at its middle."""
    down, across = np.mgrid[0:SIDE, 0:SIDE] + corner
    return tuple("".join(row) for row in inked(items, across * PIXEL, -down * PIXEL))


def inked(items: Iterable[Item], x: Any, y: Any) -> Any:
    """The ink at places, as a letter each: later items lie over earlier ones."""
    canvas = np.full(x.shape, " ")
    for item in items:
        for mask, letter in _masks(item, x, y):
            canvas[mask] = letter
    return canvas


def _masks(item: Item, x: Any, y: Any) -> Iterator[tuple[Any, str]]:
    half = max((getattr(item, "width", None) or 0) / 2, 0.49 * PIXEL)
    ink = INKS[getattr(item, "ink", "ink")]
    match item:
        case Text() | Glyphs() | Fills():
            for mark in marks_of(item):
                more, (left, bottom, right, top) = 0.6 * bool(mark.text), mark.box
                level = (x >= left - more) & (x < right + more)
                yield level & (y >= bottom - more) & (y < top + more), mark.text[:1] or ink
        case Strokes():
            for a, b, c, d in item.segments:
                yield _near(x, y, ((a, b), (c, d)), half, round_ends=item.square), ink
        case Rings():
            for a, b, c, d in item.boxes:
                yield _near(x, y, ((a, b), (a, d), (c, d), (c, b), (a, b)), half), ink
        case Lozenges():
            for a, b in item.centres:
                away = abs(x - a) + abs(y - b)
                yield (abs(away - item.reach) if item.width else away - item.reach) <= half, ink
        case Disc():
            away = np.hypot(x - item.x, y - item.y)
            yield away <= item.radius * bool(item.fill), INKS[item.fill or "paper"]
            if item.width:
                yield abs(away - item.radius) <= half, ink
        case Trace():
            runs = [(*run, run[0]) if item.closed else run for run in item.runs]
            if item.fill:
                yield _inside(x, y, runs), INKS[item.fill]
            for run in runs if item.width else ():
                yield (
                    _near(x, y, run, half, (item.dash, item.phase), round_ends=item.round_ends),
                    ink,
                )


def _inside(x: Any, y: Any, runs: Iterable[Sequence[Point]]) -> Any:
    """Even-odd, by the sides that a ray to the right crosses."""
    crossed = np.zeros(x.shape, bool)
    for (a, b), (c, d) in (side for run in runs for side in pairwise(run)):
        if b != d:
            crossed ^= ((b > y) != (d > y)) & (x < a + (y - b) / (d - b) * (c - a))
    return crossed


def _near(
    x: Any, y: Any, run: Sequence[Point], half: float,
    dashes: tuple[Sequence[float], float] = ((), 0.0), *, round_ends: bool = False,
) -> Any:  # fmt: skip
    """What lies so near to a path, or to its dashes; round ends reach beyond those of both."""
    mask, gone, (dash, phase) = np.zeros(x.shape, bool), 0.0, dashes
    for (a, b), (c, d) in pairwise(run):
        length = np.hypot(c - a, d - b)
        along = ((x - a) * (c - a) + (y - b) * (d - b)) / length
        beyond, aside = abs(along - along.clip(0, length)), (x - a) * (d - b) - (y - b) * (c - a)
        if dash:
            place = (gone + along.clip(0, length) + phase) % sum(dash)
            beyond = np.maximum(beyond, np.minimum((place - dash[0]).clip(0), sum(dash) - place))
        mask |= np.hypot(beyond * (1 if round_ends else 99), aside / length) <= half
        gone += length
    return mask


# --- the file ------------------------------------------------------------------------------------


def written(found: dict[str, list[str]]) -> str:
    """Pictures as they stand in the file, four side by side."""
    text, names = "", list(found)
    for some in (names[k : k + 4] for k in range(0, len(names), 4)):
        text += " ".join(f"[{name}]" for name in some) + "\n"
        rows = zip(*(found[name] for name in some), strict=True)
        text += "".join("|".join(row) + "|\n" for row in rows) + "\n"
    return text


def parsed(text: str) -> dict[str, list[str]]:
    """The pictures of a file."""
    found = {}
    for head, *rows in (block.splitlines() for block in text.strip("\n").split("\n\n")):
        columns = zip(*(row.split("|")[:-1] for row in rows), strict=True)
        found |= dict(zip(head[1:-1].split("] ["), map(list, columns), strict=True))
    return found


if __name__ == "__main__":
    print(written(pictures()), end="")
