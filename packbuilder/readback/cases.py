"""The pictures that teach against the book: each case with its digits, its marks and its sign.

A right case has a tick in an open disc before its words, a wrong one a white cross in a black disc.
The pictures are read row by row, and are the book's in its order.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import dist
from typing import NamedTuple

from packbuilder.book import Book
from packbuilder.book.how_to_play import kinds_of_grid, rule_entries
from packbuilder.book.pictures import Borders, Picture, Verdict, whole_grid
from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.readback.grids import HAIRLINE, check_setting
from packbuilder.readback.hint_signs import Told, read_signs
from packbuilder.readback.report import Fault, first_few
from packbuilder.readback.rules import check_strays, plain_shape
from packbuilder.readback.shape_names import told as named
from packbuilder.reader.drawn import is_pale
from packbuilder.reader.lattices import BORDER
from packbuilder.reader.marks import Box, Drawing, Point
from packbuilder.reader.pages import SeenGrid, SeenPage
from packbuilder.reader.text import HOW_TO_PLAY, RULES, Run, plain
from packbuilder.reader.typefaces import is_clue

RADII = 3.0, 20.0
"""Points: no sign is smaller or larger."""
BELOW = 3.0
"""In its radii: so far below its picture a sign's middle stands at most, and FREE more."""
FREE = 20.0
"""Points, between a picture and its sign."""
WHOLE = 0.9
"""A grey box covers its cell to this share of its sides, in its place."""
NEAR = 0.3
"""Of a sign's radius: how far its strokes may stand off its middle."""


class Sign(NamedTuple):
    """A sign before the words of a case: its verdict, where its middle is, its radius."""

    verdict: Verdict
    middle: Point
    radius: float


def due_in(book: Book) -> dict[str, list[Picture]]:
    """The pictures that each section that teaches must show, in order."""
    first, _ = kinds_of_grid(book)[0]
    shown = [picture for entry in rule_entries(book, "page") for picture in entry.pictures]
    if book.whole:  # a sampler tells its rules in words
        shown = []
    return {HOW_TO_PLAY: [whole_grid(first)], RULES: shown}


def in_order(grids: Sequence[SeenGrid]) -> list[SeenGrid]:
    """A page's grids row by row: those of a row stand beside the highest one of it."""
    left, ordered = sorted(grids, key=lambda g: -g.lattice.box[3]), list[SeenGrid]()
    while left:
        _, low, _, _ = left[0].lattice.box
        row = [g for g in left if g.lattice.box[3] > low]
        ordered += sorted(row, key=lambda g: g.lattice.box[0])
        left = [g for g in left if g not in row]
    return ordered


def check_picture(grid: SeenGrid, due: Picture, page: SeenPage) -> Iterator[Fault]:
    """Whether a grid, with its sign and its words, is a picture of the book."""
    lattice = grid.lattice
    if (lattice.rows, lattice.size) != (due.rows, due.columns):
        words = f"a picture has {lattice.rows} rows of {lattice.size} cells"
        yield Fault("case", f"{words}; {due.words!r} needs {due.rows} of {due.columns}")
        return
    told, grey = read_signs(grid), _grey(grid)
    amiss = [
        *_lines(grid, due),
        *_digits(grid, due),
        *_shapes(grid, due),
        *_marks(told, {cell for cells in grey.values() for cell in cells}, due),
        *_sign(grid, due, page),
        *_labels(grid, due, page),
    ]
    if amiss:
        yield Fault("case", f"{first_few(amiss)}, in the picture of {due.words!r}")
    yield from check_setting(grid.filled.digits, lattice.size)
    yield from check_strays(grid.drawn, lattice, told.known | grey.keys())


def _lines(grid: SeenGrid, due: Picture) -> Iterator[str]:
    """Every line is drawn, and heavy where the grid has a border or its frame."""
    lattice = grid.lattice
    widths = [w for line in (*lattice.across, *lattice.down) for w in line]
    if min(widths) < HAIRLINE:
        yield "a line is not drawn"
    thin = min(widths)

    def heavy(lines: Sequence[Sequence[float]]) -> Borders:
        return tuple(tuple(w >= BORDER * thin for w in line) for line in lines)

    if (heavy(lattice.across), heavy(lattice.down)) != (due.across, due.down):
        yield "the heavy lines are not those of its blocks"


