"""Pen: items become the operators of a page. Nothing is decided here but how to say it in PDF."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from packbuilder.plan import items as it
from packbuilder.plan.inks import Ink, Inks
from packbuilder.plan.painting import Cell, Span, spans
from packbuilder.press.pdf_file import number as _number
from packbuilder.press.structure import Structure
from packbuilder.typography.kerning import kerns

Coder = Callable[[str, str], list[tuple[str, bytes]]]
"""A text in a face, as runs: each with its font's resource name and its codes in that font."""


class Here(NamedTuple):
    """The page that is drawn: its folio, from 1, and its object's number."""

    folio: int
    page: int


class Pen:
    """Writes items as operators, one page after another.

    ``structure`` is told what each item is; without one, nothing is tagged.
    """

    def __init__(self, coder: Coder, inks: Inks, structure: Structure | None) -> None:
        self._coder, self._structure = coder, structure
        self._tones = {name: _number(grey) for name, grey in inks.items()}
        self._code: list[str] = []
        self._here = Here(0, 0)
        self._fields: dict[str, dict[int, int]] = {}
        self.keys: dict[str, dict[int, int]] = {}
        """The parent-tree keys of form fields, by grid and cell."""
        self._draw: dict[type, Callable[[Any], None]] = {
            it.Glyphs: self._glyphs,
            it.Strokes: self._strokes,
            it.Fills: self._fills,
            it.Rings: self._rings,
            it.Lozenges: self._lozenges,
            it.Trace: self._trace,
            it.Disc: self._disc,
        }

    def page(
        self, items: Sequence[it.Item], here: Here, fields: dict[str, dict[int, int]] | None = None
    ) -> str:
        """The operators of a page. ``fields`` are object numbers, by grid and cell."""
        self._code, self._here, self._fields = [], here, fields or {}
        cells: list[Span] = []
        for span in spans(items, tagged=self._structure is not None):
            if isinstance(span.owner, Cell):
                cells.append(span)
                continue
            self._grid(cells)
            if isinstance(span.owner, it.Table):
                cells = [span]
            else:
                cells = []
                self._span(span)
        self._grid(cells)
        return "\n".join(self._code)

    def _say(self, *operators: str) -> None:
        self._code.append(" ".join(operators))

    # --- marked content ---------------------------------------------------------------------

    def _span(self, span: Span) -> None:
        """Items of one element, or of none."""
        if isinstance(span.owner, it.Tag):
            self._code.append(self._opening(span.owner))
        for item in span.items:
            if isinstance(item, it.Text):
                self._text(item, read_out=span.read_out)
            else:
                self._draw[type(item)](item)
        if span.owner is not None:
            self._code.append("EMC")

    def _opening(self, tag: it.Tag) -> str:
        assert self._structure is not None
        if tag is it.FURNITURE:
            return "/Artifact BMC"
        mcid = self._structure.content(tag, self._here.folio, self._here.page)
        return f"/{tag.role}<</MCID {mcid}>>BDC"

    def _grid(self, whole: Sequence[Span]) -> None:
        """A grid's letters, cell by cell; its own span comes first. Nothing where there is none."""
        if not whole:
            return
        head, *cells = whole
        assert isinstance(head.owner, it.Table)
        assert self._structure is not None
        table, here = head.owner, self._here
        numbers = [span.owner.cell for span in cells if isinstance(span.owner, Cell)]
        fields = self._fields.get(table.name, {}) if table.fields else {}
        mcids, keys = self._structure.table(table, here.folio, here.page, numbers, fields)
        if keys:
            self.keys[table.name] = keys
        say, look = ["BT"], None
        for cell, span in zip(numbers, cells, strict=True):
            say.append(f"/TD<</MCID {mcids[cell]}>>BDC")
            for item in span.items:
                assert isinstance(item, it.Glyphs)
                ((x, y, letter),) = item.places
                font, codes = self._coder(letter, item.face)[0]
                if look != (font, item.size, item.ink):
                    look = (font, item.size, item.ink)
                    say.append(f"{self._tones[item.ink]} g {font} {_number(item.size)} Tf")
                say.append(f"1 0 0 1 {x:.2f} {y:.2f} Tm <{codes.hex()}> Tj")
            say.append("EMC")
        self._say(*say, "ET")

    # --- text -------------------------------------------------------------------------------

    def _text(self, item: it.Text, *, read_out: bool) -> None:
        way = "-1 0 0 -1" if item.turned else "1 0 0 1"
        say = ["BT", f"{self._tones[item.ink]} g", f"{way} {item.x:.2f} {item.y:.2f} Tm"]
        text, pairs = item.text, (*kerns(item.text, item.face), 0)
        if read_out:  # a blank parts this line from the next one when they are read out
            text, pairs = f"{text} ", (*pairs, 0)
        if item.spacing:
            pairs = (0,) * len(pairs)  # opened letters stand at even distances
            say.append(f"{_number(item.spacing)} Tc")
        start = 0
        for font, codes in self._coder(text, item.face):
            say.append(f"{font} {_number(item.size)} Tf")
            say.append(_shown(codes, pairs[start : start + len(codes)]))
            start += len(codes)
        if item.spacing:
            say.append("0 Tc")
        self._say(*say, "ET")

    def _glyphs(self, item: it.Glyphs) -> None:
        say = ["BT", f"{self._tones[item.ink]} g"]
        current = ""
        for x, y, letter in item.places:
            font, codes = self._coder(letter, item.face)[0]
            if font != current:
                say.append(f"{font} {_number(item.size)} Tf")
                current = font
            say.append(f"1 0 0 1 {x:.2f} {y:.2f} Tm <{codes.hex()}> Tj")
        self._say(*say, "ET")

    def _strokes(self, item: it.Strokes) -> None:
        say = [f"{self._tones[item.ink]} G {_number(item.width)} w {2 if item.square else 0} J"]
        for x0, y0, x1, y1 in item.segments:
            say.append(f"{x0:.2f} {y0:.2f} m {x1:.2f} {y1:.2f} l")
        self._say(*say, "S")

    def _fills(self, item: it.Fills) -> None:
        say = [f"{self._tones[item.ink]} g"]
        for left, bottom, right, top in item.boxes:
            say.append(f"{left:.2f} {bottom:.2f} {right - left:.2f} {top - bottom:.2f} re")
        self._say(*say, "f")

    def _rings(self, item: it.Rings) -> None:
        say = [f"{self._tones[item.ink]} G {_number(item.width)} w"]
        say += [_rounded(box, item.radius) for box in item.boxes]
        self._say(*say, "S")

    def _lozenges(self, item: it.Lozenges) -> None:
        reach = item.reach
        say = [f"{self._tones[item.ink]} {'g' if item.width is None else 'G'}"]
        if item.width is not None:
            say.append(f"{_number(item.width)} w")
        for x, y in item.centres:
            corners = ((x - reach, y), (x, y + reach), (x + reach, y), (x, y - reach))
            path = " l ".join(f"{_number(a)} {_number(b)}" for a, b in corners[1:])
            say.append(f"{_number(corners[0][0])} {_number(corners[0][1])} m {path} l h")
        self._say(*say, "f" if item.width is None else "S")

    def _trace(self, item: it.Trace) -> None:
        say = ["q", *self._inks(item.width, item.ink, item.fill)]
        say.append(f"{int(item.round_ends)} J")  # grids leave square ends behind them
        if item.round_joints:
            say.append("1 j")
        say += _dashed(item.dash, item.phase)
        for first, *rest in item.runs:
            say.append(f"{_points(first)} m")
            say += [f"{_points(point)} l" for point in rest]
            say += ["h"] if item.closed else []
        self._say(*say, _paint(item.width, item.fill, holes=len(item.runs) > 1), "Q")

    def _disc(self, item: it.Disc) -> None:
        x, y, r = item.x, item.y, item.radius
        box = (x - r, y - r, x + r, y + r)
        say = ["q", *self._inks(item.width, item.ink, item.fill), _circle(box)]
        self._say(*say, _paint(item.width, item.fill), "Q")

    def _inks(self, width: float | None, ink: Ink, fill: Ink | None) -> list[str]:
        """The operators that set the line and the fill of a path."""
        say = [] if width is None else [f"{self._tones[ink]} G {_number(width)} w"]
        return say if fill is None else [*say, f"{self._tones[fill]} g"]


