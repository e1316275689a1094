"""One printed grid against the book, by its lines and its text. Each check takes plain values."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import hypot
from statistics import median

from packbuilder.grid import SYMBOLS, Values, cell_name
from packbuilder.readback.colour import CONTRAST, SOLVED_CONTRAST, contrast
from packbuilder.readback.document import Drawing
from packbuilder.readback.drawn.style import LATTICE_FOOT, LATTICE_TOP
from packbuilder.readback.glyphs import Digit, Filled, slot
from packbuilder.readback.report import Fault, gather
from packbuilder.readback.shapes import BORDER, HEAVIER, Lattice
from packbuilder.readback.typefaces import CLUE_FACE, SOLVED_FACES, ink_of, is_house_face

HAIRLINE = 0.25
"""Narrowest line (points) that every press prints."""
OFF_CENTRE = 0.2
"""How far a digit may stand from the middle of its cell, in cells."""
OFF_SLOT = 0.35
"""How far a candidate may stand from its own place, in places."""
SAME_SIZE = 0.04
"""Digits of one kind in one grid are of one size, within this share."""

Shown = Sequence[tuple[int, tuple[int, ...]]]


def check_borders(lattice: Lattice, regions: Sequence[int] | None) -> Iterator[Fault]:
    """Every cell line is drawn, and the heavy ones are exactly the frame and the regions' borders.

    ``regions`` has one entry a cell, or is None for a Latin square.
    """
    n = lattice.size
    pieces = lattice.inner()
    thin = lattice.thin
    missing, weak, wrong = [], [], []
    for a, b, width in pieces:
        between = f"between {cell_name(a, n)} and {cell_name(b, n)}"
        border = regions is not None and regions[a] != regions[b]
        if width < HAIRLINE:
            missing.append((a, f"the line {between} is {_drawn(width)}"))
        elif border and width < HEAVIER * thin - 0.01:
            weak.append(
                (a, f"the border {between} is {width:g} pt wide and the cell lines {thin:g} pt")
            )
        elif not border and width >= BORDER * thin:
            wrong.append((a, f"a border is drawn {between}, where the puzzle has none"))
    for cell, width in lattice.frame():
        if width < HAIRLINE:
            missing.append((cell, f"the frame at {cell_name(cell, n)} is {_drawn(width)}"))
        elif width < HEAVIER * thin - 0.01:
            weak.append(
                (
                    cell,
                    f"the frame at {cell_name(cell, n)} is {width:g} pt wide and the "
                    f"cell lines {thin:g} pt",
                )
            )
    yield from gather("line-missing", missing)
    yield from gather("border-thin", weak)
    yield from gather("border-wrong", wrong)


def _drawn(width: float) -> str:
    return f"only {width:g} pt wide" if width else "not drawn"


def check_digits(filled: Filled, size: int, wanted: Values, clues: Values) -> Iterator[Fault]:
    """Each cell shows exactly the digit wanted, clues in the clue face, the rest in a solver's."""
    by_cell: dict[int, list[Digit]] = {}
    for digit in filled.digits:
        by_cell.setdefault(digit.cell, []).append(digit)
    missing, extra, wrong, doubled, faces = [], [], [], [], []
    for cell, due in enumerate(wanted):
        name, found = cell_name(cell, size), by_cell.get(cell, [])
        if len(found) > 1:
            shown = " and ".join(SYMBOLS[d.value] for d in found)
            doubled.append((cell, f"{name} shows {len(found)} digits ({shown})"))
        elif found and not due:
            extra.append((cell, f"{name} shows {SYMBOLS[found[0].value]} and must be empty"))
        elif due and not found:
            missing.append((cell, f"{name} is empty and must show {SYMBOLS[due]}"))
        elif found and found[0].value != due:
            wrong.append(
                (cell, f"{name} shows {SYMBOLS[found[0].value]} where the book has {SYMBOLS[due]}")
            )
        elif found:
            face, clue = found[0].glyph.face, bool(clues[cell])
            if not (face == CLUE_FACE if clue else face in SOLVED_FACES):
                kind = "a clue" if clue else "a solved digit"
                faces.append((cell, f"{name} is {kind} and is set in {face}"))
    yield from gather("digit-missing", missing)
    yield from gather("digit-extra", extra)
    yield from gather("digit-wrong", wrong)
    yield from gather("digit-doubled", doubled)
    yield from gather("digit-face", faces)
    yield from gather(
        "stray-text",
        (
            (cell, f"{g.text!r} in or over {cell_name(cell, size)} is no digit of the grid")
            for cell, g in filled.strange
        ),
    )


