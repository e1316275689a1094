"""Signs: what is drawn over a hint's grid, by its looks alone.

Black tiles, heavy square frames and round outlines tell cells apart; boxes are joined by two rails
or by dots; rings go round digits, crosses stand in cells and beside candidates; a level line parts
what stays from what goes; white letters stand on black discs.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from math import dist

from packbuilder.reader.digits import Digit
from packbuilder.reader.lattices import Lattice
from packbuilder.reader.marks import Drawing, Point, Track
from packbuilder.reader.pages import SeenGrid
from packbuilder.reader.typefaces import ink_of

SQUARE = 0.1
"""Points: sides that turn off the level or the upright by less than this are neither."""

CROSS, OFF = 0.35, 0.03
"""In cells: no cross is wider, nor its middle farther from the cell's."""

THIN = 0.18
"""Of a cell, or of a candidate's type size: no cross has heavier strokes."""
BESIDE = 0.45
"""In type sizes: no cross beside a candidate is wider, nor farther from its upper right corner."""

LEAST = 0.9 - 0.005
"""Points, less what files round off: no outline, frame or rail is thinner."""
BOX = (0.6, 0.7)
"""The sides of a box round a place, in cells; outlines of cells are wider."""
TILE = 0.8
"""A tile covers its cell to this share at least, and no other."""
LETTER = 0.45
"""No disc of a letter is wider, in cells of 50 points or more: in large print it is as wide in
smaller ones."""
RAIL = (0.2, 0.3)
"""How far rails stand from the middle of a row or column, in cells."""

Spot = tuple[int, int]
"""A candidate: its cell and its digit."""

Reach = tuple[int, ...]
"""Where dots or rails run: over the border of two cells side by side, from a cell to another that
is in no line with it, or round an area's cells: those cells, in order."""


@dataclass
class Told:
    """What drawings over a grid tell; ``known`` are their places among all that are no rule's.

    ``rails`` has each border that a rail runs over, with the side of it on which it runs.
    """

    known: set[int] = field(default_factory=set)
    tiles: set[int] = field(default_factory=set)
    frames: set[int] = field(default_factory=set)
    held: set[int] = field(default_factory=set)
    boxes: set[int] = field(default_factory=set)
    cleared: set[int] = field(default_factory=set)
    discs: set[int] = field(default_factory=set)
    circled: set[int] = field(default_factory=set)
    floors: dict[int, float] = field(default_factory=dict)
    strokes: list[tuple[Spot, bool]] = field(default_factory=list)
    slants: list[tuple[int, bool]] = field(default_factory=list)
    reach: set[Reach] = field(default_factory=set)
    rails: set[tuple[Reach, int]] = field(default_factory=set)

    @property
    def crossed(self) -> set[Spot]:
        """The candidates that have both strokes of a cross beside them."""
        return {spot for spot, rises in self.strokes if (spot, not rises) in self.strokes}

    def struck(self, small: Sequence[Digit]) -> set[Spot]:
        """The candidates that go: in a cell with two storeys those below, if one has a cross."""
        found = set()
        for spot in self.crossed:
            floor = self.floors.get(spot[0])
            below = {(d.cell, d.value) for d in small
                     if floor is not None and d.cell == spot[0] and d.glyph.y < floor}  # fmt: skip
            found |= below if floor is not None else {spot}
        return found


def read_signs(grid: SeenGrid) -> Told:
    """What is drawn over a hint's grid."""
    told, lattice, small = Told(), grid.lattice, grid.filled.candidates
    for k, drawing in enumerate(grid.drawn.others):
        if drawing.filled:
            known = _filled(drawing, lattice, told)
        elif not _is_ink(drawing):
            known = False
        elif _is_dotted(drawing):
            known = _dotted(drawing, lattice, told)
        elif _is_rail(drawing):
            known = _railed(drawing, lattice, told)
        else:
            found = [_line(track, drawing, lattice, small, told) for track in drawing.tracks]
            known = all(found)
        if known:
            told.known.add(k)
    return told


