"""One printed grid against the book, by the ink of its page."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from statistics import median

from packbuilder.grid import SYMBOLS, Values, cell_name
from packbuilder.readback.colour import darkness
from packbuilder.readback.glyphs import Digit, Filled
from packbuilder.readback.grid_checks import HAIRLINE, OFF_CENTRE, Shown
from packbuilder.readback.ink import ALIKE, BEYOND, FAINT, SURE, Look, Want, look
from packbuilder.readback.report import Fault, gather
from packbuilder.readback.shapes import BORDER, Box, Lattice
from packbuilder.readback.typefaces import CLUE_FACE, SOLVED_FACES, ink_of, is_house_face
from packbuilder.readback.view import View, bare, cell_boxes, cut, line_widths, without

RINGED_ALIKE, RINGED_FAINT = 0.80, 0.50
"""The same for candidates: a ring beside one takes some of its pixels with it."""
CROSSED_ALIKE, CROSSED_FAINT = 0.80, 0.60
"""The same for digits where a shape of a rule or a ring was taken away beneath them."""
LEFT_ALIKE = 0.60
"""The same for a candidate that a ring, a link or a stroke runs through."""
Crossed = Callable[[Box], bool]
"""Whether anything was taken away in a box before its ink was judged."""
CLEAR = 0.05
"""The rim of a cell, in cells, into which candidates do not reach but heavy borders do."""
BESIDE = 0.3
"""How far from the middle of an edge its line is looked at beside a mark, in cells."""
COVERED = 0.5
"""A line with less of its ink than this is covered or faint."""


def wants(filled: Filled, wanted: Values, clues: Values, pitch: float) -> dict[int, Want]:
    """What the ink of each cell must be: the book's digit, in the face and size of its kind."""
    kinds: dict[bool, Want] = {}
    for clue in (True, False):
        some = [d.glyph for d in filled.digits if (d.glyph.face == CLUE_FACE) is clue]
        size = median(g.size for g in some) if some else pitch * 0.55
        size = min(max(size, 2.0), 2 * pitch)
        faces = [g.face for g in some if g.face in SOLVED_FACES]
        face = CLUE_FACE if clue else max(sorted(set(faces)), key=faces.count, default="")
        dark = median(darkness(g.colour) for g in some) if some else 1.0
        kinds[clue] = Want(0, face or "SourceSansPro-Regular", size, dark)
    return {
        cell: kinds[bool(clues[cell])]._replace(value=value)
        for cell, value in enumerate(wanted)
        if value
    }


def check_digit_ink(
    view: View, lattice: Lattice, due: dict[int, Want], empty: Sequence[int], crossed: Crossed
) -> Iterator[Fault]:
    """Each cell's ink is the digit due there; the cells that must be empty are bare paper."""
    n = lattice.size
    missing, wrong, faint, moved, stray = [], [], [], [], []
    if due:
        boxes = cell_boxes(lattice, due)
        seen = look(cut(view, boxes), list(due.values()), view.x, SYMBOLS[1 : n + 1])
        for (cell, want), box, one in zip(due.items(), boxes, seen, strict=True):
            name = cell_name(cell, n)
            alike, least = (CROSSED_ALIKE, CROSSED_FAINT) if crossed(box) else (ALIKE, FAINT)
            told = _judge(one, want, name, alike)
            if one.value is None:
                missing.append((cell, told))
            elif told:
                wrong.append((cell, told))
            elif one.beyond > BEYOND:
                stray.append((cell, f"there is ink beside the {SYMBOLS[want.value]} in {name}"))
            elif one.share < least:
                faint.append(
                    (
                        cell,
                        f"the {SYMBOLS[want.value]} in {name} has {one.share:.0%} of the ink due",
                    )
                )
            elif max(abs(one.x), abs(one.y)) > OFF_CENTRE * lattice.pitch:
                moved.append((cell, f"the ink of {name} stands off the middle of its cell"))
    if empty:
        blank = bare(cut(view, cell_boxes(lattice, empty)))
        stray += [
            (c, f"{cell_name(c, n)} must be empty and is inked")
            for c, clean in zip(empty, blank, strict=True)
            if not clean
        ]
    yield from gather("ink-missing", missing)
    yield from gather("ink-wrong", wrong)
    yield from gather("ink-faint", faint)
    yield from gather("digit-moved", moved)
    yield from gather("ink-stray", stray)


def _judge(one: Look, want: Want, name: str, alike: float) -> str:
    due = SYMBOLS[want.value]
    if one.value is None:
        return f"no ink of the {due} in {name}: it is white, invisible, covered or not there"
    if one.value != want.value and one.likeness < SURE:
        return f"the ink of {name} looks like {SYMBOLS[one.value]} where the book has {due}"
    if one.likeness < alike:
        return f"the ink of {name} is not a clean {due} ({one.likeness:.0%} alike)"
    return ""


