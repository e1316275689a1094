"""One printed grid against the book, by its lines and its text. Each check takes plain values."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from math import hypot

from packbuilder.grid import SYMBOLS, Values, cell_name
from packbuilder.readback.report import Fault, gather
from packbuilder.reader.digits import Digit, Filled
from packbuilder.reader.lattices import BORDER, HEAVIER, Lattice
from packbuilder.reader.typefaces import SOLVED_FACES, is_clue

HAIRLINE = 0.25
"""Narrowest line (points) that every press prints."""
OFF_CENTRE = 0.2
"""How far a digit may stand from the middle of its cell, in cells."""

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
            told = is_clue(found[0].glyph)
            if told != clue or not (clue or face in SOLVED_FACES):
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


def check_setting(digits: Sequence[Digit], size: int) -> Iterator[Fault]:
    """Digits stand upright in the middle of their cells."""
    turned, moved = [], []
    for d in digits:
        name = f"the {SYMBOLS[d.value]} in {cell_name(d.cell, size)}"
        if d.glyph.turned:
            turned.append((d.cell, f"{name} is turned, mirrored or squeezed"))
        elif max(abs(d.x), abs(d.y)) > OFF_CENTRE:
            moved.append((d.cell, f"{name} stands {hypot(d.x, d.y):.0%} of a cell off its middle"))
    yield from gather("digit-turned", turned)
    yield from gather("digit-moved", moved)


def check_candidates(candidates: Sequence[Digit], size: int, shown: Shown) -> Iterator[Fault]:
    """The candidates in a hint's grid are exactly those shown, each once."""
    due = {(cell, value) for cell, values in shown for value in values}
    found = Counter((d.cell, d.value) for d in candidates)
    told = [
        (cell, f"{cell_name(cell, size)} does not show its candidate {SYMBOLS[value]}")
        for cell, value in sorted(due - found.keys())
    ]
    for (cell, value), count in sorted(found.items()):
        name = f"the candidate {SYMBOLS[value]} in {cell_name(cell, size)}"
        if (cell, value) not in due:
            told.append((cell, f"{name} is none of the hint's"))
        elif count > 1:
            told.append((cell, f"{name} is printed {count} times"))
    yield from gather("candidate", told)