def check_setting(
    digits: Sequence[Digit], size: int, least: float = 9.0, *, dark: bool = False
) -> Iterator[Fault]:
    """Digits stand upright in the middle of their cells, all of a kind in one size.

    ``least`` is that size at least, in points; they stand out from the paper.
    """
    turned, moved, small, faint = [], [], [], []
    sizes: dict[bool, list[float]] = {}
    for d in digits:
        sizes.setdefault(d.glyph.face == CLUE_FACE, []).append(d.glyph.size)
    usual = {kind: median(some) for kind, some in sizes.items()}
    for d in digits:
        name = f"the {SYMBOLS[d.value]} in {cell_name(d.cell, size)}"
        if d.glyph.turned:
            turned.append((d.cell, f"{name} is turned, mirrored or squeezed"))
        elif max(abs(d.x), abs(d.y)) > OFF_CENTRE:
            moved.append((d.cell, f"{name} stands {hypot(d.x, d.y):.0%} of a cell off its middle"))
        due = usual[d.glyph.face == CLUE_FACE]
        if d.glyph.size < least - 0.05:
            small.append(
                (
                    d.cell,
                    f"{name} is {d.glyph.size:.1f} pt; digits are at least {least:g} pt",
                )
            )
        elif abs(d.glyph.size - due) > SAME_SIZE * due:
            small.append((d.cell, f"{name} is {d.glyph.size:.1f} pt and the others {due:.1f} pt"))
        ratio = contrast(d.glyph.colour, dark=dark) if d.glyph.colour else 0.0
        due_ratio = CONTRAST if d.glyph.face == CLUE_FACE else SOLVED_CONTRAST
        if ratio < due_ratio - 0.05:
            faint.append((d.cell, f"{name} stands out by {ratio:.1f} to 1, not {due_ratio:g} to 1"))
    yield from gather("contrast", faint)
    yield from gather("digit-turned", turned)
    yield from gather("digit-moved", moved)
    yield from gather("digit-small", small)


def check_candidates(
    candidates: Sequence[Digit],
    size: int,
    shown: Shown,
    least: float = 5.0,
    *,
    low: bool = False,
) -> Iterator[Fault]:
    """The candidates in a hint's grid are exactly those shown, each once, at its own place.

    They stand ``low`` where the grid has text in the corners of cells; ``least`` is their least
    size in points.
    """
    due = {(cell, value) for cell, values in shown for value in values}
    found: dict[tuple[int, int], list[Digit]] = {}
    for d in candidates:
        found.setdefault((d.cell, d.value), []).append(d)
    told, small = [], []
    side = 3 if size <= 9 else 4
    for cell, value in sorted(due - found.keys()):
        told.append((cell, f"{cell_name(cell, size)} does not show its candidate {SYMBOLS[value]}"))
    for (cell, value), ones in sorted(found.items()):
        name = f"the candidate {SYMBOLS[value]} in {cell_name(cell, size)}"
        if (cell, value) not in due:
            told.append((cell, f"{name} is none of the hint's"))
        elif len(ones) > 1:
            told.append((cell, f"{name} is printed {len(ones)} times"))
        x, y = slot(value, size, low=low)
        height = LATTICE_FOOT - LATTICE_TOP if low else 1.0
        if max(abs(ones[0].x - x), abs(ones[0].y - y) / height) * side > OFF_SLOT:
            told.append((cell, f"{name} stands off its place"))
        if ones[0].glyph.turned:
            told.append((cell, f"{name} is turned, mirrored or squeezed"))
        if not is_house_face(ones[0].glyph.face):
            told.append((cell, f"{name} is set in {ones[0].glyph.face}, no face of the house"))
        if ones[0].glyph.size < least - 0.05:
            small.append(
                (
                    cell,
                    f"{name} is {ones[0].glyph.size:.1f} pt; candidates are at least {least:g} pt",
                )
            )
    yield from gather("candidate", told)
    yield from gather("digit-small", small)


def check_struck(
    candidates: Iterable[Digit],
    drawings: Iterable[Drawing],
    size: int,
    struck: Sequence[tuple[int, int]],
) -> Iterator[Fault]:
    """Exactly the struck candidates have a slanted stroke through them.

    ``drawings`` are those of the grid that belong to no rule.
    """
    middles = [
        ((ax + bx) / 2, (ay + by) / 2)
        for drawing in drawings
        if drawing.pen
        for track in drawing.tracks
        if not track.curved
        for (ax, ay), (bx, by) in pairwise(track.points)
        if abs(ax - bx) > 0.5 and abs(ay - by) > 0.5
    ]
    crossed = set()
    for d in candidates:
        x0, y0, x1, y1 = ink_of(d.glyph)
        if any(x0 <= x <= x1 and y0 <= y <= y1 for x, y in middles):
            crossed.add((d.cell, d.value))
    due = set(struck)
    told = [
        (
            cell,
            f"the candidate {SYMBOLS[v]} in {cell_name(cell, size)} is "
            f"{'not struck out' if (cell, v) in due else 'struck out, and the step keeps it'}",
        )
        for cell, v in sorted(due ^ crossed)
    ]
    yield from gather("struck", told)