def _digits(grid: SeenGrid, due: Picture) -> Iterator[str]:
    found: dict[int, list[int]] = {}
    for digit in grid.filled.digits:
        found.setdefault(digit.cell, []).append(digit.value)
        if not is_clue(digit.glyph):
            yield f"the digit in {cell_name(digit.cell, due.columns)} is in {digit.glyph.face}"
    for cell, value in enumerate(due.digits):
        if found.get(cell, []) != ([value] if value else []):
            seen = " and ".join(SYMBOLS[v] for v in found.get(cell, ())) or "nothing"
            wanted = SYMBOLS[value] if value else "nothing"
            yield f"{cell_name(cell, due.columns)} shows {seen} and must show {wanted}"
    for cell, glyph in grid.filled.strange:
        yield f"{glyph.text!r} stands in or over {cell_name(cell, due.columns)}"


def _shapes(grid: SeenGrid, due: Picture) -> Iterator[str]:
    seen, wanted = ({plain_shape(s): s for s in some} for some in (grid.drawn.shapes, due.shapes))
    for shape in (s for key, s in wanted.items() if key not in seen):
        yield f"{named(shape, due.columns)} is not printed"
    for shape in (s for key, s in seen.items() if key not in wanted):
        yield f"{named(shape, due.columns)} is printed, which it does not have"


def _grey(grid: SeenGrid) -> dict[int, set[int]]:
    """The cells that each pale fill covers, by its place among what is drawn beside rules."""
    lattice, found = grid.lattice, dict[int, set[int]]()
    reach = lattice.pitch * (1 - WHOLE)
    for k, drawing in enumerate(grid.drawn.others):
        boxes = [_box(track.points) for track in drawing.tracks if not track.curved]
        if not is_pale(drawing) or len(boxes) != len(drawing.tracks):
            continue
        cells = {
            cell
            for left, bottom, right, top in boxes
            for cell, (x, y) in ((c, lattice.middle(c)) for c in lattice.cells)
            if abs((left + right) / 2 - x) < reach and abs((bottom + top) / 2 - y) < reach
            and abs(right - left - lattice.pitch) < reach
            and abs(top - bottom - lattice.pitch) < reach
        }  # fmt: skip
        if len(cells) == len(boxes):
            found[k] = cells
    return found


def _box(points: Sequence[Point]) -> Box:
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _marks(told: Told, grey: set[int], due: Picture) -> Iterator[str]:
    crossed = {cell for cell, up in told.slants if (cell, not up) in told.slants}
    for found, wanted, what in (
        (grey, {*due.grey}, "grey"),
        (told.circled, {*due.ringed}, "a ring"),
        (crossed, {*due.crossed}, "a cross"),
        (told.reach, set(_steps(due)), "dots"),
    ):
        if found != wanted:
            yield f"{what} is not where it must be"
    if told.tiles or told.frames or told.held or told.boxes or told.rails or told.strokes:
        yield "it has marks that only hints have"


def _steps(due: Picture) -> Iterator[tuple[int, ...]]:
    """The pairs of cells over whose borders the dots of a leap run."""
    for one, other in zip(due.leap, due.leap[1:], strict=False):
        low, high = sorted((one, other))
        step = 1 if low // due.columns == high // due.columns else due.columns
        yield from ((cell, cell + step) for cell in range(low, high, step))


def _sign(grid: SeenGrid, due: Picture, page: SeenPage) -> Iterator[str]:
    """The sign below a picture, and the words behind it."""
    sign = _sign_of(grid, page)
    verdict = sign.verdict if sign else ""
    if verdict != due.verdict:
        found, wanted = ({"right": "a tick", "wrong": "a cross", "": "no sign"}[v]
                         for v in (verdict, due.verdict))  # fmt: skip
        yield f"{found} stands before its words in place of {wanted}"
    elif sign and not _says(page.runs, sign, due.words):
        yield "other words stand behind its sign"


def _says(runs: Sequence[Run], sign: Sign, words: str) -> bool:
    (x, y), radius = sign.middle, sign.radius
    behind = [r for r in runs if 0 < r.x0 - x < 3 * radius and abs(r.y - y) < radius]
    return bool(behind) and plain(words).startswith(plain(behind[0].text))


