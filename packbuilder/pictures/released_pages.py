"""Leaves: a released file as pages to make pictures of: their sections, grids and content.

Where sections begin is told by the file's bookmarks, where grids stand by its lines: both were
proved when the file was read back. Lengths are in points from a page's lower left corner.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from packbuilder.editions import Edition
from packbuilder.errors import InputError
from packbuilder.reader.editions import lit
from packbuilder.reader.file import readable
from packbuilder.reader.marks import Box, PageMarks
from packbuilder.reader.pages import SeenPage, items_of, look_at
from packbuilder.reader.pdfium import File
from packbuilder.reader.text import ANSWERS, COVER, HOW_TO_PLAY, PRIMER, PUZZLES, TIERS

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from PIL.Image import Image

SECRET = (TIERS[2], ANSWERS)
"""Sections that give a puzzle away."""
SAMPLES = (PRIMER, HOW_TO_PLAY)
"""Sections that show what a reader learns, the better one first."""

INK = 24
"""Difference in grey (of 255) from a page's ground from which a pixel is ink."""
FINE = 2.0
"""Pixels to a point where content is looked for."""
ASIDE, ABOVE = 12.0, 2.0
"""Points of bare ground that part what is shown from what stands beside it, and above or below it:
more than between the words of a title, and than between a letter and its accent."""


@dataclass(frozen=True)
class Page:
    """One page: its folio, its section, and whether that section begins (``opens``) on it."""

    folio: int
    section: str
    opens: bool
    marks: PageMarks
    edition: Edition

    @cached_property
    def seen(self) -> SeenPage:
        """What stands on it, read when it is asked for."""
        return look_at(self.marks, self.edition)

    @property
    def secret(self) -> bool:
        """Whether the page gives a puzzle away."""
        return self.section in SECRET

    @property
    def size(self) -> tuple[float, float]:
        """Width and height."""
        return self.marks.width, self.marks.height

    @property
    def grids(self) -> tuple[Box, ...]:
        """Every grid with its bands of clues."""
        return tuple(grid.drawn.reach(grid.lattice) for grid in self.seen.grids)

    @property
    def puzzles(self) -> tuple[Box, ...]:
        """On a page of puzzles, each with its caption, in reading order."""
        if self.section != PUZZLES:
            return ()
        boxes = [item.box for item in items_of(self.seen, {})]
        return tuple(sorted(boxes, key=lambda box: (-round(box[3]), box[0])))

    @property
    def text(self) -> Box:
        """The page without running head and folio."""
        width, height = self.size
        runs = self.seen.runs
        if not runs or self.section == COVER:
            return 0, 0, width, height
        top = height if self.opens else min(r.box[1] for r in runs if runs[0].y - r.y <= 0.5)
        foot = [r.box[3] for r in runs if r.y - runs[-1].y <= 0.5]
        return 0, min(max(foot), top), width, top


