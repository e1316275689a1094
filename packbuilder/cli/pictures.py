"""Pictures of positions, an SVG file a step: for a page of one's own, or a post."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from packbuilder.errors import InputError, PackbuilderError, Unfinished
from packbuilder.files import out_of_room
from packbuilder.grid import SYMBOLS, Geometry, Values

if TYPE_CHECKING:
    from packbuilder.ladder.step import Step

CELL, MARGIN = 40, 4
"""Sides in the picture's own units."""


def write(
    folder: Path, geometry: Geometry, clues: Values, steps: Sequence[tuple[Values, Step]]
) -> None:
    """One picture a step, ``01.svg`` on: the position before it. Raises InputError, Unfinished."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        wide = max(2, len(str(len(steps))))
        for number, (values, step) in enumerate(steps, start=1):
            text = svg(geometry, clues, values, step)
            (folder / f"{number:0{wide}}.svg").write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise _fault(folder, error) from None


def _fault(folder: Path, error: OSError) -> PackbuilderError:
    if isinstance(error, (FileExistsError, NotADirectoryError, PermissionError)):
        return InputError(f"--svg {folder}: {error.strerror}; name a folder that can be written")
    return Unfinished(f"--svg {folder}: {out_of_room(error) or error.strerror}")


def svg(geometry: Geometry, clues: Values, values: Values, step: Step) -> str:
    """A position as a picture: clues bold, found digits light, the cells of the step outlined."""
    size = geometry.size
    side = size * CELL + 2 * MARGIN
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" '
        f'width="{side}" height="{side}" role="img">',
        f'<rect width="{side}" height="{side}" fill="#fff"/>',
    ]
    placed = {cell for cell, _ in step.places}
    for cell in dict.fromkeys((*step.cells, *placed, *(cell for cell, _ in step.removes))):
        x, y = _corner(cell, size)
        fill = "#000" if cell in placed else "#ddd" if cell in step.cells else "#fff"
        lines.append(
            f'<rect x="{x + 3}" y="{y + 3}" width="{CELL - 6}" height="{CELL - 6}" rx="5" '
            f'fill="{fill}" stroke="#000" stroke-width="1.5"/>'
        )
    shown = {cell: digit for cell, digit in enumerate(values) if digit} | dict(step.places)
    for cell, digit in sorted(shown.items()):
        x, y = _corner(cell, size)
        weight = "700" if clues[cell] or cell in placed else "300"
        ink = "#fff" if cell in placed else "#000"
        lines.append(
            f'<text x="{x + CELL / 2:g}" y="{y + CELL * 0.7:g}" text-anchor="middle" '
            f'font-family="sans-serif" font-size="24" font-weight="{weight}" fill="{ink}">'
            f"{SYMBOLS[digit]}</text>"
        )
    lines += [_lines(geometry, thick=False), _lines(geometry, thick=True), "</svg>"]
    return "\n".join(lines) + "\n"


def _corner(cell: int, size: int) -> tuple[int, int]:
    return MARGIN + cell % size * CELL, MARGIN + cell // size * CELL


def _lines(geometry: Geometry, thick: bool) -> str:
    """The borders between cells of one region, or those between regions and round the grid."""
    size, region = geometry.size, geometry.regions
    path = []
    for cell in range(geometry.cell_count):
        x, y = _corner(cell, size)
        beside = cell + 1 if cell % size < size - 1 else None
        below = cell + size if cell + size < geometry.cell_count else None
        for other, x1, y1, dx, dy in (
            (beside, x + CELL, y, 0, CELL),
            (below, x, y + CELL, CELL, 0),
        ):
            border = other is None or (region is not None and region[cell] != region[other])
            if border == thick:
                path.append(f"M{x1} {y1}l{dx} {dy}")
    if thick:
        path.append(f"M{MARGIN} {MARGIN}v{size * CELL}M{MARGIN} {MARGIN}h{size * CELL}")
    width = "3" if thick else "0.8"
    look = f'stroke="#000" stroke-width="{width}" stroke-linecap="square" fill="none"'
    return f'<path d="{"".join(path)}" {look}/>'