def _sign_of(grid: SeenGrid, page: SeenPage) -> Sign | None:
    """The nearest sign below a picture's left edge, with no other picture in between."""
    left, bottom, right, _ = grid.lattice.box
    edge = left - 1.5 * grid.lattice.pitch
    below = [
        sign
        for sign in signs_of(page.marks.drawings)
        if edge < sign.middle[0] < right and sign.middle[1] < bottom
        and not any(_parts(other.lattice.box, sign.middle, bottom) for other in page.grids)
    ]  # fmt: skip
    nearest = max(below, key=lambda sign: sign.middle[1], default=None)
    far = bottom - nearest.middle[1] if nearest else 0.0
    return nearest if nearest and far < FREE + BELOW * nearest.radius else None


def _parts(box: Box, middle: Point, bottom: float) -> bool:
    """Whether a picture stands between another one's lower edge and a sign."""
    left, low, right, _ = box
    return left < middle[0] < right and middle[1] < low < bottom


def signs_of(drawings: Sequence[Drawing]) -> list[Sign]:
    """The signs on a page: discs with strokes; without a verdict if they are no sign's."""
    found = []
    for disc in drawings:
        radius = _radius(disc)
        if radius is None:
            continue
        left, bottom, right, top = disc.box
        middle = (left + right) / 2, (bottom + top) / 2
        inside = [d for d in drawings if d is not disc and _is_within(d.box, middle, radius)]
        found.append(Sign(_verdict(disc, inside, middle, radius), middle, radius))
    return found


def _radius(drawing: Drawing) -> float | None:
    """The radius of a drawing that is one circle, as large as signs are."""
    if len(drawing.tracks) != 1 or not (drawing.tracks[0].closed and drawing.tracks[0].curved):
        return None
    left, bottom, right, top = drawing.box
    radius = (right - left) / 2
    middle = (left + right) / 2, (bottom + top) / 2
    round_ = all(abs(dist(p, middle) - radius) < 0.1 * radius for p in drawing.tracks[0].points)
    level = abs(right - left - top + bottom) < 0.1 * radius
    return radius if round_ and level and RADII[0] < radius < RADII[1] else None


def _is_within(box: Box, middle: Point, radius: float) -> bool:
    return all(dist(corner, middle) < 1.2 * radius for corner in (box[:2], box[2:]))


def _verdict(disc: Drawing, inside: Sequence[Drawing], middle: Point, radius: float) -> Verdict:
    """A white cross on black, a black tick on white; whatever else is no sign."""
    if len(inside) != 1 or inside[0].filled or inside[0].brush is None:
        return ""
    runs = [track.points for track in inside[0].tracks if not track.curved]
    colour = inside[0].brush.colour
    if colour is None or len(runs) != 2 or any(len(run) != 2 for run in runs):
        return ""
    if disc.brush is None and _is(disc.fill, black=True) and _is(colour, black=False):
        slopes = {(ax < bx) == (ay < by) for (ax, ay), (bx, by) in runs}
        middles = [((ax + bx) / 2, (ay + by) / 2) for (ax, ay), (bx, by) in runs]
        crossed = all(dist(one, middle) < NEAR * radius for one in middles)
        return "wrong" if len(slopes) == 2 and crossed else ""
    ringed = disc.brush is not None and not disc.filled and _is(disc.brush.colour, black=True)
    if ringed and _is(colour, black=True):
        (start, turn), (again, end) = runs
        low = turn[1] < start[1] and turn[1] < end[1] and start[0] < turn[0] < end[0]
        return "right" if low and dist(turn, again) < 0.1 * radius else ""
    return ""


def _is(colour: tuple[float, float, float] | None, *, black: bool) -> bool:
    return colour is not None and (max(colour) < 0.1 if black else min(colour) > 0.9)


def _labels(grid: SeenGrid, due: Picture, page: SeenPage) -> Iterator[str]:
    """Each label stands in line with its cell, at the right of the grid or below it."""
    _, bottom, right, _ = grid.lattice.box
    pitch = grid.lattice.pitch
    for word, cell, side in due.labels:
        x, y = grid.lattice.middle(cell)
        runs = [run for run in page.runs if run.text == word]
        if side == "right":
            good = any(run.x0 > right and abs(run.y - y) < pitch / 2 for run in runs)
        else:
            near = (run for run in runs if bottom - 2 * pitch < run.y < bottom)
            good = any(run.x0 < x < run.x1 for run in near)
        if not good:
            yield f"{word!r} does not stand in line with {cell_name(cell, due.columns)}"
