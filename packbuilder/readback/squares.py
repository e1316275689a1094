"""What is drawn of filled boxes alone: QR codes, pictures of clues, strips under answers."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from packbuilder.book.book import Book, Entry
from packbuilder.readback.document import Drawing, Track
from packbuilder.readback.match import due
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import PUZZLES
from packbuilder.readback.shapes import Box
from packbuilder.readback.survey import Item

SOLID, GROWS, SPECK = 0.27, 0.19, 0.035
"""In cells: half the side of a square is SOLID + GROWS * digit / size; of an empty cell SPECK."""
STRIP, MOST = 8.0, 8
"""A strip's height in points, and the ways on that a bar of that height stands for."""
BAR = 0.72
"""How wide a bar is, in steps."""
LEAST = 38.0
"""Least side of a QR code (points): 13.5 mm, for a telephone (common practice, no source)."""


def is_boxes(drawing: Drawing) -> bool:
    """Whether it is upright boxes, filled and not stroked."""
    return drawing.pen is None and drawing.filled and all(map(_is_box, drawing.tracks))


def _is_box(track: Track) -> bool:
    xs = {round(x, 1) for x, _ in track.points}
    ys = {round(y, 1) for _, y in track.points}
    corners = len(track.points) == 4 and track.closed and not track.curved
    return corners and len(xs) <= 2 and len(ys) <= 2


def _box(track: Track) -> Box:
    xs, ys = [x for x, _ in track.points], [y for _, y in track.points]
    return min(xs), min(ys), max(xs), max(ys)


def _is_black(drawing: Drawing) -> bool:
    return drawing.fill is not None and max(drawing.fill) < 0.05


# --- QR codes ------------------------------------------------------------------------------------


def check_codes(
    items: Sequence[Item], boxes: Sequence[Drawing], book: Book
) -> tuple[list[Drawing], list[Finding]]:
    """Each puzzle with a link has one QR code of it, module by module. Gives the codes."""
    known: list[Drawing] = []
    findings = []
    for item in items:
        match = due(book, item)
        if item.section != PUZZLES or not match or not match[0].puzzle.link:
            continue
        entry = match[0]
        mine = [d for d in boxes if _is_black(d) and item.holds(*_middle(d)) and _is_square(d)]
        told = ""
        if len(mine) != 1:
            told = f"{len(mine)} QR codes stand beside it, and one must"
        else:
            known += mine
            wrong, count = wrong_modules(mine[0], (entry.puzzle.link or "").strip())
            if wrong:
                told = f"{wrong} of {count} modules of its QR code are not those of its link"
            elif mine[0].box[2] - mine[0].box[0] < LEAST - 0.1:
                told = "its QR code is too small to be read"
        if told:
            findings.append(Finding("code", told, item.page, (), entry.number, entry.puzzle.id))
    return known, findings


def _is_square(drawing: Drawing) -> bool:
    x0, y0, x1, y1 = drawing.box
    return abs((x1 - x0) - (y1 - y0)) < 1.0 and len(drawing.tracks) > 20


def _middle(drawing: Drawing) -> tuple[float, float]:
    x0, y0, x1, y1 = drawing.box
    return (x0 + x1) / 2, (y0 + y1) / 2


def wrong_modules(drawing: Drawing, link: str) -> tuple[int, int]:
    """How many modules of a code differ from those of a link, and how many modules it has.

    A module is dark where a box covers its middle; boxes that end within a module make it wrong.
    """
    wanted = modules(link)
    n = len(wanted)
    left, _, right, top = drawing.box
    pitch = (right - left) / n
    seen = [[False] * n for _ in range(n)]
    wrong: set[tuple[int, int]] = set()
    for track in drawing.tracks:
        x0, y0, x1, y1 = _box(track)
        sides = ((x0 - left) / pitch, (top - y1) / pitch, (x1 - left) / pitch, (top - y0) / pitch)
        c0, r0, c1, r1 = (round(v) for v in sides)
        off = any(abs(v - round(v)) > 0.1 for v in sides)
        for r in range(max(r0, 0), min(max(r1, r0 + 1), n)):
            for c in range(max(c0, 0), min(max(c1, c0 + 1), n)):
                seen[r][c] = True
                if off:
                    wrong.add((r, c))
    wrong |= {(r, c) for r in range(n) for c in range(n) if seen[r][c] != wanted[r][c]}
    return len(wrong), n * n


