"""What is drawn over a hint's grid, against the step that it tells.

Cells in which the step acts are heavily ringed, and striped if it strikes something there; those on
which it only rests are grey and lightly ringed; struck candidates have a cross beside them, chains
have links, one of two colours is ringed. Of its evidence the digits that close cells are in
circles, dots run along their reach, and the cells that are closed have a cross.
"""

from __future__ import annotations

from cmath import phase
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import dist

from packbuilder.grid import SYMBOLS, Geometry, cell_name
from packbuilder.ladder.hints import Hint
from packbuilder.readback.report import Fault, gather
from packbuilder.reader.digits import Digit
from packbuilder.reader.drawn import is_pale
from packbuilder.reader.lattices import Lattice
from packbuilder.reader.marks import Drawing, Point, Track
from packbuilder.reader.pages import SeenGrid
from packbuilder.reader.typefaces import ink_of

LEAST, MOST = 0.2, 0.8
"""Stripes cover such a share of their cell: less is a speck, more is a grey cell."""
WHOLE = 0.9
"""A grey cell is covered to this share at least."""
HEAVY = 0.9
"""Rings from this weight (points) on say that the step acts."""
HEAD = 4.0
"""Points: no head of a link is larger."""
REACH = 0.8
"""Links end so near to the middle of a candidate, in its type sizes."""
ROUND_A_CELL = 0.6
"""Outlines this large (cells) go round a cell, smaller ones round a candidate."""
SQUARE = 0.1
"""Points: sides that turn off the level or the upright by less than this are neither."""

CROSS, OFF = 0.35, 0.03
"""In cells: no cross is wider, nor its middle farther from the cell's."""

THIN = 0.18
"""Of a cell, or of a candidate's type size: no cross has heavier strokes (.85 beside 5 points)."""
BESIDE = 0.3
"""In type sizes: no cross beside a candidate is wider, nor farther from its upper right corner."""

NEAR = 2.0
"""A line leads to a candidate that is at most so many times as far from its end as the next."""

Spot = tuple[int, int]
"""A candidate: its cell and its digit."""

Reach = tuple[int, ...]
"""Where dots run: over the border of two cells side by side, from a cell to another that it sees,
or round an area's cells: those cells, in order."""


@dataclass
class Told:
    """What drawings over a grid tell; ``known`` are their places among all that are no rule's.

    ``bare`` are the ends of links that have no head yet.
    """

    known: set[int] = field(default_factory=set)
    striped: dict[int, float] = field(default_factory=dict)
    grey: set[int] = field(default_factory=set)
    heavy: set[int] = field(default_factory=set)
    light: set[int] = field(default_factory=set)
    ringed: set[Spot] = field(default_factory=set)
    strokes: list[tuple[Spot, bool]] = field(default_factory=list)
    links: list[tuple[Spot, Spot, bool]] = field(default_factory=list)
    bare: list[Point] = field(default_factory=list)
    circled: set[int] = field(default_factory=set)
    slants: list[tuple[int, bool]] = field(default_factory=list)
    reach: set[Reach] = field(default_factory=set)

    @property
    def struck(self) -> set[Spot]:
        """The candidates that have both strokes of a cross beside them."""
        return {spot for spot, rises in self.strokes if (spot, not rises) in self.strokes}


def read_marks(grid: SeenGrid) -> Told:
    """What is drawn over a hint's grid. Of a link, the last value says whether it is dashed."""
    told, lattice, small = Told(), grid.lattice, grid.filled.candidates
    for k, drawing in enumerate(grid.drawn.others):
        if is_pale(drawing):
            known = _shaded(drawing, lattice, told)
        elif _is_thin_ink(drawing) and _is_dotted(drawing):
            found = [_dots(track, lattice, told) for track in drawing.tracks]
            known = all(found)
        elif _is_thin_ink(drawing):
            found = [_line(track, drawing, lattice, small, told) for track in drawing.tracks]
            known = all(found)
        else:
            known = False
        if known:
            told.known.add(k)
    return told


def _is_thin_ink(drawing: Drawing) -> bool:
    colour = drawing.brush.colour if drawing.brush else None
    return not drawing.filled and colour is not None and max(colour) < 0.1


def _is_dotted(drawing: Drawing) -> bool:
    """Whether a line is a row of round dots."""
    return (
        drawing.brush is not None
        and drawing.brush.cap == 1
        and bool(drawing.brush.dash)
        and drawing.brush.dash[0] < SQUARE
    )