class Leaves:
    """A file's pages, and their pixels. Close it when done: it is a context manager."""

    def __init__(self, data: bytes, edition: Edition) -> None:
        import pypdfium2

        with File(data) as file:
            marks = [_marks(file, k + 1) for k in range(file.count)]
        marks = [lit(one) for one in marks] if edition.dark else marks
        self._pdf: Any = pypdfium2.PdfDocument(data)
        names = _sections(self._pdf)
        self.pages = tuple(
            Page(k, name, k == 1 or names[k - 2] != name, one, edition)
            for k, (one, name) in enumerate(zip(marks, names, strict=True), start=1)
        )

    def __enter__(self) -> Leaves:
        return self

    def __exit__(self, *_: object) -> None:
        self._pdf.close()

    @cached_property
    def ground(self) -> int:
        """The grey of bare paper, 0 to 255: of the cover's upper left corner."""
        return int(self._grey(1, 1.0)[0, 0])

    def picture(self, folio: int, scale: float, box: Box | None = None) -> Image:
        """A page, or a box of it, in grey; ``scale`` is pixels to a point."""
        from PIL import Image

        return Image.fromarray(self._grey(folio, scale, box))

    def content(self, folio: int, within: Box) -> Box | None:
        """What is inked in a box of a page; None where it is bare."""
        ink = self._ink(folio)
        left, top, right, bottom = self._pixels(folio, within)
        part = ink[top:bottom, left:right]
        rows, columns = part.nonzero()
        if not len(rows):
            return None
        return self._points(
            folio,
            (
                left + int(columns.min()),
                top + int(rows.min()),
                left + int(columns.max()) + 1,
                top + int(rows.max()) + 1,
            ),
        )

    def whole(self, folio: int, box: Box) -> Box:
        """The least box round a box that cuts nothing: bare ground lies all round it."""
        ink, aside, above = self._ink(folio), round(ASIDE * FINE), round(ABOVE * FINE)
        high, wide = ink.shape
        left, top, right, bottom = self._pixels(folio, box)
        while True:
            before = left, top, right, bottom
            if ink[top:bottom, max(left - aside, 0) : left].any():
                left -= 1
            if ink[top:bottom, right : right + aside].any():
                right += 1
            if ink[max(top - above, 0) : top, left:right].any():
                top -= 1
            if ink[bottom : bottom + above, left:right].any():
                bottom += 1
            left, top, right, bottom = (
                max(left, 0),
                max(top, 0),
                min(right, wide),
                min(bottom, high),
            )
            if before == (left, top, right, bottom):
                return self._points(folio, before)

    def gaps(self, folio: int, box: Box) -> list[tuple[float, float]]:
        """The bare bands across a box, from the top: (upper edge, lower edge) of each."""
        ink = self._ink(folio)
        left, top, right, bottom = self._pixels(folio, box)
        bare = [not row.any() for row in ink[top:bottom, left:right]]
        found, start = [], None
        for k, is_bare in enumerate([*bare, False]):
            if is_bare and start is None:
                start = k
            elif not is_bare and start is not None:
                found.append((self._y(folio, top + start), self._y(folio, top + k)))
                start = None
        return found

    def _grey(self, folio: int, scale: float, box: Box | None = None) -> NDArray[np.uint8]:
        with readable(f"page {folio}"):
            page = self._pdf[folio - 1]
            width, height = page.get_size()
            x0, y0, x1, y1 = box or (0, 0, width, height)
            found: NDArray[np.uint8] = page.render(
                scale=scale,
                crop=(x0, y0, width - x1, height - y1),
                grayscale=True,
                draw_annots=False,
            ).to_numpy()
            page.close()
            return found.reshape(found.shape[:2]).copy()

    def _ink(self, folio: int) -> NDArray[np.bool_]:
        import numpy as np

        if folio not in self._inked:
            grey = self._grey(folio, FINE).astype(np.int16)
            self._inked[folio] = np.asarray(np.abs(grey - self.ground) > INK)
        return self._inked[folio]

    @cached_property
    def _inked(self) -> dict[int, NDArray[np.bool_]]:
        return {}

    def _pixels(self, folio: int, box: Box) -> tuple[int, int, int, int]:
        """Left, top, right, bottom in pixels of the ink."""
        high = self._ink(folio).shape[0]
        x0, y0, x1, y1 = (side * FINE for side in box)
        return max(int(x0), 0), max(int(high - y1), 0), int(-(-x1 // 1)), int(-(-(high - y0) // 1))

    def _points(self, folio: int, box: tuple[int, int, int, int]) -> Box:
        left, top, right, bottom = box
        return left / FINE, self._y(folio, bottom), right / FINE, self._y(folio, top)

    def _y(self, folio: int, row: int) -> float:
        return float((self._ink(folio).shape[0] - row) / FINE)


def _marks(file: File, number: int) -> PageMarks:
    with file.page(number) as page:
        return page.marks()


def _sections(pdf: Any) -> list[str]:
    """The section of every page. Raises InputError where the file does not say."""
    starts: dict[int, str] = {}
    with readable("its bookmarks"):
        for mark in pdf.get_toc(max_depth=1):
            if mark.get_dest() is not None:
                starts[mark.get_dest().get_index() + 1] = mark.get_title()
    if starts.get(1) is None and starts:
        starts[1] = COVER
    if set(starts.values()).isdisjoint({ANSWERS}):
        raise InputError("the file's bookmarks do not say where its answers are; build it again")
    names: list[str] = []
    for folio in range(1, len(pdf) + 1):
        names.append(starts.get(folio) or names[-1])
    return names
