"""The booklet: sheets unfolded into pages in reading order, with the marks for folding taken off.

How a saddle-stitched sheet lies is told by folding one: the two pages on a side add up to one more
than the number of pages, odd pages lie to the right, and page p of the first half lies on side p.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import median
from typing import Any, NamedTuple, TypeVar

from packbuilder.editions import HALF
from packbuilder.readback.document import Drawing, Glyph, Patch, Sheet, Stroke
from packbuilder.readback.editions.shift import (
    moved_box,
    moved_drawing,
    moved_glyph,
    without_strokes,
)
from packbuilder.readback.paper import MM, PAPERS
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import Run
from packbuilder.readback.shapes import Box
from packbuilder.readback.view import Window

MARK_WIDTH = 0.4
"""Points: the strokes that show where to fold and to staple."""
FOLD_FROM, FOLD_TO = 10 * MM, 15 * MM
"""Where a fold mark begins and ends, from the upper and from the lower edge."""
STAPLE = 6 * MM
"""How long a staple mark is."""
OFF = 0.3
"""How far (points) such a mark may stand off its place."""
MOST_BLANK = 3
"""More bare pages than this never make up a multiple of four."""

Mark = TypeVar("Mark", Glyph, Stroke, Patch, Drawing)


class Leaf(NamedTuple):
    """Where a page lies: the file's side (from 1), and whether on its right half."""

    side: int
    right: bool


def leaf_of(page: int, pages: int) -> Leaf:
    """Where page ``page`` of ``pages`` lies on the sheets of a saddle-stitched booklet."""
    return Leaf(min(page, pages + 1 - page), page % 2 == 1)


@dataclass(frozen=True)
class Unfolded:
    """A booklet's pages in reading order, where the pixels of each are found, and of those that
    are bare; and what is wrong with its sheets."""

    sheets: tuple[Sheet, ...]
    windows: tuple[Window, ...]
    bare: tuple[Window, ...]
    findings: tuple[Finding, ...]


def unfold(sides: Sequence[Sheet], paper: str, creep: float) -> Unfolded:
    """The pages of a booklet.

    ``paper`` is that of a page; ``creep`` (millimetres) is how far each sheet's pages stand nearer
    to the fold than those of the sheet round it.
    """
    findings = [f for side in sides for f in _check_size(side, paper)]
    if len(sides) % 2:
        findings.append(
            Finding(
                "blank",
                f"the booklet has {len(sides)} sides: a sheet has two, and bare pages make up the "
                "number at the end",
            )
        )
    cleaned = []
    for side in sides:
        known, amiss = _check_marks(side)
        findings += amiss
        cleaned.append((side, known, without_strokes(side, set(known))))
    width, height = PAPERS.get(paper, (sides[0].width / 2, sides[0].height))
    halves: dict[Leaf, tuple[Sheet, Window]] = {}
    for side, known, clean in cleaned:
        findings += _check_crossing(clean)
        shift = (side.number - 1) // 2 * creep * MM
        for right in (False, True):
            middle = side.width * (0.75 if right else 0.25) + (-shift if right else shift)
            box = (middle - width / 2, (side.height - height) / 2)
            half = (*box, box[0] + width, box[1] + height)
            halves[Leaf(side.number, right)] = _half(clean, known, half, right=right)
    count = 2 * len(sides)
    order = [leaf_of(page, count) for page in range(1, count + 1)]
    found = [halves[leaf] for leaf in order]
    pages = [_numbered(sheet, k) for k, (sheet, _) in enumerate(found, start=1)]
    kept = count
    while kept > max(count - MOST_BLANK, 1) and _is_bare(pages[kept - 1]):
        kept -= 1
    windows = tuple(window for _, window in found)
    return Unfolded(tuple(pages[:kept]), windows[:kept], windows[kept:], tuple(findings))


def _numbered(sheet: Sheet, number: int) -> Sheet:
    return replace(sheet, number=number)


def _is_bare(sheet: Sheet) -> bool:
    return not (sheet.glyphs or sheet.strokes or sheet.patches or sheet.drawings)


def _check_size(side: Sheet, paper: str) -> Iterator[Finding]:
    """A sheet is the paper of which a page is the half, laid on its side."""
    whole = next((name for name, half in HALF.items() if half == paper), "")
    if whole in PAPERS:
        high, wide = PAPERS[whole]
        if abs(side.width - wide) > 1 or abs(side.height - high) > 1:
            yield Finding(
                "paper",
                f"the sheet is {side.width:.0f} x {side.height:.0f} points; pages of {paper} stand "
                f"on {whole} laid on its side, {wide:.0f} x {high:.0f}",
                side.number,
            )


def _half(side: Sheet, known: Sequence[Stroke], half: Box, *, right: bool) -> tuple[Sheet, Window]:
    """One half of a side as a page of its own, and where its pixels are found."""
    left, bottom, *_ = half
    fold = side.width / 2

    def mine(marks: Iterable[Mark], middle: Callable[[Mark], float]) -> list[Mark]:
        return [mark for mark in marks if (middle(mark) >= fold) is right]

    def across(mark: Any) -> float:
        return float(mark.x0 + mark.x1) / 2

    sheet = Sheet(
        side.number,
        half[2] - left,
        half[3] - bottom,
        tuple(moved_glyph(g, -left, -bottom) for g in mine(side.glyphs, across)),
        tuple(moved_box(s, -left, -bottom) for s in mine(side.strokes, across)),
        tuple(moved_box(p, -left, -bottom) for p in mine(side.patches, across)),
        tuple(moved_drawing(d, -left, -bottom) for d in mine(side.drawings, _drawn_at)),
    )
    wiped = tuple(
        (((s.x0 - left, s.y0 - bottom), (s.x1 - left, s.y1 - bottom)), s.width) for s in known
    )
    return sheet, Window(side.number, half, wiped)


