"""Released pages: a released file as pages to make pictures of: their sections, grids and pixels.

Where sections begin is told by the file's bookmarks, where grids stand by its lines: both were
proved when the file was read back. Lengths are in points from a page's lower left corner.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from packbuilder.editions import Edition
from packbuilder.errors import InputError
from packbuilder.pictures.page_ink import LEAST_CONTRAST, RESOLUTION, Box, PageInk
from packbuilder.reader.editions import lit
from packbuilder.reader.file import readable
from packbuilder.reader.marks import PageMarks
from packbuilder.reader.pages import SeenPage, items_of, look_at
from packbuilder.reader.pdfium import File
from packbuilder.reader.sections import sections_of
from packbuilder.reader.text import ANSWERS, COVER, HOW_TO_PLAY, PRIMER, PUZZLES, TIERS

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from PIL.Image import Image

SPOILERS = (TIERS[2], ANSWERS)
"""Sections that give a puzzle away."""
TEACHING = (PRIMER, HOW_TO_PLAY)
"""Sections that show what a reader learns, the better one first."""


@dataclass(frozen=True)
class ReleasedPage:
    """One page: its folio, its section, and whether that section begins (``opens``) on it."""

    folio: int
    section: str
    opens: bool
    marks: PageMarks
    edition: Edition

    @cached_property
    def contents(self) -> SeenPage:
        """What stands on it, read when it is asked for."""
        return look_at(self.marks, self.edition)

    @property
    def spoils(self) -> bool:
        """Whether the page gives a puzzle away."""
        return self.section in SPOILERS

    @property
    def size(self) -> tuple[float, float]:
        """Width and height."""
        return self.marks.width, self.marks.height

    @property
    def grids(self) -> tuple[Box, ...]:
        """Every grid with its bands of clues; the whole page where lines make no whole grid."""
        if self.contents.broken:
            return ((0, 0, *self.size),)
        return tuple(grid.drawn.reach(grid.lattice) for grid in self.contents.grids)

    @property
    def puzzles(self) -> tuple[Box, ...]:
        """On a page of puzzles, each with its caption, in reading order."""
        if self.section != PUZZLES:
            return ()
        boxes = [item.box for item in items_of(self.contents, {})]
        return tuple(sorted(boxes, key=lambda box: (-round(box[3]), box[0])))

    @property
    def text(self) -> Box:
        """The page without running head and folio."""
        width, height = self.size
        runs = self.contents.runs
        if not runs or self.section == COVER:
            return 0, 0, width, height
        top = height if self.opens else min(r.box[1] for r in runs if runs[0].y - r.y <= 0.5)
        foot = [r.box[3] for r in runs if r.y - runs[-1].y <= 0.5]
        return 0, min(max(foot), top), width, top


class ReleasedFile:
    """A file's pages, and their pixels. Close it when done: it is a context manager."""

    def __init__(self, data: bytes, edition: Edition) -> None:
        import pypdfium2

        with File(data) as file:
            marks = [_marks(file, k + 1) for k in range(file.count)]
        marks = [lit(one) for one in marks] if edition.dark else marks
        self._pdf: Any = pypdfium2.PdfDocument(data)
        self._inks: dict[int, PageInk] = {}
        names = _sections(data)
        self.pages = tuple(
            ReleasedPage(k, name, k == 1 or names[k - 2] != name, one, edition)
            for k, (one, name) in enumerate(zip(marks, names, strict=True), start=1)
        )

    def __enter__(self) -> ReleasedFile:
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

    def ink(self, folio: int) -> PageInk:
        """Where a page is inked."""
        if folio not in self._inks:
            apart = abs(self._grey(folio, RESOLUTION).astype("int16") - self.ground)
            self._inks[folio] = PageInk(apart > LEAST_CONTRAST)
        return self._inks[folio]

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


def _marks(file: File, number: int) -> PageMarks:
    with file.page(number) as page:
        return page.marks()


def _sections(data: bytes) -> list[str]:
    """The section of every page. Raises InputError where the file does not say."""
    names = sections_of(data)
    if ANSWERS not in names:
        raise InputError("the file's bookmarks do not say where its answers are; build it again")
    return names
