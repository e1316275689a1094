"""Sheet: one paper in one layout, its columns, and its ways of setting text."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from packbuilder.editions import PRINT, Edition
from packbuilder.errors import InputError
from packbuilder.layouts.checks import CLEAR
from packbuilder.layouts.model import Faces, Greys, Layout, Least, Margins, Type
from packbuilder.layouts.papers import MM, PAPERS, SAFE
from packbuilder.plan.inks import Ink
from packbuilder.plan.items import Item, Link, Point, Reference, Stamp, Strokes, Tag, Text
from packbuilder.typography.names import FACE
from packbuilder.typography.typeface import face_for, width

LEADING = 1.38
"""Distance of baselines, in type sizes."""

UNKNOWN = "00"
"""Stands for a page number that is not known yet, where its width matters; as wide as most."""

ASCENT = 0.75
"""Room that a line takes above its baseline, in type sizes."""

HIGHEST = 0.93
"""The same of capitals with an accent on top."""

_STAMP = 7.0
"""Type size of the stamp, in large print too: it is there to be found, not to be read."""

_CLEAR = 0.5
"""Least white above and below the stamp, in points."""


@dataclass(frozen=True)
class PageDesign:
    """The paper of a book and what its layout says of it there; all lengths in points.

    Raises InputError where the layout is not made for the paper, or promises smaller type than the
    edition asks for.
    """

    layout: Layout
    paper: str
    edition: Edition = PRINT

    def __post_init__(self) -> None:
        object.__setattr__(self, "layout", self.layout.for_paper(self.paper))
        for field in ("text", "furniture", "small", "digits"):
            asked, promised = getattr(self.edition, field), getattr(self.least, field)
            if asked > promised:
                raise InputError(
                    f"{self.layout.file}: least.{field}: the edition {self.edition.name} asks for "
                    f"{asked:g} pt or more, and the layout promises {promised:g}; write "
                    f"`least: {{{field}: {asked:g}}}` and sizes to match"
                )

    @property
    def width(self) -> float:
        """Of the paper."""
        return PAPERS[self.paper][0]

    @property
    def height(self) -> float:
        """Of the paper."""
        return PAPERS[self.paper][1]

    @cached_property
    def _margins(self) -> Margins:
        return self.layout.margins[self.paper]  # checked when made

    @cached_property
    def measure(self) -> float:
        """Width of the text area, the same on every page."""
        return self.width - (self._margins.inner + self._margins.outer) * MM

    @cached_property
    def top(self) -> float:
        """Upper edge of the text area."""
        return self.height - self._margins.top * MM

    @cached_property
    def bottom(self) -> float:
        """Lower edge of the text area."""
        return self._margins.bottom * MM

    @property
    def depth(self) -> float:
        """Height of the text area."""
        return self.top - self.bottom

    def left(self, folio: int) -> float:
        """Left edge of the text area: the spine is on the left of odd pages."""
        margins = self._margins
        return (margins.inner if folio % 2 else margins.outer) * MM

    @property
    def inner(self) -> float:
        """From the fold or the bound edge to the text area."""
        return self._margins.inner * MM

    @property
    def head(self) -> float:
        """Baseline of the running head."""
        high = HIGHEST * self.type.furniture
        return self.height - max(self._margins.top * 0.56 * MM, 13.5 * MM, SAFE * MM + high)

    @property
    def foot(self) -> float:
        """Baseline of the folio."""
        deep = 0.3 * self.type.furniture
        return max(self._margins.bottom * 0.5 * MM, 11.5 * MM, SAFE * MM + deep)

    @cached_property
    def stamp(self) -> Stamp | None:
        """The line between the foot and the text that says whose copy it is, if there is room."""
        stamp = Stamp(self.measure, FACE, _STAMP)
        _, low, _, high = stamp.box
        room = self.bottom - self.foot - HIGHEST * self.type.furniture
        return stamp if room >= high - low + 2 * _CLEAR else None

    def stamp_at(self, folio: int) -> Point | None:
        """Where a page has the stamp: in the middle of its room; on the cover as low as can be."""
        if self.stamp is None:
            return None
        _, low, _, high = self.stamp.box
        if folio == 1:
            return self.left(folio), SAFE * MM + _CLEAR - low
        under = self.foot + HIGHEST * self.type.furniture
        return self.left(folio), (under + self.bottom - low - high) / 2

    @property
    def cover_foot(self) -> float:
        """The least height on a cover that is clear of the stamp."""
        place = self.stamp_at(1)
        return place[1] + self.stamp.box[3] + _CLEAR if self.stamp and place else SAFE * MM

    @property
    def faces(self) -> Faces:
        """The layout's faces."""
        return self.layout.faces

    @property
    def type(self) -> Type:
        """The layout's type sizes."""
        return self.layout.type

    @property
    def greys(self) -> Greys:
        """The layout's greys."""
        return self.layout.greys

    @property
    def least(self) -> Least:
        """The least type sizes."""
        return self.layout.least

    @property
    def scale(self) -> float:
        """How much larger its text is than the usual 10.5 points, never under 1.

        Lengths that words need grow with it.
        """
        return max(1.0, self.type.prose / 10.5)

    @property
    def stacked(self) -> bool:
        """Whether reading pages have one column: their lines would be too short beside another."""
        return self.measure < 29 * self.type.prose

    @property
    def gutter(self) -> float:
        """Between the side column and the main column."""
        return max(7 * MM, CLEAR * self.type.prose)

    @property
    def side(self) -> float:
        """Width of the side column of reading pages: about a quarter, or the only column's."""
        return self.measure if self.stacked else round(self.measure * 0.26, 2)

    @property
    def main(self) -> float:
        """Width of the main column of reading pages."""
        return self.measure if self.stacked else self.measure - self.side - self.gutter

    def apart(self, gap: float) -> float:
        """What text leaves free at the right of its column, so that nobody reads on over the gap
        to the next one."""
        return max(CLEAR * self.type.prose - gap, 0.0)

    def text_columns(self, gap: float) -> int:
        """How many columns of running text stand side by side: two, where lines stay long enough.

        ``gap`` is between them.
        """
        return 2 if (self.measure - gap) / 2 >= 17.5 * self.type.prose else 1