def _drawn_at(drawing: Drawing) -> float:
    left, _, right, _ = drawing.box
    return (left + right) / 2


def _check_crossing(side: Sheet) -> Iterator[Finding]:
    """Nothing stands across the fold."""
    fold = side.width / 2
    boxes = [d.box for d in side.drawings if max(abs(v) for v in d.box) < 1e5]
    spans = [(b[0], b[2]) for b in boxes] + [(g.x0, g.x1) for g in side.glyphs if g.text.strip()]
    if any(x0 < fold - 1 and x1 > fold + 1 for x0, x1 in spans):
        yield Finding(
            "fold-mark",
            "something stands across the fold that is no mark for folding or stapling",
            side.number,
        )


# --- how pages stand on their halves -----------------------------------------------------------

ASIDE = 0.12
"""How far (points) a page may stand off the line of the others: less than half of any paper."""


def check_alignment(lines: Sequence[tuple[int, Sequence[Run]]]) -> Iterator[Finding]:
    """Pages of one hand stand alike: an end of the head or the foot is in line with the others'.

    ``lines`` are pages with their text. The creep is undone by then, so that a page which has
    more of it, or less, stands out of line.
    """
    for hand in (0, 1):
        ends = {page: _ends(runs) for page, runs in lines if page > 1 and page % 2 == hand and runs}
        usual = [median(one[k] for one in ends.values()) for k in range(4)] if ends else []
        for page, one in ends.items():
            off = min((a - b for a, b in zip(one, usual, strict=True)), key=abs)
            if abs(off) > ASIDE:
                yield Finding(
                    "creep",
                    f"the page stands {abs(off):.2f} points further "
                    f"{'right' if off > 0 else 'left'} on its sheet than the others: pages move "
                    "towards the fold by the creep, sheet by sheet",
                    page,
                )


def _ends(runs: Sequence[Run]) -> tuple[float, float, float, float]:
    """The left and the right end of a page's topmost line, and of its lowest."""
    found = []
    for at in (runs[0].y, runs[-1].y):
        line = [r for r in runs if abs(r.y - at) <= 0.5]
        found += [min(r.x0 for r in line), max(r.x1 for r in line)]
    return found[0], found[1], found[2], found[3]


# --- marks for folding and stapling --------------------------------------------------------------


def _check_marks(side: Sheet) -> tuple[list[Stroke], list[Finding]]:
    """The marks for folding and stapling that a side has, and what is wrong with them."""
    fold, high = side.width / 2, side.height
    near = [
        s for s in side.strokes if min(s.x0, s.x1) <= fold + OFF and max(s.x0, s.x1) >= fold - OFF
    ]
    known: list[Stroke] = []
    wrong = []
    for low, top, name in (
        (FOLD_FROM, FOLD_TO, "lower"),
        (high - FOLD_TO, high - FOLD_FROM, "upper"),
    ):
        ones = [s for s in near if _is_fold(s, fold, low, top)]
        known += ones
        if not _are_dashes(ones, low, top):
            wrong.append(f"the {name} fold mark is missing, elsewhere or not dashed")
    for y, name in ((high / 4, "lower"), (high * 3 / 4, "upper")):
        ends = (fold - STAPLE / 2, y, fold + STAPLE / 2, y)
        ones = [s for s in near if side.number == 1 and _is_staple(s, ends)]
        known += ones
        if side.number == 1 and len(ones) != 1:
            wrong.append(f"the {name} staple mark is missing, elsewhere or doubled")
    for s in near:
        if s not in known:
            wrong.append(f"a line at {s.y0:.0f} points up stands on the fold and is no mark of it")
    findings = [Finding("fold-mark", words, side.number) for words in dict.fromkeys(wrong)]
    return known, findings


def _is_fold(stroke: Stroke, fold: float, low: float, top: float) -> bool:
    """Whether a stroke is a fold mark, or a piece of one."""
    upright = abs(stroke.x0 - fold) <= OFF and abs(stroke.x1 - fold) <= OFF
    y0, y1 = sorted((stroke.y0, stroke.y1))
    return upright and y0 >= low - OFF and y1 <= top + OFF and _is_fine(stroke)


def _are_dashes(strokes: Sequence[Stroke], low: float, top: float) -> bool:
    """Whether strokes are one fold mark: a dashed stroke, or pieces with gaps, from end to end."""
    if not strokes:
        return False
    ends = [sorted((s.y0, s.y1)) for s in strokes]
    first, last = min(a for a, _ in ends), max(b for _, b in ends)
    drawn = sum(b - a for a, b in ends)
    dashed = len(strokes) == 1 and strokes[0].dashed
    pieces = len(strokes) > 1 and not any(s.dashed for s in strokes)
    gaps = 0.3 <= drawn / (top - low) <= 0.8
    reach = abs(first - low) <= OFF and last >= top - (top - low) / 3
    return reach and (dashed or (pieces and gaps))


def _is_staple(stroke: Stroke, ends: Box) -> bool:
    x0, x1 = sorted((stroke.x0, stroke.x1))
    placed = all(
        abs(a - b) <= OFF for a, b in zip((x0, stroke.y0, x1, stroke.y1), ends, strict=True)
    )
    return placed and not stroke.dashed and _is_fine(stroke)


def _is_fine(stroke: Stroke) -> bool:
    inked = stroke.colour is not None and max(stroke.colour) < 0.5
    return inked and abs(stroke.width - MARK_WIDTH) <= 0.1
