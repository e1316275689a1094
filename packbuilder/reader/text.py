"""The text of pages: lines, running heads, folios, and the captions that name each grid."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from packbuilder.reader.marks import Box, Glyph

COVER = "Cover"
CONTENTS, FOREWORD, HOW_TO_PLAY = "Contents", "Foreword", "How to play"
PRIMER, FULL_PACK = "Primer", "The full pack"
RULES, IDEAS = "The rules", "Ideas in the hints"
PUZZLES, NOTES, ANSWERS, CREDITS = "Puzzles", "Notes", "Answers", "Credits"
BACK_COVER = "Back cover"
TIERS = ("First hints", "Second hints", "Third hints")
ORDER = (COVER, CONTENTS, FOREWORD, HOW_TO_PLAY, PRIMER, PUZZLES, NOTES, RULES, *TIERS[:2], IDEAS,
         TIERS[2], ANSWERS, FULL_PACK, CREDITS, BACK_COVER)  # fmt: skip

CAPTION_ABOVE = 60.0
"""A caption stands within so many points above its grid."""
GAP = 1.4
"""A gap wider than this (ems) parts two pieces of text on one line."""

_NUMBER = re.compile(r"(\d+)(?=\s|$)")
_FRAME = re.compile(r"(\d) [^\W\d]+")
_HINT = re.compile(r"Hint (\d+)(?:\.(\d+))?(?=\s|$)")


@dataclass(frozen=True)
class Run:
    """Glyphs that stand together on one baseline: a piece of a line of text."""

    glyphs: tuple[Glyph, ...]

    @cached_property
    def text(self) -> str:
        """Its characters, with a blank wherever there is a gap."""
        parts: list[str] = []
        before: Glyph | None = None
        for g in self.glyphs:
            if before and g.x0 - before.x1 > 0.15 * g.size and parts[-1] != " " and g.text != " ":
                parts.append(" ")
            parts.append(g.text)
            before = g
        return " ".join("".join(parts).split())

    @property
    def x0(self) -> float:
        """Its left end."""
        return self.glyphs[0].x0

    @property
    def x1(self) -> float:
        """Its right end."""
        return self.glyphs[-1].x1

    @property
    def y(self) -> float:
        """Its baseline."""
        return self.glyphs[0].y

    @cached_property
    def size(self) -> float:
        """Its largest type."""
        return max(g.size for g in self.glyphs)

    @cached_property
    def box(self) -> Box:
        """Left, bottom, right, top, by line height."""
        return self.x0, min(g.y0 for g in self.glyphs), self.x1, max(g.y1 for g in self.glyphs)


@dataclass(frozen=True)
class Caption:
    """Text that names an item of the book: its number and, on hint pages, which hint it is."""

    number: int
    part: int | None
    run: Run


def runs_of(glyphs: Iterable[Glyph]) -> tuple[Run, ...]:
    """The runs of a page, from the top, left to right."""
    runs: list[Run] = []
    for line in _baselines(glyphs):
        piece: list[Glyph] = []
        for glyph in sorted(line, key=lambda g: g.x0):
            if piece and glyph.x0 - piece[-1].x1 > GAP * max(glyph.size, piece[-1].size):
                runs += _run(piece)
                piece = []
            piece.append(glyph)
        runs += _run(piece)
    return tuple(runs)


def _baselines(glyphs: Iterable[Glyph]) -> Iterable[list[Glyph]]:
    line: list[Glyph] = []
    for glyph in sorted(glyphs, key=lambda g: -g.y):
        if line and line[0].y - glyph.y > 0.5:
            yield line
            line = []
        line.append(glyph)
    yield line


def _run(glyphs: Sequence[Glyph]) -> list[Run]:
    inked = [k for k, g in enumerate(glyphs) if g.text.strip()]
    return [Run(tuple(glyphs[inked[0] : inked[-1] + 1]))] if inked else []


def body(runs: Sequence[Run]) -> list[Run]:
    """The runs of a page, which are in order, between its first line and its last."""
    return [r for r in runs if runs[-1].y + 0.5 < r.y < runs[0].y - 0.5]


def columns(runs: Iterable[Run]) -> list[str]:
    """The plain words of runs that begin at one left edge, from the top: a text for each edge.

    What follows a number at the head of a run may go on at an edge of its own.
    """
    runs = list(runs)
    runs += [rest for rest in map(_after_number, runs) if rest]
    edges: list[list[Run]] = []
    for run in sorted(runs, key=lambda r: r.glyphs[0].x):
        if not edges or run.glyphs[0].x - edges[-1][0].glyphs[0].x > 0.5:
            edges.append([])
        edges[-1].append(run)
    ordered = (sorted(edge, key=lambda r: -r.y) for edge in edges)
    return [plain("".join(run.text for run in edge)) for edge in ordered]


def _after_number(run: Run) -> Run | None:
    number = re.match(r"\d+ ", run.text)
    if not number:
        return None
    rest = run.glyphs[number.end() - 1 :]
    return Run(rest[1:] if rest[0].text.isspace() else rest)


def section_of(number: int, runs: Sequence[Run], *, facing: bool = True) -> str:
    """The section that a page belongs to: page 1 is the cover, else its running head.

    Beside the section, at the inner end of the line, the head of a puzzle page names its puzzles:
    at the left end where no pages are ``facing``.
    """
    if number == 1:
        return COVER
    head = [r for r in runs if abs(r.y - runs[0].y) <= 0.5]
    outer = head[-1 if number % 2 or not facing else 0] if head else None
    if outer and outer.text == PUZZLES:
        return PUZZLES
    return " ".join(r.text for r in head)


def folio_of(runs: Sequence[Run], number: int, *, facing: bool = True) -> int | None:
    """The page number printed in the footer: alone on its line or at its outer end."""
    if not runs:
        return None
    foot = [r for r in runs if abs(r.y - runs[-1].y) <= 0.5]
    words = " ".join(r.text for r in foot).split()
    outer = words[-1] if number % 2 or not facing else words[0]
    return int(outer) if outer.isdecimal() else None


def caption_above(
    runs: Iterable[Run], box: Box, *, hint: bool, band: float = 0.0
) -> Caption | None:
    """The caption of a grid; None where there is none.

    It is the nearest line that begins with a number (or ``Hint`` and a number), left-aligned with
    the grid, or with the ``band`` of clues at its left, where it has one of that width.
    """
    left, _, _, top = box
    above = [
        r
        for r in runs
        if top - 1 <= r.y <= top + CAPTION_ABOVE
        and min(abs(r.x0 - left), abs(r.x0 - left + band)) <= 3
    ]
    captions = (caption_in(run, hint=hint) for run in sorted(above, key=lambda r: r.y))
    return next((caption for caption in captions if caption), None)


def run_above(runs: Iterable[Run], box: Box) -> Run | None:
    """The nearest line above a box that begins at its left edge."""
    left, _, _, top = box
    above = [r for r in runs if top - 1 <= r.y <= top + CAPTION_ABOVE and abs(r.x0 - left) <= 3]
    return min(above, key=lambda r: r.y, default=None)


def frame_number(runs: Iterable[Run], box: Box) -> int | None:
    """The number of the heading right above a grid, or at the right of its upper edge."""
    left, _, right, top = box
    found = []
    for run in runs:
        number = _FRAME.fullmatch(run.text)
        over = 0 <= run.y - top <= CAPTION_ABOVE and 0 <= run.x0 - left <= run.size
        aside = run.x0 > right and abs(top - run.y) <= 2 * run.size
        if number and (over or aside):
            found.append((abs(run.y - top), int(number[1])))
    return min(found)[1] if found else None


def caption_in(run: Run, *, hint: bool) -> Caption | None:
    """The caption that a run of text begins with, if any."""
    found = (_HINT if hint else _NUMBER).match(run.text)
    if not found:
        return None
    part = int(found[2]) if hint and found[2] else None
    return Caption(int(found[1]), part, run)


def beyond_number(caption: str) -> str:
    """What stands behind a caption's number."""
    return re.sub(r"^(Hint )?[\d.]+ ", "", caption)


def plain(text: str) -> str:
    """Words without their typography: for telling whether two texts say the same.

    Blanks go; curly quotes become straight ones, dashes, ellipses and fractions what is typed for
    them.
    """
    return re.sub("[-–—]+", "-", "".join(text.translate(_TYPED).split()))


_FRACTIONS = {
    sign: unicodedata.normalize("NFKD", sign).replace("\N{FRACTION SLASH}", "/")
    for sign in "½⅓⅔¼¾⅛⅜⅝⅞"
}
_QUOTES = {"“": '"', "”": '"', "‘": "'", "’": "'"}
_TYPED = str.maketrans({**_FRACTIONS, **_QUOTES, "…": "...", "\u00ad": ""})


def says(printed: str, wanted: str, *, cut: bool = True) -> bool:
    """True if the printed text is the wanted one or, where it may be ``cut``, a beginning of it
    that ends in ``…``."""
    seen, due = plain(printed), plain(wanted)
    head = seen.removesuffix("...")
    return seen == due or (cut and head not in ("", seen) and due.startswith(head))
