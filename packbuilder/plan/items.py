"""Items: what a page is made of, as plain values in points from the page's lower left corner.

The room `pages` makes them, the press turns them into PDF operators. They name their ink; what grey
that is, `inks` says.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from packbuilder.editions import Edition
from packbuilder.plan.inks import Ink, Inks

Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""

Segment = tuple[float, float, float, float]
"""From x, y to x, y."""

Point = tuple[float, float]
"""x, y."""


@dataclass(frozen=True, eq=False, slots=True)
class Tag:
    """What a part of the book is to a screen reader: each object is an element of its own.

    ``role`` is one of PDF's standard structure types (ISO 32000-1, 14.8.4); an element stands in
    its section, or ``within`` another. ``alt`` says in words what a figure shows.
    """

    role: str
    within: Tag | None = None
    alt: str = ""


FURNITURE = Tag("Artifact")
"""What a screen reader passes over: running heads and folios."""


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text that begins at x on the baseline y. ``spacing`` is put between letters.

    Lines of one ``tag`` are one element, on however many pages; lines without one that follow each
    other are a paragraph. ``quoted`` are words of the pack, not of the house: whatever they say,
    they head nothing and lead nowhere. A ``turned`` line stands on its head: it runs to the left.
    """

    x: float
    y: float
    text: str
    face: str
    size: float
    ink: Ink = "ink"
    spacing: float = 0.0
    tag: Tag | None = None
    quoted: bool = False
    turned: bool = False

    def tagged(self, tag: Tag) -> Text:
        """The same line as a part of an element."""
        return replace(self, tag=tag)


@dataclass(frozen=True, slots=True)
class Glyphs:
    """Single letters of one face and size, each with the left end of its own baseline.

    In a table, ``cells`` says of each letter in which cell it stands; letters of one cell follow
    each other.
    """

    face: str
    size: float
    places: tuple[tuple[float, float, str], ...]
    ink: Ink = "ink"
    cells: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Strokes:
    """Straight strokes of one weight. ``square`` lengthens both ends by half the weight."""

    width: float
    segments: tuple[Segment, ...]
    ink: Ink = "ink"
    square: bool = False


@dataclass(frozen=True, slots=True)
class Fills:
    """Filled boxes without an outline."""

    boxes: tuple[Box, ...]
    ink: Ink = "ink"


@dataclass(frozen=True, slots=True)
class Rings:
    """Outlines of boxes with rounded corners."""

    width: float
    radius: float
    boxes: tuple[Box, ...]
    ink: Ink = "ink"


@dataclass(frozen=True, slots=True)
class Lozenges:
    """Squares on their point, by centre and half diagonal: filled, or outlined at ``width``."""

    centres: tuple[tuple[float, float], ...]
    reach: float
    width: float | None = None
    ink: Ink = "ink"


@dataclass(frozen=True, slots=True)
class Trace:
    """One path of straight runs: stroked at ``width``, filled with the ink ``fill``, or both.

    ``dash`` is on and off lengths and ``phase`` how far into them the path begins. Holes of a
    filled path are runs of their own. ``round_ends`` rounds both ends of the runs; joints are
    round where ``round_joints`` says so, else mitred.
    """

    runs: tuple[tuple[Point, ...], ...]
    width: float | None = None
    ink: Ink = "ink"
    fill: Ink | None = None
    closed: bool = False
    dash: tuple[float, ...] = ()
    phase: float = 0.0
    round_ends: bool = False
    round_joints: bool = False


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle: stroked at ``width``, filled with the ink ``fill``, or both."""

    x: float
    y: float
    radius: float
    width: float | None = None
    ink: Ink = "ink"
    fill: Ink | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """A live place on the page that leads to a named destination; ``words`` say so."""

    box: Box
    to: str
    words: str
    tag: Tag | None = None


@dataclass(frozen=True, slots=True)
class WebLink:
    """A live place on the page that leads out of the file."""

    box: Box
    url: str
    tag: Tag | None = None


@dataclass(frozen=True, slots=True)
class Reference:
    """A live line of text that ends in the number of the page on which ``to`` stands.

    It begins at x on the baseline y, or ends there if it is ``right``. Which page that is shows
    when all pages are planned: then it becomes a text and a link.
    """

    x: float
    y: float
    words: str
    to: str
    face: str
    size: float
    right: bool = False
    within: Tag | None = None


@dataclass(frozen=True, slots=True)
class Figure:
    """Items that are one picture to a screen reader, or one of its parts: see ``Tag``."""

    tag: Tag
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A grid: a table to a screen reader, its digits in its cells, all else passed over.

    ``summary`` says in words what grid it is. ``fields`` are boxes of cells that can be typed into,
    by cell, and ``name`` is what theirs begin with: ``p12``, of puzzle 12.
    """

    size: int
    summary: str
    items: tuple[Item, ...]
    name: str = ""
    fields: tuple[tuple[int, Box], ...] = ()

    @property
    def known(self) -> str:
        """What the grid is known by to those who hear of it: ``Puzzle 12``."""
        return self.summary.partition(":")[0]


@dataclass(frozen=True, slots=True)
class NotesField:
    """A box to type small notes into, ``most`` characters of a ``size``; ``words`` say whose."""

    box: Box
    name: str
    words: str
    most: int
    size: float
    tag: Tag


@dataclass(frozen=True, slots=True)
class Destination:
    """A named destination: the page is shown from ``y`` down."""

    name: str
    x: float
    y: float


Item = (
    Text
    | Glyphs
    | Strokes
    | Fills
    | Rings
    | Lozenges
    | Trace
    | Disc
    | Link
    | WebLink
    | NotesField
    | Destination
    | Reference
    | Figure
    | Table
)


@dataclass(frozen=True)
class Page:
    """One page: its folio, counted from 1 at the cover, and all that stands on it.

    ``stamp`` is where the plan's stamp has its left end, on the baseline; None where it is not.
    """

    folio: int
    section: str
    items: tuple[Item, ...]
    stamp: Point | None = None


@dataclass(frozen=True)
class Stamp:
    """Room for a line of words, the same on every page and blank until a copy is someone's own.

    The words stand in the middle of ``width``, and nowhere leave it.
    """

    width: float
    face: str
    size: float
    ink: Ink = "quiet"

    @property
    def box(self) -> Box:
        """Its room, from its place on: as high and as deep as any letter of a name goes."""
        return 0.0, -0.28 * self.size, self.width, 0.97 * self.size


@dataclass(frozen=True)
class Bookmark:
    """A line of the outline; ``level`` 0 is a section, 1 a puzzle."""

    title: str
    to: str
    level: int


@dataclass(frozen=True)
class Plan:
    """A whole book, ready to draw in the form of its edition; the rest is metadata.

    ``inks`` are the greys of its inks, ``creep`` the thickness of a booklet's paper in points.
    """

    width: float
    height: float
    pages: tuple[Page, ...]
    bookmarks: tuple[Bookmark, ...]
    edition: Edition
    inks: Inks
    creep: float
    title: str
    author: str
    subject: str
    keywords: tuple[str, ...]
    dated: tuple[int, int]
    """Year and month of the issue."""
    stamp: Stamp | None = None