def left_text(
    x: float,
    y: float,
    text: str,
    face: str,
    size: float,
    ink: Ink = "ink",
    tag: Tag | None = None,
    *,
    quoted: bool = False,
) -> Text:
    """Text that begins at x."""
    return Text(x, y, text, face_for(text, face), size, ink, tag=tag, quoted=quoted)


def right_text(
    x: float,
    y: float,
    text: str,
    face: str,
    size: float,
    ink: Ink = "ink",
    tag: Tag | None = None,
    *,
    quoted: bool = False,
) -> Text:
    """Text that ends at x."""
    face = face_for(text, face)
    return Text(x - width(text, face, size), y, text, face, size, ink, tag=tag, quoted=quoted)


def spaced_text(x: float, y: float, text: str, face: str, size: float, ink: Ink = "ink") -> Text:
    """Capitals, opened by an eighth of the type size, as an eyebrow above a title."""
    text = text.upper()
    return Text(x, y, text, face_for(text, face), size, ink, spacing=size * 0.1)


def resolved(reference: Reference, folio: int, *, underlined: bool = False) -> list[Item]:
    """A page reference as the text that it prints, and a link that covers it."""
    told, size = f"{reference.words}{folio}", reference.size
    face = face_for(told, reference.face)
    wide = width(told, face, size)
    x, y = reference.x - wide * reference.right, reference.y
    tag = Tag("Link", within=reference.within or Tag("P"))
    box = (x, y - 0.25 * size, x + wide, y + 0.8 * size)
    items: list[Item] = [Text(x, y, told, face, size, tag=tag), Link(box, reference.to, told, tag)]
    if underlined:
        low = y - 0.16 * size
        items.append(Strokes(0.5, ((x, low, x + wide, low),), "quiet"))
    return items
