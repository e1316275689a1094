"""Marks: all that a page paints, in order, as the plan says it; the file is read into the same.

A mark is a kind, which must be the very same, and numbers, which may differ by what is lost when
they are written in hundredths of a point.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Any, NamedTuple

from packbuilder.plan import items as it
from packbuilder.plan.imposition import Side
from packbuilder.plan.inks import Ink, Inks
from packbuilder.plan.painting import Cell, Span, spans
from packbuilder.typography.kerning import kerns

_QUARTER = 0.5523
"""How far the handles of a quarter circle of radius 1 reach: the usual approximation."""

_OPEN = re.compile(r"[lc](?=[mr]|$)")  # a run that ends without being closed

Owner = it.Tag | it.Table | Cell
"""Whose marked content is; a table itself has none: it stands where its cells begin."""


class Mark(NamedTuple):
    """Something painted, or where marked content begins or ends."""

    kind: tuple[Any, ...]
    numbers: tuple[float, ...] = ()


END = Mark(("end",))
STAMP = Mark(("stamp",))


def begin(role: str, mcid: int | None) -> Mark:
    """Marked content begins; furniture has no number."""
    return Mark(("begin", role, mcid))


def line(
    text: str, face: str, kerns: Iterable[tuple[int, int]], at: Iterable[float], *,
    turned: bool = False,
) -> Mark:  # fmt: skip
    """Text on a line. ``kerns``: a letter's index and what is added to its advance, in thousandths
    of an em; ``at``: x, y, type size, grey, and what is put between letters; ``turned``: it stands
    on its head."""
    return Mark(("turned" if turned else "text", face, text, *kerns), tuple(at))


class Pen(NamedTuple):
    """What strokes are drawn with: width, grey, dash and its phase, ends and joints."""

    width: float
    grey: float
    dash: tuple[float, ...] = ()
    phase: float = 0.0
    ends: float = 0
    joints: float = 0


def path(how: str, ops: str, points: Iterable[float], pen: Pen | None, fill: float | None) -> Mark:
    """A path. ``how`` is the operator that paints it, ``ops`` are those that it is made of, a
    letter each. The pen counts where it strokes, its ends where there are any: dashes have some."""
    kind: tuple[Any, ...] = "path", how, ops
    numbers = list(points)
    if pen is not None and how[0] != "f":
        ends = pen.ends if pen.dash or _OPEN.search(ops) else None
        kind = *kind, len(pen.dash), pen.joints, ends
        numbers += [pen.width, pen.grey, *pen.dash, pen.phase if pen.dash else 0.0]
    if fill is not None and how != "S":
        numbers.append(fill)
    return Mark(kind, tuple(numbers))


# --- what a plan says ----------------------------------------------------------------------------


class PlannedSide:
    """What a side of a sheet must show.

    ``marks`` are in the order of painting; ``owners`` tell whose the marked content of each of its
    pages is. It is numbered from 0 in that order; tables have none of their own.
    """

    def __init__(self, side: Side, inks: Inks, *, tagged: bool) -> None:
        self.marks: list[Mark] = []
        self.owners: list[tuple[it.Page, list[Owner]]] = []
        self._inks, self._content, self._shift = inks, 0, [0.0, 0.0]
        if side.dark:
            ground = it.Fills(((0.0, 0.0, side.width, side.height),), "paper")
            self._span(Span(it.FURNITURE, (ground,)))
        for page, *self._shift in side.pages:
            found = list(spans(page.items, tagged=tagged))
            for span in found:
                self._span(span)
            owners = [span.owner for span in found if span.owner is not it.FURNITURE]
            self.owners.append((page, [owner for owner in owners if owner is not None]))
        for page, x, y in side.pages:
            if page.stamp:
                shown = Mark(STAMP.kind, (page.stamp[0] + x, page.stamp[1] + y))
                furniture = (begin("Artifact", None), shown, END)
                self.marks += furniture if tagged else [shown]
        self._shift = [0.0, 0.0]
        for span in spans(side.marks, tagged=tagged):
            self._span(span)

    def _span(self, span: Span) -> None:
        owner = span.owner
        if isinstance(owner, it.Table):
            return
        if owner is it.FURNITURE:
            self.marks.append(begin("Artifact", None))
        elif owner is not None:
            self.marks.append(begin("TD" if isinstance(owner, Cell) else owner.role, self._content))
            self._content += 1
        for item in span.items:
            if isinstance(item, it.Text):
                marks = _text(item, self._inks, behind=" " if span.read_out else "")
            else:
                marks = _PAINTED[type(item)](item, self._inks)
            self.marks += [Mark(kind, (*numbers, *self._shift)) for kind, numbers in marks]
        self.marks += [END] if owner is not None else []


def _pen(item: Any, inks: Inks, **more: Any) -> Pen | None:
    return None if item.width is None else Pen(item.width, inks[item.ink], **more)


def _fill(ink: Ink | None, inks: Inks) -> float | None:
    return None if ink is None else inks[ink]


def _how(item: it.Trace | it.Disc, *, holes: bool = False) -> str:
    if item.fill is None:
        return "S"
    return ("f" if item.width is None else "B") + ("*" if holes else "")


def _text(item: it.Text, inks: Inks, behind: str) -> Iterator[Mark]:
    """The press sets a plain blank for one that does not break lines."""
    text = item.text.replace("\xa0", " ")
    kerned = [] if item.spacing else enumerate(kerns(text, item.face))
    if text or behind:
        at = item.x, item.y, item.size, inks[item.ink], item.spacing
        pairs = tuple((k, units) for k, units in kerned if units)
        yield line(text + behind, item.face, pairs, at, turned=item.turned)


def _glyphs(item: it.Glyphs, inks: Inks) -> Iterator[Mark]:
    for x, y, letter in item.places:
        yield line(letter, item.face, (), (x, y, item.size, inks[item.ink], 0.0))


def _strokes(item: it.Strokes, inks: Inks) -> Iterator[Mark]:
    points = [value for segment in item.segments for value in segment]
    pen = _pen(item, inks, ends=2 if item.square else 0)
    yield path("S", "ml" * len(item.segments), points, pen, None)


def _fills(item: it.Fills, inks: Inks) -> Iterator[Mark]:
    points = [v for x0, y0, x1, y1 in item.boxes for v in (x0, y0, x1 - x0, y1 - y0)]
    yield path("f", "r" * len(item.boxes), points, None, inks[item.ink])


def _rings(item: it.Rings, inks: Inks) -> Iterator[Mark]:
    points: list[float] = []
    r, near = item.radius, item.radius * (1 - _QUARTER)
    for x0, y0, x1, y1 in item.boxes:
        points += (x0 + r, y0, x1 - r, y0)
        points += (x1 - near, y0, x1, y0 + near, x1, y0 + r, x1, y1 - r)
        points += (x1, y1 - near, x1 - near, y1, x1 - r, y1, x0 + r, y1)
        points += (x0 + near, y1, x0, y1 - near, x0, y1 - r, x0, y0 + r)
        points += (x0, y0 + near, x0 + near, y0, x0 + r, y0)
    yield path("S", "mlclclclch" * len(item.boxes), points, _pen(item, inks), None)


def _lozenges(item: it.Lozenges, inks: Inks) -> Iterator[Mark]:
    r, points = item.reach, list[float]()
    for x, y in item.centres:
        points += (x - r, y, x, y + r, x + r, y, x, y - r)
    how = "f" if item.width is None else "S"
    yield path(how, "mlllh" * len(item.centres), points, _pen(item, inks), inks[item.ink])


def _trace(item: it.Trace, inks: Inks) -> Iterator[Mark]:
    points = [value for run in item.runs for point in run for value in point]
    ends = "h" if item.closed else ""
    ops = "".join("m" + "l" * (len(run) - 1) + ends for run in item.runs)
    pen = _pen(item, inks, dash=item.dash, phase=item.phase, ends=int(item.round_ends),
               joints=int(item.round_joints))  # fmt: skip
    how = _how(item, holes=len(item.runs) > 1)
    yield path(how, ops, points, pen, _fill(item.fill, inks))


def _disc(item: it.Disc, inks: Inks) -> Iterator[Mark]:
    x, y, r, pull = item.x, item.y, item.radius, item.radius * _QUARTER
    points = (
        x + r, y, x + r, y + pull, x + pull, y + r, x, y + r, x - pull, y + r, x - r, y + pull,
        x - r, y, x - r, y - pull, x - pull, y - r, x, y - r, x + pull, y - r, x + r, y - pull,
        x + r, y,
    )  # fmt: skip
    yield path(_how(item), "mcccch", points, _pen(item, inks), _fill(item.fill, inks))


_PAINTED: dict[type, Callable[[Any, Inks], Iterator[Mark]]] = {
    it.Glyphs: _glyphs,
    it.Strokes: _strokes,
    it.Fills: _fills,
    it.Rings: _rings,
    it.Lozenges: _lozenges,
    it.Trace: _trace,
    it.Disc: _disc,
}