@lru_cache(maxsize=256)
def modules(link: str) -> tuple[tuple[bool, ...], ...]:
    """The modules of a link's code (ISO/IEC 18004, error correction level M), row by row."""
    from reportlab.graphics.barcode.qr import QrCodeWidget  # late: it loads a drawing library

    code = QrCodeWidget(link, barLevel="M").qr
    code.make()
    n = code.getModuleCount()
    return tuple(tuple(bool(code.isDark(r, c)) for c in range(n)) for r in range(n))


# --- pictures of clues ---------------------------------------------------------------------------


def is_picture(drawings: Sequence[Drawing], book: Book) -> bool:
    """Whether some drawings are together the picture of a puzzle's clues."""
    boxes = [_box(track) for d in drawings for track in d.tracks]
    return len({d.fill for d in drawings}) == 1 and any(_shows(boxes, e) for e in book.entries)


def _shows(boxes: Sequence[Box], entry: Entry) -> bool:
    n, clues = entry.puzzle.size, entry.puzzle.clues
    if len(boxes) != n * n:
        return False
    xs, ys = [(b[0] + b[2]) / 2 for b in boxes], [(b[1] + b[3]) / 2 for b in boxes]
    left, top = min(xs), max(ys)
    cell = (max(xs) - left) / (n - 1)
    found = {}
    for x, y, box in zip(xs, ys, boxes, strict=True):
        column, row = (x - left) / cell, (top - y) / cell
        found[round(row) * n + round(column)] = (box[2] - box[0], box[3] - box[1])
        if abs(row - round(row)) + abs(column - round(column)) > 0.1:
            return False
    for k, digit in enumerate(clues):
        side = 2 * cell * (SOLID + GROWS * digit / n if digit else SPECK)
        wide, high = found.get(k, (0.0, 0.0))
        if abs(wide - side) > 0.3 or abs(high - side) > 0.3:
            return False
    return True


# --- strips --------------------------------------------------------------------------------------


def check_strips(
    items: Sequence[Item], boxes: Sequence[Drawing], book: Book
) -> tuple[list[Drawing], list[Finding]]:
    """A strip under an answer tells its solve step by step. Gives the drawings of strips."""
    known: list[Drawing] = []
    findings = []
    for item in items:
        match = due(book, item)
        if not match or not item.lattice:
            continue
        mine = [d for d in boxes if item.holds(*_middle(d))]
        known += mine
        if mine and not _tells(mine, item.lattice.box, match[0].ways):
            told = "the strip under it is not that of its solve"
            findings.append(
                Finding("mark-stray", told, item.page, (), item.number, match[0].puzzle.id)
            )
    return known, findings


def _tells(drawings: Sequence[Drawing], grid: Box, ways: Sequence[int]) -> bool:
    bars = sorted((_box(t), _is_black(d)) for d in drawings for t in d.tracks)
    if len(bars) != len(ways) or not ways:
        return False
    pitch = (grid[2] - grid[0]) / len(ways)
    foot = bars[0][0][1]
    for k, ((box, black), count) in enumerate(zip(bars, ways, strict=True)):
        left, high = grid[0] + k * pitch, STRIP * min(count, MOST) / MOST
        due_box = (left, foot, left + pitch * BAR, foot + high)
        if any(abs(a - b) > 0.15 for a, b in zip(box, due_box, strict=True)):
            return False
        if count == 1 and not black:
            return False
    return (
        len({black for (_, black), c in zip(bars, ways, strict=True) if c > 1}) < 2
        and foot < grid[1]
        and grid[1] - foot < 2 * STRIP
    )
