"""Marks of a page moved, recoloured or taken away: what undoing an edition is made of."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from typing import TypeVar

from packbuilder.readback.document import Colour, Drawing, Glyph, Patch, Pen, Sheet, Stroke, Track

Recolour = Callable[[Colour], Colour]
Boxed = TypeVar("Boxed", Stroke, Patch)


def moved_glyph(g: Glyph, dx: float, dy: float) -> Glyph:
    """A glyph elsewhere (points)."""
    return g._replace(
        x0=g.x0 + dx, y0=g.y0 + dy, x1=g.x1 + dx, y1=g.y1 + dy, x=g.x + dx, y=g.y + dy
    )


def moved_box(mark: Boxed, dx: float, dy: float) -> Boxed:
    """A stroke or a patch elsewhere."""
    return mark._replace(x0=mark.x0 + dx, y0=mark.y0 + dy, x1=mark.x1 + dx, y1=mark.y1 + dy)


def moved_drawing(d: Drawing, dx: float, dy: float) -> Drawing:
    """A painted path elsewhere."""
    tracks = tuple(
        Track(tuple((x + dx, y + dy) for x, y in t.points), t.closed, t.curved) for t in d.tracks
    )
    return d._replace(tracks=tracks)


def moved(sheet: Sheet, dx: float, dy: float) -> Sheet:
    """A page with all its marks moved."""
    return replace(
        sheet,
        glyphs=tuple(moved_glyph(g, dx, dy) for g in sheet.glyphs),
        strokes=tuple(moved_box(s, dx, dy) for s in sheet.strokes),
        patches=tuple(moved_box(p, dx, dy) for p in sheet.patches),
        drawings=tuple(moved_drawing(d, dx, dy) for d in sheet.drawings),
    )


def recoloured(sheet: Sheet, change: Recolour) -> Sheet:
    """A page with every plain colour changed."""

    def turned(colour: Colour | None) -> Colour | None:
        return None if colour is None else change(colour)

    def redrawn(d: Drawing) -> Drawing:
        pen: Pen | None = d.pen._replace(colour=turned(d.pen.colour)) if d.pen else None
        return d._replace(pen=pen, fill=turned(d.fill))

    return replace(
        sheet,
        glyphs=tuple(g._replace(colour=turned(g.colour)) for g in sheet.glyphs),
        strokes=tuple(s._replace(colour=turned(s.colour)) for s in sheet.strokes),
        patches=tuple(p._replace(colour=turned(p.colour)) for p in sheet.patches),
        drawings=tuple(redrawn(d) for d in sheet.drawings),
    )


def without_strokes(sheet: Sheet, gone: Collection[Stroke]) -> Sheet:
    """A page without some strokes, and without the paths that are made of nothing else."""
    if not gone:
        return sheet
    ends = {_ends(s.x0, s.y0, s.x1, s.y1) for s in gone}

    def is_gone(d: Drawing) -> bool:
        return (
            d.pen is not None
            and not d.filled
            and all(
                len(t.points) == 2 and _ends(*t.points[0], *t.points[1]) in ends for t in d.tracks
            )
        )

    return replace(
        sheet,
        strokes=tuple(s for s in sheet.strokes if s not in gone),
        drawings=tuple(d for d in sheet.drawings if not is_gone(d)),
    )


def without_fill(sheet: Sheet, gone: Drawing) -> Sheet:
    """A page without one filled path."""
    left, bottom, right, top = gone.box
    patch = Patch(left, bottom, right, top, gone.fill)
    drawings = list(sheet.drawings)
    drawings.remove(gone)
    patches = list(sheet.patches)
    if patch in patches:
        patches.remove(patch)
    return replace(sheet, drawings=tuple(drawings), patches=tuple(patches))


def _ends(x0: float, y0: float, x1: float, y1: float) -> frozenset[tuple[float, float]]:
    """The ends of a line, whichever way it was drawn, to a fiftieth of a point."""
    return frozenset({(round(x0 * 50), round(y0 * 50)), (round(x1 * 50), round(y1 * 50))})