def _dots(track: Track, lattice: Lattice, told: Told) -> bool:
    """Take a row of dots: along a line, straight to a cell, or round an area."""
    if track.curved:
        return False
    if track.closed:
        cells = tuple(c for c in lattice.cells if _is_within(lattice.middle(c), track))
        told.reach.add(cells)
        return bool(cells)
    start, end = track.points[0], track.points[-1]
    cells = tuple(
        sorted(c for c in (lattice.cell_at(*start), lattice.cell_at(*end)) if c is not None)
    )
    if len(track.points) != 2 or len(cells) != 2:
        return False
    (r, c), (q, k) = divmod(cells[0], lattice.size), divmod(cells[1], lattice.size)
    if r == q or c == k:
        step = 1 if r == q else lattice.size
        told.reach |= {(cell, cell + step) for cell in range(cells[0], cells[1], step)}
    else:
        told.reach.add(cells)
    return True


def _is_within(point: Point, track: Track) -> bool:
    """Whether a point lies inside an outline, by the sides to its right."""
    x, y = point
    ring = (*track.points, track.points[0])
    crossed = [
        (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay)
        for (ax, ay), (bx, by) in pairwise(ring)
        if ay != by
    ]
    return sum(crossed) % 2 == 1


def _shaded(drawing: Drawing, lattice: Lattice, told: Told) -> bool:
    """Take pale fills: level boxes are grey cells, slanted bands are stripes, with level pieces."""
    tracks, square = drawing.tracks, lattice.pitch**2
    if all(map(_is_level, tracks)):
        covered = [set(_covered(lattice, track)) for track in tracks]
        told.grey |= set().union(*covered)
        return all(
            cells and _area(track) < (len(cells) + 1 - WHOLE) * square
            for cells, track in zip(covered, tracks, strict=True)
        )
    for track in tracks:
        cell = _cell_of(lattice, track)
        if cell is None:
            return False
        told.striped[cell] = told.striped.get(cell, 0.0) + _area(track) / square
    return True


def _line(
    track: Track, drawing: Drawing, lattice: Lattice, small: Sequence[Digit], told: Told
) -> bool:
    """Take a thin black line: a ring, a strike, a link or its head. False where it is none."""
    xs, ys = zip(*track.points, strict=True)
    middle, wide = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2), max(xs) - min(xs)
    crossed = {(d.cell, d.value) for d in small if _is_in(middle, d)}
    assert drawing.brush is not None
    if track.closed and track.curved:
        if wide <= ROUND_A_CELL * lattice.pitch:
            told.ringed |= crossed
            return bool(crossed)
        cell = _cell_of(lattice, track)
        if cell is not None and _is_circle(track, middle):
            told.circled.add(cell)
        elif cell is not None:
            (told.heavy if drawing.brush.width >= HEAVY else told.light).add(cell)
        return cell is not None
    if not track.curved:
        return _slant(track, drawing.brush.width, lattice, small, told)
    if max(wide, max(ys) - min(ys)) < HEAD:
        tip = next((t for t in told.bare if any(dist(t, p) < SQUARE for p in track.points)), None)
        if tip:
            told.bare.remove(tip)
        return tip is not None
    one, after, *_, before, other = track.points
    start, end = _led_to(one, after, small), _led_to(other, before, small)
    if start and end:
        told.links.append((start, end, bool(drawing.brush.dash)))
        told.bare.append(track.points[-1])
    return bool(start and end)


def _is_circle(track: Track, middle: Point) -> bool:
    """Whether no point of a closed line lies farther out than its sides: it has no corners."""
    xs = [x for x, _ in track.points]
    return max(dist(middle, point) for point in track.points) < 1.1 * (max(xs) - min(xs)) / 2


def _slant(
    track: Track, weight: float, lattice: Lattice, small: Sequence[Digit], told: Told
) -> bool:
    """Take one stroke of a cross: in the middle of a cell, or beside a candidate."""
    if len(track.points) != 2:
        return False
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


