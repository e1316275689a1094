"""Page ink: where a page is inked and where it is bare, in points from its lower left corner."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""

RESOLUTION = 2.0
"""Pixels to a point where ink is looked for."""
LEAST_CONTRAST = 24
"""Difference in grey (of 255) from a page's ground from which a pixel is ink."""
ASIDE, ABOVE = 12.0, 2.0
"""Points of bare ground that part what is shown from what stands beside it, and above or below it:
more than between the words of a title, and than between a letter and its accent."""


@dataclass(frozen=True)
class PageInk:
    """A page, pixel by pixel from its upper left corner: True where it is inked."""

    pixels: NDArray[np.bool_]

    def inside(self, box: Box) -> Box | None:
        """What is inked in a box; None where it is bare."""
        left, top, right, bottom = self._in_pixels(box)
        rows, columns = self.pixels[top:bottom, left:right].nonzero()
        if not len(rows):
            return None
        return self._in_points(
            left + int(columns.min()),
            top + int(rows.min()),
            left + int(columns.max()) + 1,
            top + int(rows.max()) + 1,
        )

    def uncut(self, box: Box) -> Box:
        """The least box round a box that cuts nothing: bare ground lies all round it."""
        ink, aside, above = self.pixels, round(ASIDE * RESOLUTION), round(ABOVE * RESOLUTION)
        grown, before = self._in_pixels(box), (0, 0, 0, 0)
        while grown != before:
            before = left, top, right, bottom = grown
            grown = (
                left - bool(ink[top:bottom, max(left - aside, 0) : left].any()),
                top - bool(ink[max(top - above, 0) : top, left:right].any()),
                right + bool(ink[top:bottom, right : right + aside].any()),
                bottom + bool(ink[bottom : bottom + above, left:right].any()),
            )
        return self._in_points(*grown)

    def gaps(self, box: Box) -> list[tuple[float, float]]:
        """The bare bands across a box, from the top: (upper edge, lower edge) of each."""
        left, top, right, bottom = self._in_pixels(box)
        rows = [bool(row.any()) for row in self.pixels[top:bottom, left:right]]
        inked = [True, *rows, True]
        edges = [top + k for k in range(len(inked) - 1) if inked[k] != inked[k + 1]]
        return [(self._y(a), self._y(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]

    def _in_pixels(self, box: Box) -> tuple[int, int, int, int]:
        """Left, top, right, bottom."""
        high, wide = self.pixels.shape
        x0, y0, x1, y1 = (side * RESOLUTION for side in box)
        right, bottom = int(-(-x1 // 1)), int(-(-(high - y0) // 1))
        return max(int(x0), 0), max(int(high - y1), 0), min(right, wide), min(bottom, high)

    def _in_points(self, left: int, top: int, right: int, bottom: int) -> Box:
        return left / RESOLUTION, self._y(bottom), right / RESOLUTION, self._y(top)

    def _y(self, row: int) -> float:
        return (len(self.pixels) - row) / RESOLUTION