def check_candidate_ink(
    view: View,
    lattice: Lattice,
    candidates: Sequence[Digit],
    shown: Shown,
    struck: Sequence[tuple[int, int]],
    crossed: Crossed,
) -> Iterator[Fault]:
    """In the cells of a hint that show candidates, the ink is that of the candidates, no more.

    ``view`` is the page without rings and strokes. Where a candidate stands comes from the text;
    that text and hint agree has been checked there.
    """
    n, told = lattice.size, []
    if candidates:
        boxes = [_room(d) for d in candidates]
        due = [_want(d) for d in candidates]
        cells = cell_boxes(lattice, (d.cell for d in candidates), CLEAR)
        inside = [_common(*pair) for pair in zip(boxes, cells, strict=True)]
        seen = look(cut(view, boxes, inside), due, view.x, SYMBOLS[1 : n + 1])
        for d, box, one in zip(candidates, boxes, seen, strict=True):
            name = f"the candidate {SYMBOLS[d.value]} of {cell_name(d.cell, n)}"
            if one.value is None:
                told.append((d.cell, f"{name} is not inked"))
            elif (d.cell, d.value) in struck:
                continue  # the stroke through it spoils its likeness: that it is inked must do
            elif one.likeness >= LEFT_ALIKE and one.share >= RINGED_FAINT and crossed(box):
                continue
            elif one.value != d.value or one.likeness < RINGED_ALIKE:
                told.append((d.cell, f"the ink of {name} looks like {SYMBOLS[one.value]}"))
            elif one.share < RINGED_FAINT:
                told.append((d.cell, f"{name} is too faint"))
        view = without(view, (), boxes)
    noted = [cell for cell, values in shown if values]
    if noted:
        clean = bare(cut(view, cell_boxes(lattice, noted)))
        told += [
            (c, f"{cell_name(c, n)} is inked beside its candidates")
            for c, blank in zip(noted, clean, strict=True)
            if not blank
        ]
    yield from gather("candidate", told)


def _want(d: Digit) -> Want:
    face = d.glyph.face if is_house_face(d.glyph.face) else "SourceSansPro-Regular"
    return Want(d.value, face, _type_size(d), darkness(d.glyph.colour))


def _type_size(d: Digit) -> float:
    """A size that can be drawn: what a file says may be anything, and is told elsewhere."""
    return min(max(d.glyph.size, 2.0), 40.0)


def _common(a: Box, b: Box) -> Box:
    """What two boxes have in common."""
    return max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3])


def _room(digit: Digit) -> Box:
    """Room for one candidate's ink and a little more."""
    x0, y0, x1, y1 = ink_of(digit.glyph)
    x, y, size = (x0 + x1) / 2, (y0 + y1) / 2, _type_size(digit)
    return x - 0.33 * size, y - 0.4 * size, x + 0.33 * size, y + 0.4 * size


def check_line_ink(
    view: View,
    lattice: Lattice,
    ground: View | None = None,
    marked: Collection[tuple[int, int]] = (),
    *,
    exact: bool,
) -> Iterator[Fault]:
    """Each cell line has the ink of its width. With ``exact``, thin lines have no more than that.

    Only lines that the first eye saw are looked for; what it missed it has told already. What is
    dark in the ``ground`` (the page with shapes of rules only) belongs to no line. Edges
    that are ``marked`` by a rule are looked at beside the mark, others in their middle.
    """
    n = lattice.size
    pieces = []
    for a, b, width in lattice.inner():
        (ax, ay), (bx, by) = lattice.middle(a), lattice.middle(b)
        if width >= HAIRLINE:
            upright = b == a + 1
            aside = BESIDE * lattice.pitch if (a, b) in marked else 0.0
            x, y = (ax + bx) / 2 - aside * (not upright), (ay + by) / 2 + aside * upright
            pieces.append((a, b, width, (x, y, upright)))
    if not pieces:
        return
    inks = line_widths(view, [piece[3] for piece in pieces], lattice.pitch, ground)
    thin = median(
        float(i) for i, p in zip(inks, pieces, strict=True) if p[2] < BORDER * lattice.thin
    )
    missing, wrong = [], []
    for (a, b, width, _), ink in zip(pieces, inks, strict=True):
        name = f"between {cell_name(a, n)} and {cell_name(b, n)}"
        heavy = width >= BORDER * lattice.thin
        if ink < COVERED * width or (heavy and ink < BORDER * thin):
            missing.append(
                (
                    a,
                    f"the line {name} has less ink than its {width:g} pt: it is "
                    "covered, pale or broken",
                )
            )
        elif exact and not heavy and ink > BORDER * thin + 1 / view.x:
            wrong.append((a, f"the ink {name} is as wide as a border, where a cell line is due"))
    yield from gather("line-missing", missing)
    yield from gather("border-wrong", wrong)
