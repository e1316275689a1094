"""Looking: a copy beside its master, as a viewer shows both. Nothing of how it was made is trusted.

pdfium opens both files. What the copy's page has more than the master's is the stamp, on each page
of the book once; where that stands the master is bare, and nowhere else do the pixels differ.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from packbuilder.phrases import counted
from packbuilder.reader.marks import Glyph
from packbuilder.reader.pdfium import File

_DPI = 72  # a pixel a point
_SEEN = 24  # least difference of grey, 0 to 255, that counts as ink
_ROUND = 2  # pixels round the stamp's letters that may be inked with them


class _Seen(NamedTuple):
    """A page as it is seen: its letters, and its pixels in grey, rows from the top."""

    letters: Collection[Glyph]
    grey: NDArray[np.int16]


def faults(
    copy: File, master: File, words: str, *, folded: bool, most: int | None = None
) -> Iterator[str]:
    """Words for what is wrong with a copy that must say ``words``.

    Two of its pages may be ``folded`` on a sheet. Only so many pages are looked at as ``most``
    says, from the first to the last.
    """
    if copy.count != master.count:
        yield f"it has {counted(copy.count, 'page')} instead of {master.count}"
        return
    step = max(1, (master.count - 1) // (most - 1)) if most else 1
    for number in sorted({*range(1, master.count + 1, step), master.count}):
        one, other = _see(copy, number), _see(master, number)
        for told in _page(one, other, words.replace(" ", ""), 1 + folded):
            yield f"page {number}: {told}"


def words_of(copy: File, master: File) -> str:
    """What a copy says more than its master, on its first page."""
    more, _ = _unlike(_see(copy, 1).letters, _see(master, 1).letters)
    lines = _lines(more)
    return _spaced(lines[0]) if lines else ""


def _see(file: File, number: int) -> _Seen:
    with file.page(number) as page:
        return _Seen(page.marks().glyphs, page.pixels(_DPI).whole.astype(np.int16))


def _page(copy: _Seen, master: _Seen, due: str, most: int) -> Iterator[str]:
    more, less = _unlike(copy.letters, master.letters)
    if less:
        yield "letters of the released page are not there"
    found = _lines(more)
    if not 1 <= len(found) <= most or any("".join(g.text for g in one) != due for one in found):
        yield "the stamp does not stand there as it should"
        return
    if any(g.turned or g.mode or g.colour is None for g in more):
        yield "the stamp is not plainly inked"
    if copy.grey.shape != master.grey.shape:
        yield "it has another size"
        return
    apart = np.abs(copy.grey - master.grey) > _SEEN
    for one in found:
        place = _place(one, apart.shape[0])
        under = master.grey[place]
        if under.max() - under.min() > _SEEN:
            yield "the stamp lies over something"
        if not apart[place].any():
            yield "the stamp leaves no ink"
        apart[place] = False
    if apart.any():
        yield "it differs from the released page beside the stamp"


def _place(line: Collection[Glyph], height: int) -> tuple[slice, slice]:
    """The rows and columns of pixels that a line may ink."""
    low, high = min(g.y0 for g in line), max(g.y1 for g in line)
    left, right = min(g.x0 for g in line), max(g.x1 for g in line)
    return (
        slice(int(height - high) - _ROUND, int(height - low) + 1 + _ROUND),
        slice(int(left) - _ROUND, int(right) + 1 + _ROUND),
    )


def _unlike(these: Collection[Glyph], those: Collection[Glyph]) -> tuple[list[Glyph], list[Glyph]]:
    """Letters of the one that the other has not, and the other way round; blanks are left out."""
    one, other = (
        Counter(_rounded(g) for g in some if not g.text.isspace()) for some in (these, those)
    )
    return list((one - other).elements()), list((other - one).elements())


def _rounded(glyph: Glyph) -> Glyph:
    x0, y0, x1, y1, x, y = (round(v, 1) for v in (*glyph[3:7], glyph.x, glyph.y))
    return glyph._replace(x0=x0, y0=y0, x1=x1, y1=y1, x=x, y=y, size=round(glyph.size, 2), tag=0)


def _lines(letters: Collection[Glyph]) -> list[list[Glyph]]:
    """Letters as the lines that they make, each from left to right; a wide gap parts two lines."""
    lines: list[list[Glyph]] = []
    for glyph in sorted(letters, key=lambda g: (-g.y, g.x)):
        last = lines[-1][-1] if lines else None
        if last is None or abs(last.y - glyph.y) > 1 or glyph.x - last.x1 > 4 * glyph.size:
            lines.append([])
        lines[-1].append(glyph)
    return lines


def _spaced(line: list[Glyph]) -> str:
    """A line with blanks where it has gaps."""
    text = line[0].text
    for before, glyph in pairwise(line):
        text += (" " if glyph.x - before.x1 > 0.1 * glyph.size else "") + glyph.text
    return text
