"""Pen: items become the operators of a page. Nothing is decided here but how to say it in PDF."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, NamedTuple

from packbuilder.plan import items as it
from packbuilder.press.pdf_file import number as _number
from packbuilder.press.structure import Structure
from packbuilder.typography.typeface import kerns

Coder = Callable[[str, str], list[tuple[str, bytes]]]
"""A text in a face, as runs: each with its font's resource name and its codes in that font."""


@dataclass(frozen=True)
class Tone:
    """How greys are printed: grey g as ``black`` + (``white`` - ``black``) * g."""

    black: float = 0.0
    white: float = 1.0

    def __call__(self, grey: float) -> str:
        """The operand that paints a grey."""
        return _number(self.black + (self.white - self.black) * grey)


class Here(NamedTuple):
    """The page that is drawn: its folio, from 1, and its object's number."""

    folio: int
    page: int


_Letter = tuple[int, it.Glyphs, tuple[float, float, str]]
"""A letter of a table: its cell, how it is set, and where."""


def _by_cell(items: Sequence[it.Glyphs]) -> Iterator[_Letter]:
    for item in items:
        for cell, place in zip(item.cells, item.places, strict=True):
            yield cell, item, place


class Pen:
    """Writes items as operators, one page after another.

    ``structure`` is told what each item is; without one, nothing is tagged.
    """

    def __init__(self, coder: Coder, tone: Tone, structure: Structure | None) -> None:
        self._coder, self._tone, self._structure = coder, tone, structure
        self._code: list[str] = []
        self._here = Here(0, 0)
        self._open: it.Tag | None = None
        self._plain: it.Tag | None = None  # the paragraph that untagged lines belong to
        self._in_table = False
        self._fields: dict[int, dict[int, int]] = {}
        self.keys: dict[int, dict[int, int]] = {}
        """The parent-tree keys of form fields, by puzzle and cell."""
        self._draw: dict[type, Callable[[Any], None]] = {
            it.Text: self._text,
            it.Glyphs: self._glyphs,
            it.Strokes: self._strokes,
            it.Fills: self._fills,
            it.Rings: self._rings,
            it.Lozenges: self._lozenges,
            it.Trace: self._trace,
            it.Disc: self._disc,
            it.Bow: self._bow,
            it.Figure: self._figure,
            it.Table: self._table,
        }

    def page(
        self, items: Sequence[it.Item], here: Here, fields: dict[int, dict[int, int]] | None = None
    ) -> str:
        """The operators of a page. ``fields`` are object numbers, by puzzle and cell."""
        self._code, self._here, self._fields = [], here, fields or {}
        self._plain = None
        for item in items:
            draw = self._draw.get(type(item))
            if draw:
                draw(item)
        self._close()
        return "\n".join(self._code)

    def _say(self, *operators: str) -> None:
        self._code.append(" ".join(operators))

    # --- marked content ---------------------------------------------------------------------

    def _mark(self, tag: it.Tag) -> None:
        """What follows belongs to this element."""
        if self._structure is None or tag is self._open:
            return
        self._close()
        if tag is it.FURNITURE:
            self._code.append("/Artifact BMC")
        else:
            mcid = self._structure.content(tag, self._here.folio, self._here.page)
            self._code.append(f"/{tag.role}<</MCID {mcid}>>BDC")
        self._open = tag

    def _close(self) -> None:
        if self._open is not None:
            self._code.append("EMC")
            self._open = None

    def _decor(self) -> None:
        """What follows is decoration, unless it is a part of an open figure."""
        if self._open is None or self._open.role != "Figure":
            self._mark(it.FURNITURE)

    def _figure(self, item: it.Figure) -> None:
        self._mark(item.tag)
        for part in item.items:
            self._draw[type(part)](part)
        if item.tag.role == "Figure":
            self._close()

    def _table(self, item: it.Table) -> None:
        if self._structure is None:
            for part in item.items:
                self._draw[type(part)](part)
            return
        celled = [part for part in item.items if isinstance(part, it.Glyphs) and part.cells]
        letters = sorted(_by_cell(celled), key=lambda letter: letter[0])
        cells = list(dict.fromkeys(cell for cell, _, _ in letters))
        fields = self._fields.get(item.number, {}) if item.fields else {}
        here = self._here
        mcids, keys = self._structure.table(item, here.folio, here.page, cells, fields)
        if keys:
            self.keys[item.number] = keys
        self._in_table = True
        for part in item.items:
            if not (isinstance(part, it.Glyphs) and part.cells):
                self._draw[type(part)](part)
        self._in_table = False
        self._close()
        self._letters(letters, mcids)

    def _letters(self, letters: Sequence[_Letter], mcids: dict[int, int]) -> None:
        """The letters of a grid in the order of its cells: drawn as they are read."""
        say, look = ["BT"], None
        for cell, group in groupby(letters, lambda letter: letter[0]):
            say.append(f"/TD<</MCID {mcids[cell]}>>BDC")
            for _, item, (x, y, letter) in group:
                font, codes = self._coder(letter, item.face)[0]
                if look != (font, item):
                    look = (font, item)
                    say.append(f"{self._tone(item.grey)} g {font} {_number(item.size)} Tf")
                say.append(f"1 0 0 1 {x:.2f} {y:.2f} Tm <{codes.hex()}> Tj")
            say.append("EMC")
        self._say(*say, "ET")

    def _mark_text(self, item: it.Text) -> bool:
        """Say what element a line belongs to; True if it is read out, as a line of its own."""
        if self._structure is None:
            return False
        if item.tag is not None:
            self._mark(item.tag)
            self._plain = None
            return item.tag is not it.FURNITURE
        if self._open is not None and self._open.role == "Figure":
            return False
        if self._in_table:
            self._mark(it.FURNITURE)
            return False
        if self._plain is None or self._open is not self._plain:
            self._plain = it.Tag("P")
        self._mark(self._plain)
        return True

    # --- text -------------------------------------------------------------------------------

    def _text(self, item: it.Text) -> None:
        read = self._mark_text(item)
        say = ["BT", f"{self._tone(item.grey)} g", f"1 0 0 1 {item.x:.2f} {item.y:.2f} Tm"]
        text, pairs = item.text, (*kerns(item.text, item.face), 0)
        if read:  # a blank parts this line from the next one when they are read out
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
        self._decor()
        say = ["BT", f"{self._tone(item.grey)} g"]
        current = ""
        for x, y, letter in item.places:
            font, codes = self._coder(letter, item.face)[0]
            if font != current:
                say.append(f"{font} {_number(item.size)} Tf")
                current = font
            say.append(f"1 0 0 1 {x:.2f} {y:.2f} Tm <{codes.hex()}> Tj")
        self._say(*say, "ET")

    def _strokes(self, item: it.Strokes) -> None:
        self._decor()
        say = [f"{self._tone(item.grey)} G {_number(item.width)} w {2 if item.square else 0} J"]
        for x0, y0, x1, y1 in item.segments:
            say.append(f"{x0:.2f} {y0:.2f} m {x1:.2f} {y1:.2f} l")
        self._say(*say, "S")

    def _fills(self, item: it.Fills) -> None:
        if item.boxes:
            self._decor()
            say = [f"{self._tone(item.grey)} g"]
            for left, bottom, right, top in item.boxes:
                say.append(f"{left:.2f} {bottom:.2f} {right - left:.2f} {top - bottom:.2f} re")
            self._say(*say, "f")

    def _rings(self, item: it.Rings) -> None:
        self._decor()
        say = [f"{self._tone(item.grey)} G {_number(item.width)} w"]
        say += [_rounded(box, item.radius) for box in item.boxes]
        self._say(*say, "S")

    def _lozenges(self, item: it.Lozenges) -> None:
        self._decor()
        reach = item.reach
        say = [f"{self._tone(item.grey)} {'g' if item.width is None else 'G'}"]
        if item.width is not None:
            say.append(f"{_number(item.width)} w")
        for x, y in item.centres:
            corners = ((x - reach, y), (x, y + reach), (x + reach, y), (x, y - reach))
            path = " l ".join(f"{_number(a)} {_number(b)}" for a, b in corners[1:])
            say.append(f"{_number(corners[0][0])} {_number(corners[0][1])} m {path} l h")
        self._say(*say, "f" if item.width is None else "S")

    def _trace(self, item: it.Trace) -> None:
        self._decor()
        say = ["q", *self._inks(item.width, item.grey, item.fill)]
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
        self._decor()
        x, y, r = item.x, item.y, item.radius
        box = (x - r, y - r, x + r, y + r)
        say = ["q", *self._inks(item.width, item.grey, item.fill), _circle(box)]
        self._say(*say, _paint(item.width, item.fill), "Q")

    def _bow(self, item: it.Bow) -> None:
        self._decor()
        start, *controls = item.curve
        say = ["q", *self._inks(item.width, 0.0, None), "1 J", *_dashed(item.dash, 0.0)]
        say.append(f"{_points(start)} m {_points(*controls)} c S")
        one, tip, other = item.head  # drawn as curves, so that a whole link is one kind of path
        say.append(f"[] 0 d {_points(one)} m {_points(one, tip, tip)} c")
        say.append(f"{_points(tip, other, other)} c S")
        self._say(*say, "Q")

    def _inks(self, width: float | None, grey: float, fill: float | None) -> list[str]:
        """The operators that set the line and the fill of a path."""
        say = [] if width is None else [f"{self._tone(grey)} G {_number(width)} w"]
        return say if fill is None else [*say, f"{self._tone(fill)} g"]


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


def _paint(width: float | None, fill: float | None, *, holes: bool = False) -> str:
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
