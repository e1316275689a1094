"""Marks: what stands on a page of a file, as plain values in points from its lower left corner."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""

Point = tuple[float, float]

Colour = tuple[float, float, float]
"""Red, green, blue, 0 to 1."""

UNMARKED = -1
"""The tag of content that no screen reader is told of."""


class Glyph(NamedTuple):
    """One printed character.

    ``x0 y0 x1 y1`` is the box of its line height, ``x y`` its origin on the baseline. ``size`` is
    the height of the em as printed. ``turned`` is True unless it stands upright and unsqueezed;
    ``on_its_head``: it is turned by half, and unsqueezed.
    ``colour`` is None where it is no plain colour. ``mode`` is the text render mode: 0 fills; 3 is
    invisible. ``tag`` is the number of the marked content that it belongs to, or UNMARKED.
    """

    text: str
    face: str
    size: float
    x0: float
    y0: float
    x1: float
    y1: float
    x: float
    y: float
    turned: bool
    colour: Colour | None
    mode: int
    tag: int = UNMARKED
    on_its_head: bool = False

    def half_turned(self) -> Glyph:
        """The same on a page that is turned by half round its lower left corner."""
        return self._replace(
            x0=-self.x1, y0=-self.y1, x1=-self.x0, y1=-self.y0, x=-self.x, y=-self.y,
            turned=not self.on_its_head, on_its_head=not self.turned,
        )  # fmt: skip


class Stroke(NamedTuple):
    """One straight stroked line, with its width as printed."""

    x0: float
    y0: float
    x1: float
    y1: float
    width: float
    colour: Colour | None
    dashed: bool = False
    rounded: bool = False


class Brush(NamedTuple):
    """How a path is stroked, in points as printed. No ``dash`` is a whole line.

    ``cap`` says how lines and dashes end: 0 plain, 1 round, 2 square and longer by half a width;
    ``join`` how they turn: 0 in a point, 1 round, 2 cut off.
    """

    colour: Colour | None
    width: float
    dash: tuple[float, ...] = ()
    phase: float = 0.0
    cap: int = 0
    join: int = 0


class Track(NamedTuple):
    """One subpath, as points along it; a closed one does not give its first point again."""

    points: tuple[Point, ...]
    closed: bool
    curved: bool


@dataclass(frozen=True, eq=False)
class Drawing:
    """One painted path. ``brush`` is None where it is not stroked.

    ``filled`` says whether it is filled, with ``fill``, which is None where that is no plain
    colour, or where it is an image.
    """

    tracks: tuple[Track, ...]
    brush: Brush | None
    filled: bool
    fill: Colour | None

    @cached_property
    def box(self) -> Box:
        """Left, bottom, right, top of its points."""
        xs = [x for track in self.tracks for x, _ in track.points]
        ys = [y for track in self.tracks for _, y in track.points]
        return min(xs), min(ys), max(xs), max(ys)

    def strokes(self) -> Iterator[Stroke]:
        """Its straight pieces, if it is stroked."""
        if self.brush is None:
            return
        brush = self.brush
        how = brush.width, brush.colour, bool(brush.dash), brush.cap == 1
        for track in self.tracks:
            if not track.curved:
                for (x0, y0), (x1, y1) in pairwise((*track.points, *track.points[: track.closed])):
                    yield Stroke(x0, y0, x1, y1, *how)


@dataclass(frozen=True)
class PageMarks:
    """What one page holds: its glyphs, and its drawings in the order of painting.

    ``number`` counts the pages of the book from 1. ``sheet`` is the page of the file that it stands
    on, from 1, and ``corner`` where its own lower left corner lies there.
    """

    number: int
    width: float
    height: float
    glyphs: tuple[Glyph, ...]
    drawings: tuple[Drawing, ...]
    sheet: int = 0
    corner: Point = (0.0, 0.0)
