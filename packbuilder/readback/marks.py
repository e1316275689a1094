"""The first eye's device: pdfplumber's reading of a page, as plain glyphs and strokes.

pdfplumber's own lists of dictionaries leave out what a proof-reader needs: the text render mode,
the width of a line after scaling, and the origin of a glyph. So a device of our own hangs on its
parser. It is also twice as fast.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, hypot, sqrt
from typing import Any, NamedTuple

from pdfminer.pdfdevice import PDFTextDevice
from pdfminer.utils import apply_matrix_pt, apply_matrix_rect, decode_text

from packbuilder.errors import InputError
from packbuilder.readback.document import (
    FURNITURE,
    UNMARKED,
    Colour,
    Drawing,
    Glyph,
    Patch,
    Pen,
    Sheet,
    Stroke,
    Track,
)
from packbuilder.readback.operators import Interpreter

SAME_POINT = 0.02
"""Points (the unit) of a path that lie nearer than this are one: files round to a hundredth."""
FLAT = 0.1
"""Points (the unit) that a curve may leave the straight pieces that stand for it."""
PIECES = (8, 64)
"""The least and the most of those pieces."""


def marks_of(pdf: Any, page: Any, limit: int) -> Sheet:
    """The marks of one pdfplumber page. Raises InputError where there are more than ``limit``."""
    eye = _Eye(pdf.rsrcmgr, page.page_number, limit)
    Interpreter(pdf.rsrcmgr, eye).process_page(page.page_obj)
    return Sheet(
        page.page_number,
        float(page.width),
        float(page.height),
        tuple(eye.glyphs),
        tuple(eye.strokes),
        tuple(eye.patches),
        tuple(eye.drawings),
        frozenset(eye.drawn),
        tuple(eye.said),
    )


def rgb(value: Any) -> Colour | None:
    """A colour as PDF operators give it: grey, RGB or CMYK; None for a pattern."""
    parts = value if isinstance(value, (tuple, list)) else (value,)
    if not all(isinstance(v, (int, float)) for v in parts):
        return None
    if len(parts) == 1:
        return (float(parts[0]),) * 3
    if len(parts) == 3:
        return (float(parts[0]), float(parts[1]), float(parts[2]))
    if len(parts) == 4:
        c, m, y, k = (float(v) for v in parts)
        return ((1 - c) * (1 - k), (1 - m) * (1 - k), (1 - y) * (1 - k))
    return None


class _Piece(NamedTuple):
    """Part of a path, as points on it: two where it is straight."""

    straight: bool
    points: tuple[tuple[float, float], ...]


def _bend(
    a: tuple[float, float],
    b: tuple[float, float],
    c: tuple[float, float],
    d: tuple[float, float],
) -> tuple[tuple[float, float], ...]:
    """Points along a cubic Bezier curve, its ends included.

    In n equal steps a chord leaves a cubic by at most 3/4 of its greatest second difference, over
    n squared (an eighth of the second derivative's bound; Wang's formula, from memory).
    """
    bow = max(
        hypot(p[0] - 2 * q[0] + r[0], p[1] - 2 * q[1] + r[1]) for p, q, r in ((a, b, c), (b, c, d))
    )
    least, most = PIECES
    steps = max(least, ceil(min(most, sqrt(0.75 * bow / FLAT))))
    found = []
    for k in range(steps + 1):
        t = k / steps
        u = 1 - t
        w = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
        x, y = (sum(f * p[i] for f, p in zip(w, (a, b, c, d), strict=True)) for i in (0, 1))
        found.append((x, y))
    return tuple(found)


def _track(pieces: Sequence[_Piece]) -> Track:
    """The points along the pieces of a subpath, each place once."""
    points = [pieces[0].points[0]]
    for piece in pieces:
        points += [point for point in piece.points if not _same(point, points[-1])]
    closed = len(points) > 1 and _same(points[0], points[-1])
    if closed:
        points.pop()
    return Track(tuple(points), closed, not all(piece.straight for piece in pieces))


def _same(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return abs(a[0] - b[0]) < SAME_POINT and abs(a[1] - b[1]) < SAME_POINT


def _box(points: Sequence[tuple[float, float]]) -> tuple[float, float, float, float]:
    xs, ys = [p[0] for p in points] or [0.0], [p[1] for p in points] or [0.0]
    return min(xs), min(ys), max(xs), max(ys)


class _Eye(PDFTextDevice):
    """Collects marks as the interpreter paints them, forms flattened, in page coordinates."""

    def __init__(self, rsrcmgr: Any, number: int, limit: int) -> None:
        super().__init__(rsrcmgr)
        self.number = number
        self.limit = limit
        self.glyphs: list[Glyph] = []
        self.strokes: list[Stroke] = []
        self.patches: list[Patch] = []
        self.drawings: list[Drawing] = []
        self.ctm: Any = (1, 0, 0, 1, 0, 0)
        self.mode = 0
        self.colour: Colour | None = None
        self.tag = UNMARKED
        self.drawn: set[int] = set()
        self.said: list[tuple[int, str]] = []
        self._tags: list[int] = []

    def begin_tag(self, tag: Any, props: Any = None) -> None:
        """Marked content begins: with a number, as furniture, or as part of what is round it."""
        self._tags.append(self.tag)
        props = props if isinstance(props, dict) else {}
        if self.tag == FURNITURE:
            return  # whatever stands in furniture is furniture
        if getattr(tag, "name", "") == "Artifact":
            self.tag = FURNITURE
        elif isinstance(props.get("MCID"), int):
            self.tag = props["MCID"]
        for key in ("ActualText", "Alt", "E", "Lang"):  # a language is told as words that differ
            if isinstance(props.get(key), bytes):
                self.said.append((self.tag, decode_text(props[key])))

    def end_tag(self) -> None:
        self.tag = self._tags.pop() if self._tags else UNMARKED

    def render_image(self, name: str, stream: Any) -> None:
        self.drawn.add(self.tag)
        self.patches.append(Patch(*apply_matrix_rect(self.ctm, (0, 0, 1, 1)), None))

    def paint_path(self, gstate: Any, stroke: bool, fill: bool, evenodd: bool, path: Any) -> None:
        if len(self.strokes) + len(self.patches) + len(path) > self.limit:
            raise _too_much(self.number)
        drawing, runs = self._drawing(gstate, stroke, fill, path)
        if not drawing.tracks:
            return
        self.drawings.append(drawing)
        self.drawn.add(self.tag)
        if fill:
            points = [
                apply_matrix_pt(self.ctm, p[i : i + 2]) for p in path for i in range(1, len(p), 2)
            ]
            self.patches.append(Patch(*_box(points), drawing.fill))
        if drawing.pen:
            for pieces in runs:
                self._stroke(drawing.pen, pieces)

    def _drawing(
        self, gstate: Any, stroke: bool, fill: bool, path: Any
    ) -> tuple[Drawing, list[list[_Piece]]]:
        a, b, c, d = self.ctm[:4]
        scale = sqrt(abs(a * d - b * c))
        pen = None
        if stroke:
            dash, phase = gstate.dash or ((), 0)
            pen = Pen(
                rgb(gstate.scolor),
                float(gstate.linewidth) * scale,
                tuple(float(v) * scale for v in dash if isinstance(v, (int, float))),
                float(phase) * scale if isinstance(phase, (int, float)) else 0.0,
                gstate.linecap if isinstance(gstate.linecap, int) else 0,
                gstate.linejoin if isinstance(gstate.linejoin, int) else 0,
            )
        runs = list(self._subpaths(path))
        tracks = tuple(_track(pieces) for pieces in runs)
        return Drawing(tracks, pen, fill, rgb(gstate.ncolor) if fill else None), runs

    def _subpaths(self, path: Any) -> Iterator[list[_Piece]]:
        """The pieces of each subpath, in page coordinates; each knows whether it is straight."""
        pieces: list[_Piece] = []
        start = here = (0.0, 0.0)
        for op, *numbers in path:
            points = [
                apply_matrix_pt(self.ctm, numbers[i : i + 2]) for i in range(0, len(numbers), 2)
            ]
            if op == "m":
                if pieces:
                    yield pieces
                pieces, start = [], points[-1]
            elif op == "h":
                points = [start]
                pieces.append(_Piece(True, (here, start)))
            elif op == "l":
                pieces.append(_Piece(True, (here, points[0])))
            else:  # c, v and y differ in which control points they leave out
                first = here if op == "v" else points[0]
                second = points[-1] if op == "y" else points[-2]
                pieces.append(_Piece(False, _bend(here, first, second, points[-1])))
            here = points[-1]
        if pieces:
            yield pieces

    def _stroke(self, pen: Pen, pieces: list[_Piece]) -> None:
        for piece in pieces:
            if piece.straight and piece.points[0] != piece.points[1]:
                (x0, y0), (x1, y1) = piece.points
                self.strokes.append(Stroke(x0, y0, x1, y1, pen.width, pen.colour, bool(pen.dash)))
        if not all(piece.straight for piece in pieces):
            x0, y0, x1, y1 = _box([point for piece in pieces for point in piece.points])
            half = pen.width / 2
            self.patches.append(Patch(x0 - half, y0 - half, x1 + half, y1 + half, pen.colour))

    def render_string(self, textstate: Any, seq: Any, ncs: Any, graphicstate: Any) -> None:
        self.mode = int(textstate.render)
        self.colour = rgb(graphicstate.ncolor)
        super().render_string(textstate, seq, ncs, graphicstate)

    def render_char(
        self,
        matrix: Any,
        font: Any,
        fontsize: float,
        scaling: float,
        rise: float,
        cid: int,
        ncs: Any,
        graphicstate: Any,
    ) -> float:
        if len(self.glyphs) >= self.limit:
            raise _too_much(self.number)
        try:
            text = font.to_unichr(cid)
        except Exception:  # an unmapped glyph is shown as what it is: unreadable
            text = "\ufffd"
        advance = float(font.char_width(cid) * fontsize * scaling)
        descent = font.get_descent() * fontsize + rise
        x0, y0, x1, y1 = apply_matrix_rect(matrix, (0, descent, advance, descent + fontsize))
        a, b, c, d, _e, _f = matrix
        x, y = apply_matrix_pt(matrix, (0, rise))
        size = hypot(c, d) * fontsize
        level = a > 0 and d > 0 and abs(b) + abs(c) < 0.01 * (a + d)
        turned = not level or abs(a * scaling - d) > 0.02 * d
        name = font.fontname.rpartition("+")[2]
        place = (x0, y0, x1, y1, x, y, turned)
        self.glyphs.append(Glyph(text, name, size, *place, self.colour, self.mode, self.tag))
        return advance


def _too_much(number: int) -> InputError:
    return InputError(f"page {number} holds too many marks to be a page of puzzles")
