"""Items: what a page is made of, as plain values in points from the page's lower left corner.

The planning files make them, ``draw`` turns them into PDF operators. Greys go from 0, black, to
1, white.
"""

from __future__ import annotations

from dataclasses import dataclass

Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""

Segment = tuple[float, float, float, float]
"""From x, y to x, y."""


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text that begins at x on the baseline y. ``spacing`` is put between letters."""

    x: float
    y: float
    text: str
    face: str
    size: float
    grey: float = 0.0
    spacing: float = 0.0


@dataclass(frozen=True, slots=True)
class Glyphs:
    """Single letters of one face and size, each with the left end of its own baseline."""

    face: str
    size: float
    places: tuple[tuple[float, float, str], ...]
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class Strokes:
    """Straight strokes of one weight. ``square`` lengthens both ends by half the weight."""

    width: float
    segments: tuple[Segment, ...]
    grey: float = 0.0
    square: bool = False


@dataclass(frozen=True, slots=True)
class Fills:
    """Filled boxes without an outline."""

    boxes: tuple[Box, ...]
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class Rings:
    """Outlines of boxes with rounded corners."""

    width: float
    radius: float
    boxes: tuple[Box, ...]
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class Lozenges:
    """Squares on their point, by centre and half diagonal: filled, or outlined at ``width``."""

    centres: tuple[tuple[float, float], ...]
    reach: float
    width: float | None = None
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class Link:
    """A live place on the page that leads to a named destination; ``words`` say so."""

    box: Box
    to: str
    words: str


@dataclass(frozen=True, slots=True)
class WebLink:
    """A live place on the page that leads out of the file."""

    box: Box
    url: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A named destination: the page is shown from ``y`` down."""

    name: str
    x: float
    y: float


Item = Text | Glyphs | Strokes | Fills | Rings | Lozenges | Link | WebLink | Mark


@dataclass(frozen=True)
class Page:
    """One page: its folio, counted from 1 at the cover, and all that stands on it."""

    folio: int
    section: str
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Bookmark:
    """A line of the outline; ``level`` 0 is a section, 1 a puzzle."""

    title: str
    to: str
    level: int


@dataclass(frozen=True)
class Plan:
    """A whole book, ready to draw. ``face`` is any face that it uses; the rest is metadata."""

    width: float
    height: float
    pages: tuple[Page, ...]
    bookmarks: tuple[Bookmark, ...]
    face: str
    title: str
    author: str
    subject: str
    keywords: tuple[str, ...]
    dated: tuple[int, int]
    """Year and month of the issue."""
