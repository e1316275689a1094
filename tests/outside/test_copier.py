"""A bad copier leaves every mark of a rule, and every sign of a hint, told apart from every other.

A page is copied as an old machine does it: blurred, under a lamp that is brighter on one side, with
noise, to pure black and white, with specks. Which mark a copy shows is told by correlation with
clean prints of all marks, and so by no word of the house style.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageFilter

from packbuilder.grid import latin
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.step import Step
from packbuilder.layouts import load
from packbuilder.pages import plan_book
from packbuilder.pages.case_pictures import sign as verdict_sign
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import grid
from packbuilder.pages.hint_grids import hint_grid
from packbuilder.pages.page_design import PageDesign
from packbuilder.plan.inks import Ink
from packbuilder.plan.items import Bookmark, Destination, Figure, Item, Page, Table, Tag
from packbuilder.rules.shapes import (
    Box,
    Corner,
    Diagonal,
    Edge,
    Fence,
    Outside,
    Patch,
    Path,
    Ring,
    Shape,
)
from tests.outside.pixels import Grey, pdfium
from tests.pages.sample_book import sample_book
from tests.readback.altering import printed

DPI, CELL, N = 200, 20.0, 6
"""A cell of 7 mm: less than that of any puzzle on a page, more than of any on a card."""

BLUR, LAMP, NOISE, BLACK, SPECKS = 1.1, 0.15, 16.0, 140, 0.004
"""Pixels (.14 mm); how much light one side loses; the spread of greys; what is black; the share of
pixels that are turned round. Common practice of copies of the third generation, no source."""

A, B = 7, 8  # side by side: r2c2 and r2c3
MARKS: dict[str, tuple[Shape, ...]] = {
    "none": (),
    "thermometer": (Ring(A, solid=True), Path((A, B), "broad")),
    "arrow": (Ring(A), Path((A, B), "thin", head=True)),
    "between line": (Ring(A), Ring(B), Path((A, B), "thin")),
    "palindrome": (Path((A, B), "double"),),
    "whisper": (Path((A, B), "dashed"),),
    "renban": (Path((A, B), "dotted"),),
    "cage": (Fence((A, B)), Corner(A, "12")),
    "extra region": (Patch((A, B)),),
    "even": (Box(A),),
    "odd": (Ring(A, solid=True),),
    "diagonal": (Diagonal("down"),),
    "white dot": (Edge((A, B), "white"),),
    "black dot": (Edge((A, B), "black"),),
    "X": (Edge((A, B), "X"),),
    "V": (Edge((A, B), "V"),),
    "less": (Edge((A, B), "<"),),
    "more": (Edge((A, B), ">"),),
}
OUTSIDE: dict[str, tuple[Shape, ...]] = {
    "none": (),
    "bare": (Outside("left", 1, "3"),),
    "bare, another": (Outside("left", 1, "8"),),
    "ringed": (Outside("left", 1, "3", ringed=True),),
    "ringed, another": (Outside("left", 1, "8", ringed=True),),
    "with an arrow": (Outside("left", 1, "3", "down-right"),),
    "of two figures": (Outside("left", 1, "13"),),
    "ringed, of two figures": (Outside("left", 1, "13", ringed=True),),
}
OTHER = 13
"""A cell below A that is not looked at: what lies there is held to tell nothing."""


def step(technique: str, removes: tuple[tuple[int, int], ...], cells: tuple[int, ...]) -> Step:
    return Step(technique, 4, (), removes, cells, (2,), (), nodes=LINKED.get(technique, ()))


LINKED = {
    "chain": (((A,), 2), ((B,), 2)),
    "chain, weak": (((OTHER,), 2), ((A,), 2), ((B,), 2), ((OTHER + 1,), 2)),
}
SHOWN = ((A, (2,)), (B, (2,)))
NOTHING = Hint("", "", "", Step("", 1, (), (), (), (), ()), (0,) * N**2)
RING = Because("digit", 3, (A,), (B,), house=1, houses=(1,))
SIGNS: dict[str, Hint] = {
    "nothing": NOTHING,
    "ring, reach and cross": replace(NOTHING, step=replace(NOTHING.step, places=((0, 3),)),
                                     position=tuple(3 * (k == A) for k in range(N**2)),
                                     because=(RING,)),
    "tile": replace(NOTHING, step=replace(NOTHING.step, places=((A, 3),))),
    "held": replace(NOTHING, step=step("naked-pair", (), (A, B)), shown=SHOWN),
    "frame": replace(NOTHING, step=step("naked-pair", ((A, 2),), ()), shown=SHOWN[:1],
                     struck=((A, 2),)),
    "storeys": replace(NOTHING, step=step("naked-pair", ((A, 2),), ()), shown=((A, (1, 2)),),
                       struck=((A, 2),)),
    "rails and letters": replace(NOTHING, step=step("chain", (), (A, B)), shown=SHOWN),
    "weak link": replace(NOTHING, step=replace(step("chain", (), (A, B)),
                                               nodes=LINKED["chain, weak"]), shown=SHOWN),
}  # fmt: skip
"""Hints, each with a sign in the two cells that no other has."""

CLUES = {"bare": (0,) * N**2, "with clues": tuple(3 if k in (A, B) else 0 for k in range(N**2))}


SHEET, GRID = PageDesign(load("one-up"), "a4"), latin(N)


@cache
def clean(clues: str, contour: float | None = None) -> dict[str, Grey]:
    """The two cells of each mark, as a good printer prints them; ``contour`` is another grey."""
    place, values = GridPlace(60.0, 700.0, CELL, N), CLUES[clues]
    grids = {name: grid(SHEET, GRID, place, values, values, some) for name, some in MARKS.items()}
    return prints(grids, CELL, 0.9, contour)


@cache
def beside(cell: float, *, answer: bool) -> dict[str, Grey]:
    """A cell outside the grid, and one of it, of each number outside, black or in a tint."""
    place, bare = GridPlace(60.0, 700.0, cell, N), CLUES["bare"]
    grids = {name: grid(SHEET, GRID, place, bare, bare, some, answer=answer)
             for name, some in OUTSIDE.items()}  # fmt: skip
    return prints(grids, cell, -1.1)


@cache
def signed(cell: float) -> dict[str, Grey]:
    """The two cells of each sign of a hint."""
    place, bare = GridPlace(60.0, 700.0, cell, N), (0,) * N**2
    grids = {name: hint_grid(SHEET, GRID, place, bare, hint) for name, hint in SIGNS.items()}
    return prints(grids, cell, 0.9)


def prints(
    grids: Mapping[str, Sequence[Item]], cell: float, across: float, contour: float | None = None
) -> dict[str, Grey]:
    """Two cells of each grid and a little round them, from so many cells across."""
    whole = plan_book(sample_book())
    greys: dict[Ink, float] = {"contour": whole.inks["contour"] if contour is None else contour}
    pages = [
        Page(k, "Puzzles", (Destination(f"marks-{k}", 0, 0), Table(N, name, tuple(items))))
        for k, (name, items) in enumerate(grids.items(), start=1)
    ]
    plan = replace(whole, pages=tuple(pages), bookmarks=(Bookmark("Marks", "marks-1", 0),),
                   inks={**whole.inks, **greys})  # fmt: skip
    drawn = pdfium(printed(plan), list(range(len(pages))), DPI)
    scale = DPI / 72
    left, top = (
        round((60 + across * cell) * scale),
        round((whole.height - 700 + 0.9 * cell) * scale),
    )
    room = (
        slice(top, top + round(1.2 * cell * scale)),
        slice(left, left + round(2.2 * cell * scale)),
    )
    return {name: page[room] for name, page in zip(grids, drawn, strict=True)}


def copied(picture: Grey, seed: int) -> Grey:
    """What a bad copier makes of a picture."""
    chance = np.random.default_rng(seed)
    blurred = np.asarray(Image.fromarray(picture).filter(ImageFilter.GaussianBlur(BLUR)), float)
    lamp = 1 - LAMP * np.linspace(0, 1, picture.shape[1])
    black = blurred * lamp + chance.normal(0, NOISE, picture.shape) < BLACK
    black ^= chance.random(picture.shape) < SPECKS
    return np.where(black, 0, 255).astype(np.uint8)


def likeness(copy: Grey, print_: Grey) -> float:
    """The correlation of two pictures, at the best of nine places a pixel apart."""
    one = _levelled(copy[2:-2, 2:-2])
    moved = [print_[2 + a : a - 2 or None, 2 + b : b - 2 or None]
             for a in (-1, 0, 1) for b in (-1, 0, 1)]  # fmt: skip
    return max(float((one * _levelled(other)).sum()) for other in moved)


def _levelled(picture: Grey) -> NDArray[Any]:
    """Darkness less its mean, of length one. What is paler than a contour tells nothing."""
    dark = np.clip(160 - picture.astype(float), 0, None)
    dark -= dark.mean()
    return dark / (np.linalg.norm(dark) or 1.0)


def told(copy: Grey, prints: dict[str, Grey]) -> str:
    """The mark whose clean print is most like a copy."""
    return max(prints, key=lambda name: likeness(copy, prints[name]))


@pytest.mark.parametrize("clues", CLUES)
@pytest.mark.parametrize("mark", MARKS)
def test_a_bad_copy_shows_its_own_mark(mark: str, clues: str) -> None:
    prints = clean(clues)
    assert [told(copied(prints[mark], seed), prints) for seed in range(5)] == [mark] * 5


@pytest.mark.parametrize("cell, answer", [(CELL, False), (CELL, True), (15.0, True)])
@pytest.mark.parametrize("mark", OUTSIDE)
def test_a_bad_copy_shows_its_own_number_outside(mark: str, cell: float, answer: bool) -> None:
    """At a puzzle, and in the tint and the least cell of answers."""
    prints = beside(cell, answer=answer)
    assert [told(copied(prints[mark], seed), prints) for seed in range(5)] == [mark] * 5


@pytest.mark.parametrize("cell", [24.0, 33.6])
@pytest.mark.parametrize("sign", SIGNS)
def test_a_bad_copy_shows_its_own_sign(sign: str, cell: float) -> None:
    clean = signed(cell)
    assert [told(copied(clean[sign], seed), clean) for seed in range(5)] == [sign] * 5


@cache
def verdicts() -> dict[str, Grey]:
    """The signs before the words of a right case and of a wrong one."""
    whole, radius, pages = plan_book(sample_book()), 0.66 * 9, []  # as beside words of 9 points
    drawn = {verdict: verdict_sign(verdict, (80, 690), radius) for verdict in ("right", "wrong")}
    for k, (name, items) in enumerate(drawn.items(), start=1):
        figure = Figure(Tag("Figure", alt=name), tuple(items))
        pages.append(Page(k, "The rules", (Destination(f"sign-{k}", 0, 0), figure)))
    plan = replace(whole, pages=tuple(pages), bookmarks=(Bookmark("Signs", "sign-1", 0),))
    scale = DPI / 72
    rows = slice(round((whole.height - 700) * scale), round((whole.height - 680) * scale))
    room = rows, slice(round(70 * scale), round(90 * scale))
    seen = pdfium(printed(plan), list(range(len(pages))), DPI)
    return {name: page[room] for name, page in zip(drawn, seen, strict=True)}


@pytest.mark.parametrize("name", ["right", "wrong"])
def test_a_bad_copy_shows_what_is_right_and_what_is_wrong(name: str) -> None:
    prints = verdicts()
    assert [told(copied(prints[name], seed), prints) for seed in range(9)] == [name] * 9


def test_a_copier_would_lose_marks_of_pale_contours() -> None:
    # the copier is bad enough to tell: with contours of half the strength it takes marks for others
    prints = clean("bare", contour=0.7)
    lost = {mark for mark in MARKS if told(copied(prints[mark], 0), clean("bare")) != mark}
    assert {"palindrome", "renban", "even"} <= lost