def _led_to(end: Point, before: Point, small: Sequence[Digit]) -> Spot | None:
    """The candidate that a line would run into if it went on: of those near its end."""
    way = complex(*end) - complex(*before)
    found = []
    for d in small:
        x0, y0, x1, y1 = ink_of(d.glyph)
        on = complex((x0 + x1) / 2, (y0 + y1) / 2) - complex(*end)
        if abs(on) < REACH * d.glyph.size:
            found.append((abs(on), abs(phase(on / (way or 1))), (d.cell, d.value)))
    least = min((away for away, _, _ in found), default=0.0)
    near = [(turn, spot) for away, turn, spot in found if away <= NEAR * least]
    return min(near)[1] if near else None


def _is_in(point: Point, digit: Digit) -> bool:
    x0, y0, x1, y1 = ink_of(digit.glyph)
    return x0 <= point[0] <= x1 and y0 <= point[1] <= y1


# --- against the step ----------------------------------------------------------------------------


def check_marks(told: Told, hint: Hint, geometry: Geometry) -> Iterator[Fault]:
    """What is drawn over the grid is the hint's step, part by part."""
    size = geometry.size
    yield from gather("struck", _amiss_strikes(told, hint, size))
    yield from gather("shading", _amiss_shading(told, hint, size))
    yield from gather("outline", _amiss_outlines(told, hint, size))
    yield from _amiss_links(told, hint, size)
    yield from gather("evidence", _amiss_evidence(told, hint, geometry))


def _acts(hint: Hint) -> set[int]:
    return {cell for cell, _ in (*hint.step.places, *hint.step.removes)}


def _amiss_strikes(told: Told, hint: Hint, size: int) -> Iterator[tuple[int, str]]:
    due = set(hint.struck)
    for cell, value in sorted(due ^ told.struck):
        what = "not struck out" if (cell, value) in due else "struck out, and the step keeps it"
        yield cell, f"the candidate {SYMBOLS[value]} in {cell_name(cell, size)} is {what}"


def _amiss_shading(told: Told, hint: Hint, size: int) -> Iterator[tuple[int, str]]:
    acts = {cell for cell, _ in hint.step.removes if not hint.pictured[cell]}
    rests = set(hint.step.cells) - _acts(hint)
    for cell in range(size * size):
        name, share = cell_name(cell, size), told.striped.get(cell, 0.0)
        if cell in acts and not share:
            yield cell, f"{name}, in which the step acts, is not striped"
        elif cell in acts and not LEAST <= share <= MOST:
            yield cell, f"the stripes of {name} cover {share:.0%} of it"
        elif share and cell not in acts:
            yield cell, f"{name} is striped, and the step does not act there"
        elif cell in rests and cell not in told.grey:
            yield cell, f"{name}, on which the step rests, is not shaded"
        elif cell in told.grey and cell not in rests:
            yield cell, f"{name} is shaded grey, and the step does not rest on it"


def _amiss_outlines(told: Told, hint: Hint, size: int) -> Iterator[tuple[int, str]]:
    acts = _acts(hint)
    for found, due, what in (
        (told.heavy, acts, "heavy"),
        (told.light, set(hint.step.cells) - acts, "light"),
    ):
        for cell in sorted(found ^ due):
            without = "has no" if cell in due else "must have no"
            yield cell, f"{cell_name(cell, size)} {without} {what} ring"


def _amiss_links(told: Told, hint: Hint, size: int) -> Iterator[Fault]:
    """The links of a chain in order, or the ringed colour. If one finds no way, none is drawn."""
    nodes = hint.step.nodes if hint.shown else ()
    ringed = {(c, nodes[0][1]) for c in nodes[0][0]} if len(nodes) == 2 else set()
    off = sorted(cell for cell, _ in told.ringed ^ ringed)
    if off:
        yield Fault(
            "link-drawn", "the ringed candidates are not one colour of the step", tuple(off)
        )
    ways = [
        (one, other, k % 2 == 1)
        for k, (one, other) in enumerate(pairwise(nodes if len(nodes) > 2 else ()))
        if one[0] != other[0]
    ]
    if not told.links and not ringed:
        return
    if len(told.links) != len(ways) or told.bare:
        words = f"{len(told.links)} links are drawn, {len(told.bare)} of them without a head, and "
        words += f"the chain has {len(ways)}"
        yield Fault("link-drawn", words, tuple(sorted({s[0][0] for s in told.links})))
        return
    for ((a, da), (b, db), dashed), (one, other, due) in zip(told.links, ways, strict=True):
        names = f"{cell_name(a, size)} to {cell_name(b, size)}"
        if not (a in one[0] and da == one[1] and b in other[0] and db == other[1]):
            yield Fault("link-drawn", f"the link from {names} is none of the chain", (a, b))
        elif dashed != due:
            how = "dashed" if due else "drawn out"
            yield Fault("link-drawn", f"the link from {names} must be {how}", (a, b))