def _is_ink(drawing: Drawing) -> bool:
    colour = drawing.brush.colour if drawing.brush else None
    return colour is not None and max(colour) < 0.1


def _is_dotted(drawing: Drawing) -> bool:
    """Whether a line is a row of round dots."""
    brush = drawing.brush
    return brush is not None and brush.cap == 1 and bool(brush.dash) and brush.dash[0] < SQUARE


def _is_rail(drawing: Drawing) -> bool:
    """Whether straight lines have round ends: no other line of a grid has."""
    brush = drawing.brush
    whole = brush is not None and brush.cap == 1 and not brush.dash and brush.width >= LEAST
    return whole and not any(t.closed or t.curved for t in drawing.tracks)


# --- fills ---------------------------------------------------------------------------------------


def _filled(drawing: Drawing, lattice: Lattice, told: Told) -> bool:
    """Take black boxes and discs, and white discs that part a ringed digit from a line."""
    fill = drawing.fill
    if fill is None:
        return False
    if min(fill) > 0.99 and drawing.brush is None:
        return all(_disc(track, lattice, told.cleared, (0.35, 0.42)) for track in drawing.tracks)
    if max(fill) > 0.1:
        return False
    if drawing.brush is not None:  # a white rim
        wide = LETTER * max(lattice.pitch, 50.0) / lattice.pitch
        return all(_near(track, lattice, told.discs, wide / 2) for track in drawing.tracks)
    cells = [_tile(track, lattice) for track in drawing.tracks]
    told.tiles |= {cell for cell in cells if cell is not None}
    return None not in cells


def _disc(track: Track, lattice: Lattice, into: set[int], radii: tuple[float, float]) -> bool:
    """Take a disc about the middle of a cell, of a radius in cells."""
    cell, (left, bottom, right, top) = _cell_of(lattice, track), _box(track)
    if cell is None or not track.curved or not _is_circle(track):
        return False
    middle = ((left + right) / 2, (bottom + top) / 2)
    radius = (right - left) / 2 / lattice.pitch
    if dist(middle, lattice.middle(cell)) > OFF * lattice.pitch or not radii[0] < radius < radii[1]:
        return False
    into.add(cell)
    return True


def _near(track: Track, lattice: Lattice, into: set[int], radius: float) -> bool:
    """Take a disc that lies by a corner of the cell in which its middle is."""
    left, bottom, right, top = _box(track)
    cell = lattice.cell_at((left + right) / 2, (bottom + top) / 2)
    if cell is None or not track.curved or (right - left) / 2 > radius * lattice.pitch:
        return False
    into.add(cell)
    return True


def _tile(track: Track, lattice: Lattice) -> int | None:
    cell, (left, bottom, right, top) = _cell_of(lattice, track), _box(track)
    whole = (right - left) * (top - bottom) >= TILE * lattice.pitch**2
    return cell if whole and _is_level(track) and len(track.points) == 4 else None


# --- dots and rails ------------------------------------------------------------------------------


def _dotted(drawing: Drawing, lattice: Lattice, told: Told) -> bool:
    """Take a row of dots: along a line, straight to a cell, or round an area."""
    if any(track.curved for track in drawing.tracks):
        return False
    if drawing.tracks[0].closed:
        within = tuple(c for c in lattice.cells if _is_within(lattice.middle(c), drawing.tracks))
        told.reach.add(within)
        return bool(within)
    start, end = _ends(drawing)
    cells = tuple(sorted(c for p in (start, end) if (c := lattice.cell_at(*p)) is not None))
    if len(cells) != 2 or any(len(track.points) != 2 for track in drawing.tracks):
        return False
    told.reach |= set(borders(cells[0], cells[1], lattice.size))
    return True


def _railed(drawing: Drawing, lattice: Lattice, told: Told) -> bool:
    """Take rails: each border that they run over, with its side; or the cells that they join."""
    if all(_is_level(track) for track in drawing.tracks):
        return all(_rail(track, lattice, told) for track in drawing.tracks)
    start, end = _rail_ends(drawing)
    cells = tuple(sorted(c for p in (start, end) if (c := lattice.cell_at(*p)) is not None))
    if len(cells) == 2:
        told.rails |= {(cells, side) for side in _sides(drawing, start, end)}
    return len(cells) == 2


