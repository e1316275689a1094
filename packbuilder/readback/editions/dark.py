"""The dark edition made light again: its ground checked and taken off, its greys turned back."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING

from packbuilder.readback.colour import GROUND, lightened
from packbuilder.readback.document import Drawing, Sheet
from packbuilder.readback.editions.shift import recoloured, without_fill
from packbuilder.readback.report import Finding

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

OFF = 0.02
"""How far the ground's grey may be from its own."""


def lit(sheets: Sequence[Sheet]) -> tuple[tuple[Sheet, ...], list[Finding]]:
    """The pages as they would be on white paper, and those that have no dark ground."""
    pages, findings = [], []
    for sheet in sheets:
        ground = sheet.drawings[0] if sheet.drawings else None
        if ground is not None and _is_ground(ground, sheet):
            bare = without_fill(sheet, ground)
        else:
            bare = sheet
            findings.append(
                Finding(
                    "ground",
                    f"the page is not painted first with one rectangle of grey {GROUND:.2f}",
                    sheet.number,
                )
            )
        pages.append(recoloured(bare, lightened))
    return tuple(pages), findings


def _is_ground(drawing: Drawing, sheet: Sheet) -> bool:
    left, bottom, right, top = drawing.box
    whole = left <= 0.1 and bottom <= 0.1
    whole &= right >= sheet.width - 0.1 and top >= sheet.height - 0.1
    straight = len(drawing.tracks) == 1 and len(drawing.tracks[0].points) == 4
    fill = drawing.fill
    dark = fill is not None and all(abs(v - GROUND) <= OFF for v in fill)
    return whole and straight and dark and drawing.filled and not drawing.pen


@cache
def greys() -> NDArray[np.uint8]:
    """For each grey of a dark page's pixels, 0 to 255, that of the same page on white paper."""
    import numpy as np

    table = [round(255 * lightened((k / 255,) * 3)[0]) for k in range(256)]
    paper = round(255 * GROUND + 0.5)  # whichever way it was rounded, the ground is bare paper
    table[: paper + 1] = [255] * (paper + 1)
    return np.array(table, dtype=np.uint8)
