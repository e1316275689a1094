"""Lines: the diagonals of a grid, bands through its cells, and the small arrows outside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, dist, hypot
from typing import Literal

from packbuilder.reader.drawn.figure import Figure, cell_at, circle, gap
from packbuilder.reader.drawn.style import (
    ARM,
    ARM_ANGLE,
    ARROW_OFF,
    ARROW_OUT,
    BEADS,
    DASH,
    DASH_FREE,
    DIAGONAL,
    ENDS,
    HEAD,
    HEAD_BASE,
    HEAD_TIP,
    HOOP,
    SIDES,
    TEXT_OUT,
    WIDTHS,
    Frame,
    Point,
    Tone,
    near,
    same_width,
)
from packbuilder.reader.marks import Drawing
from packbuilder.rules.shapes import Diagonal, Path, Shape, Side

Band = Literal["broad", "double", "thin", "dotted"]
Cells = tuple[int, ...]


@dataclass(frozen=True)
class Arrow:
    """A small arrow outside the grid: where it stands, and whether it goes on along its side
    (1) or back (-1)."""

    side: Side
    index: int
    way: int
    drawing: Drawing


def line(figure: Figure, frame: Frame) -> Shape | None:
    """A diagonal of the grid, or a path whose cells are joined by a dash each."""
    if figure.stroke != "contour" or figure.dash or not figure.straight:
        return None
    if figure.stroked_only and not figure.closed:
        return _diagonal(figure, frame)
    dashes = figure.closed and figure.fill == "fill"
    if dashes and same_width(figure.width, frame.stroke("contour")):
        cells = _joined([_dash(track, frame) for track in figure.tracks])
        return Path(cells, "dashed") if cells else None
    return None


def _diagonal(figure: Figure, frame: Frame) -> Diagonal | None:
    """A long diagonal: a piece at each corner of its cells, and no more."""
    n, slack = frame.size, frame.slack
    if not same_width(figure.width, frame.stroke("diagonal")) or len(figure.tracks) != n + 1:
        return None
    pieces = [(max(0, k - DIAGONAL), min(n, k + DIAGONAL)) for k in range(n + 1)]
    drawn = sorted(sorted(track) for track in figure.tracks)
    falling = [[(a, a), (b, b)] for a, b in pieces]
    rising = [[(a, n - a), (b, n - b)] for a, b in pieces]
    if all(_same(one, due, slack) for one, due in zip(drawn, falling, strict=True)):
        return Diagonal("down")
    if all(_same(one, due, slack) for one, due in zip(drawn, rising, strict=True)):
        return Diagonal("up")
    return None


def _same(one: Sequence[Point], other: Sequence[Point], slack: float) -> bool:
    """Whether two runs have the same points."""
    return len(one) == len(other) and all(
        gap(a, b) <= slack for a, b in zip(one, other, strict=True)
    )


# --- dashes --------------------------------------------------------------------------------------


def _dash(track: Sequence[Point], frame: Frame) -> tuple[int, int] | None:
    """The two cells that a dash joins, as the way round its corners has them."""
    if len(track) != 4:
        return None
    a, b, c, d = track
    ends = _half_way(d, a), _half_way(b, c)
    (x0, y0), (x1, y1) = ends
    length = dist(*ends)
    slanted = abs(x1 - x0) > frame.slack and abs(y1 - y0) > frame.slack
    far = DASH_FREE[slanted] / (length or 1)
    first = cell_at(x0 - (x1 - x0) * far, y0 - (y1 - y0) * far, frame, frame.slack)
    second = cell_at(x1 + (x1 - x0) * far, y1 + (y1 - y0) * far, frame, frame.slack)
    if first is None or second is None or not _touch(first, second, frame.size):
        return None
    sides = (dist(d, a), dist(b, c)), (dist(a, b), dist(d, c)), (dist(a, c), dist(b, d))
    due = DASH, length, hypot(DASH, length)
    level = all(
        near(v, w, frame.slack / 2) for pair, w in zip(sides, due, strict=True) for v in pair
    )
    return (first, second) if level else None


def _half_way(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _touch(a: int, b: int, size: int) -> bool:
    return a != b and abs(a // size - b // size) <= 1 and abs(a % size - b % size) <= 1


def _joined(pairs: Sequence[tuple[int, int] | None]) -> Cells | None:
    """The cells of pairs of which each begins where the one before ends."""
    found: list[int] = []
    for pair in pairs:
        if pair is None or (found and pair[0] != found[-1]):
            return None
        found += pair if not found else pair[1:]
    return tuple(found)


# --- bands ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Laid:
    """The path that one layer of a band follows; ``headed`` ends where a head must begin."""

    cells: Cells
    band: Band
    headed: bool


class Bands:
    """Bands, each of two strokes along one path: its contour, and its narrower fill upon that."""

    def __init__(self, frame: Frame) -> None:
        self._frame = frame
        self._open: list[tuple[Figure, _Laid]] = []
        self._whole: list[tuple[_Laid, Figure, Figure]] = []
        self._heads: list[Figure] = []

    def take(self, figure: Figure) -> bool:
        """Take a stroke or a head if it is one of a band, and say so."""
        if figure.dash or not figure.straight:
            return False
        if figure.closed and figure.stroke == "contour" and figure.fill == "fill":
            head = [len(track) for track in figure.tracks] == [3]
            if head and same_width(figure.width, self._frame.stroke("contour")):
                self._heads.append(figure)
                return True
        if figure.closed or not figure.stroked_only:
            return False
        return self._first(figure) if figure.stroke == "contour" else self._second(figure)

    def close(self) -> tuple[list[tuple[Path, tuple[Drawing, ...]]], list[Figure]]:
        """The paths with what they are made of, and what belongs to none."""
        found: list[tuple[Path, tuple[Drawing, ...]]] = []
        alone = [figure for figure, _ in self._open]
        for laid, first, second in self._whole:
            drawings: tuple[Drawing, ...] = (first.drawing, second.drawing)
            if laid.headed:
                due = _head(laid.cells, self._frame)
                head = next((h for h in self._heads if _is_head(h, due, self._frame)), None)
                if head is None:
                    alone += [first, second]
                    continue
                self._heads.remove(head)
                drawings = (*drawings, head.drawing)
            found.append((Path(laid.cells, laid.band, laid.headed), drawings))
        return found, [*alone, *self._heads]

    def _first(self, figure: Figure) -> bool:
        for band, share in WIDTHS.items():
            if same_width(figure.width, share * self._frame.cell):
                laid = _laid(figure, band, self._frame)  # type: ignore[arg-type]
                if laid:
                    self._open.append((figure, laid))
                    return True
        return False

    def _second(self, figure: Figure) -> bool:
        for k, (first, laid) in enumerate(self._open):
            fill: Tone = "white" if laid.band == "double" else "fill"
            edge = self._frame.stroke("rail" if laid.band == "double" else "contour")
            along = len(first.tracks) == len(figure.tracks) and all(
                _same(a, b, self._frame.slack / 2)
                for a, b in zip(first.tracks, figure.tracks, strict=True)
            )
            within = same_width((first.width - figure.width) / 2, edge)
            if figure.stroke == fill and along and within and _ends(first) == _ends(figure):
                self._whole.append((laid, first, figure))
                del self._open[k]
                return True
        return False


def _ends(figure: Figure) -> tuple[int, int]:
    brush = figure.drawing.brush
    return (brush.cap, brush.join) if brush else (0, 0)


def _laid(figure: Figure, band: Band, frame: Frame) -> _Laid | None:
    """The path of a stroke, if it begins, turns and ends as a band of this kind does."""
    cap, _ = _ends(figure)
    if cap != (1 if band in ("broad", "dotted") else 0):
        return None
    if band == "dotted":
        cells = _beads(figure, frame)
        return _Laid(cells, band, headed=False) if cells else None
    if len(figure.tracks) != 1 or len(figure.tracks[0]) < 2:
        return None
    track = figure.tracks[0]
    cells = tuple(int(y // 1) * frame.size + int(x // 1) for x, y in track)
    on_grid = all(0 <= x < frame.size and 0 <= y < frame.size for x, y in track)
    if not on_grid or not all(_touch(a, b, frame.size) for a, b in pairwise(cells)):
        return None
    if _same(track, _reaching(cells, ENDS[band], frame.size), frame.slack):
        return _Laid(cells, band, headed=False)
    past = HEAD_BASE[_slanted(cells[-2], cells[-1], frame.size)]
    if band == "thin" and _same(track, _reaching(cells, (0.0, past), frame.size), frame.slack):
        return _Laid(cells, band, headed=True)
    return None


def _beads(figure: Figure, frame: Frame) -> Cells | None:
    """The cells of a row of beads: one in the middle of each, and others evenly between them."""
    if any(len(track) != 2 or gap(*track) > 0.03 for track in figure.tracks):
        return None
    drawn = [_half_way(*track) for track in figure.tracks]
    cells = [c for x, y in drawn if (c := cell_at(x, y, frame, frame.slack)) is not None]
    if len(cells) < 2 or not all(_touch(a, b, frame.size) for a, b in pairwise(cells)):
        return None
    due = [_middle(cells[0], frame.size)]
    for one, other in pairwise(cells):
        (x0, y0), (x1, y1) = _middle(one, frame.size), _middle(other, frame.size)
        shares = BEADS[_slanted(one, other, frame.size)]
        due += [(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share) for share in shares]
    return tuple(cells) if _same(drawn, due, frame.slack) else None


def _middle(cell: int, size: int) -> Point:
    return cell % size + 0.5, cell // size + 0.5


def _slanted(a: int, b: int, size: int) -> bool:
    return a % size != b % size and a // size != b // size


def _on(start: Point, end: Point, far: float) -> Point:
    """The point so far past the end of a way."""
    share = far / dist(start, end)
    return end[0] + (end[0] - start[0]) * share, end[1] + (end[1] - start[1]) * share


def _reaching(cells: Cells, ends: tuple[float, float], size: int) -> list[Point]:
    """The middles of cells, but for the first and the last, which lie so far outwards."""
    points = [_middle(cell, size) for cell in cells]
    first, last = _on(points[1], points[0], ends[0]), _on(points[-2], points[-1], ends[1])
    return [first, *points[1:-1], last]


def _head(cells: Cells, frame: Frame) -> list[Point]:
    """The corners that the head of an arrow must have."""
    n, slanted = frame.size, _slanted(cells[-2], cells[-1], frame.size)
    before, last = _middle(cells[-2], n), _middle(cells[-1], n)
    base = _on(before, last, HEAD_BASE[slanted])
    share = HEAD / 2 / dist(before, last)
    dx, dy = (last[0] - before[0]) * share, (last[1] - before[1]) * share
    tip = _on(before, last, HEAD_TIP[slanted])
    return sorted([tip, (base[0] - dy, base[1] + dx), (base[0] + dy, base[1] - dx)])


def _is_head(figure: Figure, due: Sequence[Point], frame: Frame) -> bool:
    left = list(figure.tracks[0])
    for point in due:
        found = next((one for one in left if gap(one, point) <= frame.slack), None)
        if found is None:
            return False
        left.remove(found)
    return not left


# --- outside the grid ----------------------------------------------------------------------------


def hoop(figure: Figure, frame: Frame) -> tuple[Side, int] | None:
    """The place outside the grid, a side and an index, of a ring that goes round a number."""
    bare = figure.stroke == "ink" and figure.stroked_only and not figure.dash
    middle = circle(figure, HOOP, frame) if bare else None
    if middle and same_width(figure.width, frame.stroke("hoop")):
        for side in SIDES:
            out, along = frame.out(side, *middle)
            index = round(along - 0.5)
            if near(out, TEXT_OUT, frame.slack) and near(along, index + 0.5, frame.slack):
                return side, index
    return None


def arrow(figure: Figure, frame: Frame) -> Arrow | None:
    """A shaft with a head, outside the grid."""
    if figure.stroke != "ink" or figure.drawing.filled or figure.dash or not figure.straight:
        return None
    if [len(track) for track in figure.tracks] != [2, 3]:
        return None
    shaft, arms = figure.tracks
    if not same_width(figure.width, frame.stroke("arrow")) or not _are_arms(shaft, arms, frame):
        return None
    start, end = shaft
    for side in SIDES:
        (out, along), (out_end, along_end) = frame.out(side, *start), frame.out(side, *end)
        for way in (1, -1):
            index = along - 0.5 - way * ARROW_OFF[0]
            if (
                near(out, ARROW_OUT[0], frame.slack)
                and near(out_end, ARROW_OUT[1], frame.slack)
                and near(index, round(index), frame.slack)
                and near(along_end - along, way * (ARROW_OFF[1] - ARROW_OFF[0]), frame.slack)
            ):
                return Arrow(side, round(index), way, figure.drawing)
    return None


def _are_arms(shaft: Sequence[Point], arms: Sequence[Point], frame: Frame) -> bool:
    """Whether the middle of a head is the shaft's end, and its arms lie back along the shaft."""
    (ax, ay), tip = shaft[-2], shaft[-1]
    one, middle, other = arms
    if gap(tip, middle) > frame.slack:
        return False
    back = atan2(ay - tip[1], ax - tip[0])
    angles = []
    for x, y in (one, other):
        if not near(hypot(x - tip[0], y - tip[1]), ARM, frame.slack):
            return False
        turn = degrees(atan2(y - tip[1], x - tip[0]) - back)
        angles.append((turn + 180) % 360 - 180)
    low, high = sorted(angles)
    return near(low, -ARM_ANGLE, 12) and near(high, ARM_ANGLE, 12)