def _rail(track: Track, lattice: Lattice, told: Told) -> bool:
    (ax, ay), (bx, by) = sorted(track.points)
    level = abs(ay - by) < SQUARE
    (x, y), slack = ((ax + bx) / 2, (ay + by) / 2), 0.04 * lattice.pitch
    cell = lattice.cell_at(x, y)
    if cell is None or len(track.points) != 2:
        return False
    middle = lattice.middle(cell)
    off = (y - middle[1] if level else x - middle[0]) / lattice.pitch
    lines = lattice.x if level else lattice.y
    low, high = (ax, bx) if level else sorted((ay, by))
    k = cell // lattice.size if level else cell % lattice.size
    n = lattice.size
    for line in range(1, n):
        if low - slack <= lines[line] <= high + slack:
            pair = (k * n + line - 1, k * n + line) if level else ((line - 1) * n + k, line * n + k)
            told.rails.add((pair, 1 if off > 0 else -1))
    return RAIL[0] < abs(off) < RAIL[1]


def _sides(drawing: Drawing, start: Point, end: Point) -> set[int]:
    """On which sides of the way between two points the runs of a drawing lie."""
    way = complex(*end) - complex(*start)
    points = [p for track in drawing.tracks for p in track.points]
    middle = complex(sum(x for x, _ in points), sum(y for _, y in points)) / len(points)
    return {
        1 if ((complex(*track.points[0]) - middle) * way.conjugate()).imag > 0 else -1
        for track in drawing.tracks
    }


def _ends(drawing: Drawing) -> tuple[Point, Point]:
    """The two points of a drawing that lie farthest apart."""
    points = [point for track in drawing.tracks for point in track.points]
    return max(combinations(points, 2), key=lambda pair: dist(*pair))


def _rail_ends(drawing: Drawing) -> tuple[Point, Point]:
    """Where two slanted rails begin and end, midway between them."""
    one, other = _ends(drawing)
    points = [point for track in drawing.tracks for point in track.points]
    near = sorted(points, key=lambda point: dist(one, point) - dist(other, point))
    return _midway(near[:2]), _midway(near[-2:])


def _midway(points: Sequence[Point]) -> Point:
    xs, ys = zip(*points, strict=True)
    return sum(xs) / len(xs), sum(ys) / len(ys)


def borders(one: int, other: int, size: int) -> Iterator[Reach]:
    """The borders between two cells of a row or a column; the two, where they are in none."""
    one, other = sorted((one, other))
    (r, c), (q, k) = divmod(one, size), divmod(other, size)
    if r == q or c == k:
        step = 1 if r == q else size
        yield from ((cell, cell + step) for cell in range(one, other, step))
    else:
        yield one, other


# --- lines ---------------------------------------------------------------------------------------


def _line(
    track: Track, drawing: Drawing, lattice: Lattice, small: Sequence[Digit], told: Told
) -> bool:
    """Take a black line: a ring, an outline, a frame, a floor or a stroke of a cross."""
    assert drawing.brush is not None
    weight = drawing.brush.width
    if drawing.brush.dash:
        return False
    if track.closed and weight >= LEAST:
        if not track.curved:
            return _framed(track, lattice, told)
        return _disc(track, lattice, told.circled, (0.35, 0.42)) or _outlined(track, lattice, told)
    if track.closed or track.curved or len(track.points) != 2:
        return False
    start, end = track.points
    if abs(start[1] - end[1]) < SQUARE:
        return _floored(track, lattice, told)
    return _slant(track, weight, lattice, small, told)


def _framed(track: Track, lattice: Lattice, told: Told) -> bool:
    cell, (left, bottom, right, top) = _cell_of(lattice, track), _box(track)
    wide, high = (right - left) / lattice.pitch, (top - bottom) / lattice.pitch
    if cell is None or not _is_level(track) or min(wide, high) < 0.7 or len(track.points) != 4:
        return False
    told.frames.add(cell)
    return True