def _shown(codes: bytes, pairs: tuple[int, ...]) -> str:
    """The operator that shows codes; TJ where pairs are kerned (its numbers take away)."""
    text = codes.hex()
    if not any(pairs):
        return f"<{text}> Tj"
    parts, start = [], 0
    for k in [2 * k for k, kern in enumerate(pairs, start=1) if kern]:
        parts.append(f"<{text[start:k]}>{-pairs[k // 2 - 1]}")
        start = k
    return f"[{''.join(parts)}<{text[start:]}>]TJ"


def _dashed(dash: tuple[float, ...], phase: float) -> list[str]:
    return [f"[{' '.join(_number(part) for part in dash)}] {_number(phase)} d"] if dash else []


def _paint(width: float | None, fill: Ink | None, *, holes: bool = False) -> str:
    """The operator that paints a path: stroked, filled, or filled and then stroked."""
    if fill is None:
        return "S"
    return ("f" if width is None else "B") + ("*" if holes else "")


def _points(*points: it.Point) -> str:
    return " ".join(f"{x:.2f} {y:.2f}" for x, y in points)


def _circle(box: it.Box) -> str:
    """A circle in four Bezier curves; its box is a square."""
    left, bottom, right, top = box
    x, y, pull = (left + right) / 2, (bottom + top) / 2, (right - left) / 2 * 0.5523
    return " ".join(
        (
            _points((right, y)), "m",
            _points((right, y + pull), (x + pull, top), (x, top)), "c",
            _points((x - pull, top), (left, y + pull), (left, y)), "c",
            _points((left, y - pull), (x - pull, bottom), (x, bottom)), "c",
            _points((x + pull, bottom), (right, y - pull), (right, y)), "c h",
        )
    )  # fmt: skip


def _rounded(box: it.Box, radius: float) -> str:
    """A box with round corners, each a quarter circle in one Bezier curve."""
    left, bottom, right, top = box
    pull = radius * 0.4477  # 1 - 0.5523, the usual approximation of a quarter circle

    def points(*values: float) -> str:
        return " ".join(f"{value:.2f}" for value in values)

    return " ".join(
        (
            points(left + radius, bottom), "m",
            points(right - radius, bottom), "l",
            points(right - pull, bottom, right, bottom + pull, right, bottom + radius), "c",
            points(right, top - radius), "l",
            points(right, top - pull, right - pull, top, right - radius, top), "c",
            points(left + radius, top), "l",
            points(left + pull, top, left, top - pull, left, top - radius), "c",
            points(left, bottom + radius), "l",
            points(left, bottom + pull, left + pull, bottom, left + radius, bottom), "c h",
        )
    )  # fmt: skip