def _amiss_evidence(told: Told, hint: Hint, geometry: Geometry) -> Iterator[tuple[int, str]]:
    """Circles round the digits that close cells, crosses in those cells, and dots between them."""
    size, step = geometry.size, hint.step
    known = {cell for one in hint.because if one.kind in ("digit", "part") for cell in one.cells}
    busy = {*step.cells, *(cell for cell, _ in (*step.removes, *hint.shown))}
    crosses = {cell for one in hint.because for cell in one.closes} - busy
    both = {cell for cell, up in told.slants if (cell, not up) in told.slants}
    lame = {cell for cell, _ in told.slants} - both
    for found, due, what in (
        (told.circled, known - set(step.cells), "circle"),
        (both | lame, crosses, "cross"),
    ):
        for cell in sorted(found ^ due):
            without = "has no" if cell in due else "must have no"
            yield cell, f"{cell_name(cell, size)} {without} {what}"
    for cell in sorted(lame):
        yield cell, f"the cross in {cell_name(cell, size)} is half of one"
    for cells in sorted(told.reach ^ set(_due_reach(hint, geometry))):
        names = f"{cell_name(cells[0], size)} to {cell_name(cells[-1], size)}"
        none = "no dots run from" if cells not in told.reach else "dots must not run from"
        yield cells[0], f"{none} {names}"


def _due_reach(hint: Hint, geometry: Geometry) -> Iterator[Reach]:
    """Where the dots of each digit must run, by what it closes along each of its houses."""
    for one in hint.because:
        for h in one.houses if one.kind == "digit" else ():
            house, start = geometry.houses[h], one.cells[0]
            ends = [cell for cell in one.closes if cell in house.cells]
            if house.kind in ("row", "column"):
                step = 1 if house.kind == "row" else geometry.size
                for end in ends:
                    low, high = sorted((start, end))
                    yield from ((cell, cell + step) for cell in range(low, high, step))
            elif _is_area(house.kind, house.cells, geometry.size):
                yield tuple(sorted(house.cells))
            else:
                yield from (tuple(sorted((start, end))) for end in ends)


def _is_area(kind: str, cells: Sequence[int], size: int) -> bool:
    """Whether a house is told by its outline: no pair of cells and no diagonal."""
    spots = [divmod(cell, size) for cell in cells]
    slanted = len({r - c for r, c in spots}) == 1 or len({r + c for r, c in spots}) == 1
    return kind in ("block", "region") or (len(cells) > 2 and not slanted)


# --- measures ------------------------------------------------------------------------------------


def _is_level(track: Track) -> bool:
    """Whether all sides of a shape are level or upright."""
    ring = (*track.points, track.points[0])
    return not track.curved and all(
        abs(a[0] - b[0]) < SQUARE or abs(a[1] - b[1]) < SQUARE for a, b in pairwise(ring)
    )


def _cell_of(lattice: Lattice, track: Track) -> int | None:
    """The one cell in which a shape lies; None where it lies in more, or in none."""
    xs, ys = zip(*track.points, strict=True)
    cell = lattice.cell_at((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    if cell is None:
        return None
    x, y = lattice.middle(cell)
    reach = lattice.pitch / 2 + 0.5
    return cell if all(abs(a - x) < reach and abs(b - y) < reach for a, b in track.points) else None


def _covered(lattice: Lattice, track: Track) -> Iterator[int]:
    """The cells that a level box covers."""
    xs, ys = zip(*track.points, strict=True)
    left, bottom, right, top = min(xs), min(ys), max(xs), max(ys)
    for cell in lattice.cells:
        (x, y), half = lattice.middle(cell), lattice.pitch / 2
        wide = min(right, x + half) - max(left, x - half)
        high = min(top, y + half) - max(bottom, y - half)
        if wide > 0 and high > 0 and wide * high >= WHOLE * lattice.pitch**2:
            yield cell


def _area(track: Track) -> float:
    """The area of a shape with straight sides."""
    ring = (*track.points, track.points[0])
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))) / 2