def _outlined(track: Track, lattice: Lattice, told: Told) -> bool:
    """Take a box with round corners: round a place, or round one cell or some in a line."""
    if _is_circle(track):
        return False
    left, bottom, right, top = _box(track)
    wide, high = (right - left) / lattice.pitch, (top - bottom) / lattice.pitch
    middles = map(lattice.middle, lattice.cells)
    cells = {c for c, (x, y) in enumerate(middles) if left < x < right and bottom < y < top}
    if len(cells) == 1 and BOX[0] < wide < BOX[1]:
        told.boxes |= cells
        return True
    count = round(wide + 0.2) * round(high + 0.2)
    whole = all(BOX[1] < side - round(side - 0.4) < 1 for side in (wide, high))
    if not cells or len(cells) != count or not whole:
        return False
    told.held |= cells
    return True


def _floored(track: Track, lattice: Lattice, told: Told) -> bool:
    (ax, y), (bx, _) = track.points
    cell = _cell_of(lattice, track)
    if cell is None or not 0.5 < abs(bx - ax) / lattice.pitch < 0.9 or cell in told.floors:
        return False
    told.floors[cell] = y
    return True


def _slant(
    track: Track, weight: float, lattice: Lattice, small: Sequence[Digit], told: Told
) -> bool:
    """Take one stroke of a cross: in the middle of a cell, or beside a candidate."""
    (ax, ay), (bx, by) = track.points
    middle = ((ax + bx) / 2, (ay + by) / 2)
    wide, rises = abs(bx - ax), (bx > ax) == (by > ay)
    if wide < SQUARE or abs(wide - abs(by - ay)) > SQUARE:
        return False
    for d in small:
        _, _, right, top = ink_of(d.glyph)
        near = dist(middle, (right, top)) < BESIDE * d.glyph.size
        if near and wide < BESIDE * d.glyph.size and weight < THIN * d.glyph.size:
            told.strokes.append(((d.cell, d.value), rises))
            return True
    cell = lattice.cell_at(*middle)
    if cell is None or wide > CROSS * lattice.pitch or weight > THIN * lattice.pitch:
        return False
    told.slants.append((cell, rises))
    return dist(middle, lattice.middle(cell)) < OFF * lattice.pitch


# --- measures ------------------------------------------------------------------------------------


def _box(track: Track) -> tuple[float, float, float, float]:
    xs, ys = zip(*track.points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _is_circle(track: Track) -> bool:
    """Whether no point of a closed line lies farther out than its sides: it has no corners."""
    left, bottom, right, top = _box(track)
    middle = ((left + right) / 2, (bottom + top) / 2)
    least = min(right - left, top - bottom) / 2
    return max(dist(middle, point) for point in track.points) < 1.1 * least


def _is_level(track: Track) -> bool:
    """Whether all sides of a shape are level or upright."""
    ring = (*track.points, track.points[0])
    return not track.curved and all(
        abs(a[0] - b[0]) < SQUARE or abs(a[1] - b[1]) < SQUARE for a, b in pairwise(ring)
    )


def _is_within(point: Point, tracks: Sequence[Track]) -> bool:
    """Whether a point lies inside outlines, by the sides to its right."""
    x, y = point
    crossed = [
        (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay)
        for track in tracks
        for (ax, ay), (bx, by) in pairwise((*track.points, track.points[0]))
        if ay != by
    ]
    return sum(crossed) % 2 == 1


def _cell_of(lattice: Lattice, track: Track) -> int | None:
    """The one cell in which a shape lies; None where it lies in more, or in none."""
    left, bottom, right, top = _box(track)
    cell = lattice.cell_at((left + right) / 2, (bottom + top) / 2)
    if cell is None:
        return None
    x, y = lattice.middle(cell)
    reach = lattice.pitch / 2 + 0.5
    inside = all(abs(a - x) < reach and abs(b - y) < reach for a, b in track.points)
    return cell if inside else None
