"""A press for tests only: prints a Book to the letter of the house style, and no better.

It shares nothing with the real pages. Every mark that it makes goes through a method that a test
may override to make a fault: ``digit``, ``edge``, ``caption``, ``reference``, ``aim``, ``plan``.
`rule_press` adds the shapes of rules.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import NamedTuple

from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import PDFDictionary
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from packbuilder.book.book import Book, Entry
from packbuilder.grid import SYMBOLS, Geometry
from packbuilder.ladder.hints import Hint
from packbuilder.typography.fonts import font_file
from tests.readback.signed import signed

CLUE, SOLVED, TEXT = "SourceSansPro-Semibold", "SourceSansPro-Light", "SourceSerifPro-Regular"
WIDE, HIGH = A4
LEFT, TOP, FOOT = 60.0, HIGH - 60, 45.0
THIN, HEAVY = 0.6, 2.0
STYLES = ("batches", "forms", "rects", "naive")


@dataclass(frozen=True)
class Mark:
    """A digit about to be printed: its text, face and size, and the middle of its ink."""

    text: str
    x: float
    y: float
    size: float
    face: str
    grey: float = 0.0
    mode: int = 0
    matrix: tuple[float, float, float, float] = (1, 0, 0, 1)
    cover: float = 0.0  # which share of it, from the left, a white box lies over


@dataclass(frozen=True)
class Spot:
    """Where a digit goes: section, puzzle, which hint, cell, and whether it is a candidate."""

    section: str
    number: int
    part: int
    cell: int
    candidate: bool = False


class Place(NamedTuple):
    """Where a grid stands: whose it is, its upper left corner, and the side of a cell."""

    section: str
    entry: Entry
    left: float
    top: float
    pitch: float


class Press:
    """Prints a book. ``style`` is how lines are drawn; it must make no difference."""

    def __init__(self, book: Book, style: str = "batches") -> None:
        self.book = book
        self.style = style
        self.large = any(e.puzzle.size > 9 for e in book.entries)

    # --- what a test may change ---

    def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
        return [mark]

    def edge(self, section: str, number: int, cells: tuple[int, int], width: float) -> float:
        """The width of the line between two cells (the frame has -1 for outside)."""
        return width

    def caption(self, section: str, number: int, text: str) -> str:
        return text

    def reference(self, name: str, page: int) -> int:
        """The page number printed for a link to ``name``."""
        return page

    def aim(self, section: str, name: str) -> str:
        """Where a link that says ``name`` leads."""
        return name

    def spot_of(self, name: str, x: float, y: float) -> tuple[float, float]:
        """Where on its page a named place points."""
        return x, y

    def plan(self) -> list[tuple[str, list[tuple[Entry, int]]]]:
        """The pages in order: section and the (entry, hint) pairs that stand on it."""
        entries = self.book.entries
        told = [(e, k) for e in entries for k in range(len(e.hints))]
        pages: list[tuple[str, list[tuple[Entry, int]]]] = [
            ("Cover", []), ("Contents", []), ("How to play", []),
        ]  # fmt: skip
        pages += [("Puzzles", [(e, 0)]) for e in entries]
        some = [(e, 0) for e in entries if e.hints]
        for tier in ("First hints", "Second hints"):
            pages += [(tier, some[k : k + 6]) for k in range(0, len(some), 6)]
        most = 1 if self.large else 4
        pages += [("Third hints", told[k : k + most]) for k in range(0, len(told), most)]
        if len(pages) % 2 == 0 and pages[-1][0] == "Puzzles":
            pages.append(("Puzzles", []))
        answers = [(e, 0) for e in entries]
        most = 1 if self.large else 6
        pages += [("Answers", answers[k : k + most]) for k in range(0, len(answers), most)]
        return [*pages, ("Credits", [])]

    def after(self, section: str, canvas: Canvas) -> None:
        """Last marks on each page."""

    # --- room for the shapes of rules ---

    def bands(self, section: str, entry: Entry, side: float) -> tuple[float, float]:
        """Room above and below a grid for what stands outside it."""
        return 0.0, 0.0

    def under(self, place: Place) -> None:
        """What lies under the lines of a grid."""

    def over(self, place: Place) -> None:
        """What lies over the lines of a grid and under its digits."""

    def lattice(self, entry: Entry) -> tuple[float, float]:
        """Where the lattice of candidates begins and ends in the height of a cell."""
        return 0.0, 1.0

    def beside(self, entry: Entry, x: float) -> None:
        """More text in a puzzle's place."""

    def taught(self) -> None:
        """More text on the how-to-play page."""

    # --- the press itself ---

    def print(self) -> bytes:
        for face in (CLUE, SOLVED, "SourceSansPro-Regular", TEXT):
            if face not in pdfmetrics.getRegisteredFontNames():
                pdfmetrics.registerFont(TTFont(face, str(font_file(face)), asciiReadable=False))
        out = io.BytesIO()
        self.c = Canvas(out, pagesize=A4, invariant=1, initialFontName=TEXT, pageCompression=0)
        self.c.setTitle(self.book.pack.title)
        self.pages = self.plan()
        self.where: dict[str, int] = {}
        for number, (section, some) in enumerate(self.pages, start=1):
            for entry, part in some:
                if part == 0:
                    self.where.setdefault(self.name_of(section, entry.number), number)
        outlined: set[str] = set()
        for number, (section, some) in enumerate(self.pages, start=1):
            self.number = number
            if section not in outlined:
                outlined.add(section)
                self.c.bookmarkPage(f"section-{section}")
                self.c.addOutlineEntry(section, f"section-{section}", 0)
            self.page(section, some)
            self.after(section, self.c)
            self.c.showPage()
        self.c.addPageLabel(0, prefix="Cover")
        self.c.addPageLabel(1, style="ARABIC", start=2)
        names = {name: self.c._bookmarkReference(name) for name in self.where}
        self.c._doc._catalog.Dests = PDFDictionary(names)
        self.c.save()
        return signed(out.getvalue(), self.book)

    @staticmethod
    def name_of(section: str, number: int) -> str:
        tiers = {"First hints": 1, "Second hints": 2, "Third hints": 3}
        if section in tiers:
            return f"hint-{number}-{tiers[section]}"
        return {"Puzzles": "puzzle", "Answers": "answer"}.get(section, "x") + f"-{number}"

    def page(self, section: str, some: list[tuple[Entry, int]]) -> None:
        if section == "Cover":
            self.text(LEFT, TOP - 100, self.book.pack.title, 40)
            return
        self.text(LEFT, TOP, section, 12)
        self.text(WIDE - LEFT - 20 if self.number % 2 else LEFT, FOOT, str(self.number), 9)
        if section == "Contents":
            for k, entry in enumerate(self.book.entries):
                self.contents_line(TOP - 40 - 18 * k, entry)
        elif section == "Credits":
            self.text(LEFT, TOP - 40, "Set in open faces.", 10)
        elif section == "How to play":
            self.text(LEFT, TOP - 40, "Each row holds each digit once.", 11)
            self.taught()
        for k, (entry, part) in enumerate(some):
            self.item(section, entry, part, k)

    def contents_line(self, y: float, entry: Entry) -> None:
        self.text(LEFT, y, f"{entry.number} {entry.puzzle.title}", 11)
        x = 330.0
        for section in ("Puzzles", "First hints", "Answers"):
            name = self.name_of(section, entry.number)
            if name in self.where:
                self.link("Contents", x, y, "", name, 11)
                x += 60

    def item(self, section: str, entry: Entry, part: int, k: int) -> None:
        n = entry.number
        hint = entry.hints[part] if section == "Third hints" else None
        many = len(entry.hints) > 1
        label = (
            f"Hint {n}" + (f".{part + 1}" if many else "") if hint else f"{n} {entry.puzzle.title}"
        )
        x, y, side = self.place_for(section, k)
        if part == 0:
            spot = self.spot_of(self.name_of(section, n), x, y + 20)
            self.c.bookmarkPage(
                self.name_of(section, n), fit="XYZ", left=spot[0], top=spot[1], zoom=0
            )
            if section == "Puzzles":
                self.c.addOutlineEntry(f"{n}  {entry.puzzle.title}", self.name_of(section, n), 1)
        self.text(x, y, self.caption(section, n, label), 11)
        above, below = self.bands(section, entry, side)
        top = y - 12 - above
        if section == "Puzzles":
            self.text(x, 110, f"set by {entry.puzzle.setter}", 10)
            if entry.hints:
                self.link(section, x, 90, "Hints: page ", f"hint-{n}-1")
            self.link(section, x + 200, 90, "Answer: page ", f"answer-{n}")
            self.grid(section, entry, part, entry.puzzle.clues, x, top, side)
            self.beside(entry, x)
        elif section == "Answers":
            self.grid(section, entry, part, entry.solution, x, top, side)
            self.link(section, x, y - side - 26, "Puzzle: page ", f"puzzle-{n}")
        elif section == "Third hints":
            assert hint is not None
            self.grid(section, entry, part, hint.position, x, top, side, hint)
            self.wrapped(x, y - above - side - below - 28, hint.told, 42)
        else:
            first = section == "First hints"
            for k, one in enumerate(entry.hints, start=1):
                words = f"{n}.{k} " if many else ""
                self.text(x + 20, y - 15 * k, words + (one.where if first else one.idea), 9.5)
            self.link(section, x, y - 75, "More: page ", f"hint-{n}-{2 if first else 3}")

    def place_for(self, section: str, k: int) -> tuple[float, float, float]:
        """Left, caption's baseline, and the grid's side, of the k-th item of a page."""
        if section == "Puzzles":
            return LEFT, TOP - 90, 450
        if self.large and section in ("Third hints", "Answers"):
            return LEFT, TOP - 90, 400
        if section == "Third hints":
            return LEFT + 250 * (k % 2), TOP - 30 - 340 * (k // 2), 216
        if section == "Answers":
            return LEFT + 250 * (k % 2), TOP - 30 - 230 * (k // 2), 180
        return LEFT, TOP - 40 - 100 * k, 0

    def text(self, x: float, y: float, words: str, size: float, face: str = TEXT) -> None:
        self.c.setFont(face, size)
        self.c.drawString(x, y, words)

    def wrapped(self, x: float, y: float, words: str, width: int) -> None:
        line = ""
        for word in words.split():
            if len(line) + len(word) > width:
                self.text(x, y, line, 9.5)
                y, line = y - 12, ""
            line = f"{line} {word}".strip()
        self.text(x, y, line, 9.5)

    def link(
        self, section: str, x: float, y: float, words: str, name: str, size: float = 9.5
    ) -> None:
        if name not in self.where:
            return
        shown = f"{words}{self.reference(name, self.where[name])}"
        self.text(x, y, shown, size)
        width = self.c.stringWidth(shown, TEXT, size)
        box = (x, y - 2, x + width, y + 9)
        self.c.linkRect("", self.aim(section, name), box, relative=0, thickness=0)

    # --- grids ---

    def grid(
        self,
        section: str,
        entry: Entry,
        part: int,
        values: Iterable[int],
        left: float,
        top: float,
        side: float,
        hint: Hint | None = None,
    ) -> None:
        n = entry.puzzle.size
        pitch = side / n
        if hint:
            acts = {cell for cell, _ in (*hint.step.places, *hint.step.removes)}
            self.shade(sorted(set(hint.step.cells) - acts), n, left, top, pitch)
            self.stripe(sorted(acts), n, left, top, pitch)
        place = Place(section, entry, left, top, pitch)
        self.under(place)
        self.lines(section, entry.number, entry.puzzle.geometry, left, top, pitch)
        self.over(place)
        for cell, value in enumerate(values):
            if value:
                face = CLUE if entry.puzzle.clues[cell] else SOLVED
                x = left + (cell % n + 0.5) * pitch
                y = top - (cell // n + 0.5) * pitch
                mark = Mark(SYMBOLS[value], x, y, pitch * 0.55, face)
                for one in self.digit(Spot(section, entry.number, part, cell), mark):
                    self.stamp(one)
        if hint:
            self.candidates(entry, part, left, top, pitch, hint)

    def shade(self, cells: list[int], n: int, left: float, top: float, pitch: float) -> None:
        """Grey where a step rests."""
        self.c.setFillGray(0.88)
        for cell in cells:
            row, column = divmod(cell, n)
            self.c.rect(left + column * pitch, top - (row + 1) * pitch, pitch, pitch,
                        stroke=0, fill=1)  # fmt: skip
        self.c.setFillGray(0)

    def stripe(self, cells: list[int], n: int, left: float, top: float, pitch: float) -> None:
        """Slanted bands where a step acts: a path a cell, rising to the right at 45 degrees."""
        self.c.setFillGray(0.85)
        for cell in cells:
            row, column = divmod(cell, n)
            x, y = left + column * pitch, top - (row + 1) * pitch
            path = self.c.beginPath()
            for k in (0.25, 0.75, 1.25, 1.75):  # x + y from k - .125 to k + .125, in cells
                low, high = k - 0.125, k + 0.125
                ring = [(max(0, v - 1), min(v, 1)) for v in (low, high)]
                ring += [(b, a) for a, b in reversed(ring)]
                for j, (a, b) in enumerate(ring):
                    (path.lineTo if j else path.moveTo)(x + a * pitch, y + b * pitch)
                path.close()
            self.c.drawPath(path, stroke=0, fill=1)
        self.c.setFillGray(0)

    def candidates(
        self, entry: Entry, part: int, left: float, top: float, pitch: float, hint: Hint
    ) -> None:
        n = entry.puzzle.size
        side = 3 if n <= 9 else 4
        first, last = self.lattice(entry)
        for cell, values in hint.shown:
            for value in values:
                row, column = divmod(value - 1, side)
                x = left + (cell % n + (column + 0.5) / side) * pitch
                y = top - (cell // n + first + (row + 0.5) / side * (last - first)) * pitch
                size = max(5.0, pitch * 0.8 / side * (last - first))
                mark = Mark(SYMBOLS[value], x, y, size, "SourceSansPro-Regular")
                spot = Spot("Third hints", entry.number, part, cell, candidate=True)
                for one in self.digit(spot, mark):
                    self.stamp(one)
                if (cell, value) in hint.struck:
                    self.c.setLineWidth(0.5)
                    self.c.line(x - size * 0.3, y - size * 0.3, x + size * 0.3, y + size * 0.3)

    def stamp(self, mark: Mark) -> None:
        """Print one digit with its ink's middle at the mark's point."""
        from PIL import ImageFont

        font = ImageFont.truetype(str(font_file(mark.face)), 1000)
        x0, y0, x1, y1 = font.getbbox(mark.text, anchor="ls")
        dx, dy = -(x0 + x1) / 2000 * mark.size, (y0 + y1) / 2000 * mark.size
        a, b, c, d = mark.matrix
        t = self.c.beginText()
        t.setFont(mark.face, mark.size)
        t.setFillGray(mark.grey)
        t.setTextRenderMode(mark.mode)
        t.setTextTransform(a, b, c, d, mark.x + a * dx + c * dy, mark.y + b * dx + d * dy)
        t.textOut(mark.text)
        t.setTextRenderMode(0)
        t.setFillGray(0)
        self.c.drawText(t)
        if mark.cover:
            self.c.setFillGray(1)
            half = mark.size * 0.45
            self.c.rect(
                mark.x - half, mark.y - half, 2 * half * mark.cover, 2 * half, stroke=0, fill=1
            )
            self.c.setFillGray(0)

    def lines(
        self, section: str, number: int, geometry: Geometry, left: float, top: float, pitch: float
    ) -> None:
        pieces = self.pieces(section, number, geometry, left, top, pitch)
        if self.style == "forms":
            name = f"grid-{number}-{self.number}-{left:.0f}-{top:.0f}"
            self.c.beginForm(name, 0, 0, WIDE, HIGH)
            self.draw(pieces)
            self.c.endForm()
            self.c.doForm(name)
        elif self.style == "rects":  # cells as rectangles, then heavy pieces over them
            self.c.setLineWidth(min(w for *_, w in pieces if w > 0))
            n = geometry.size
            skipped = {p[:4] for p in pieces if p[4] <= 0}
            for cell in range(n * n if not skipped else 0):
                row, column = divmod(cell, n)
                self.c.rect(left + column * pitch, top - (row + 1) * pitch, pitch, pitch)
            self.draw(pieces)
        else:
            self.draw(pieces)

    def pieces(
        self, section: str, number: int, geometry: Geometry, left: float, top: float, pitch: float
    ) -> list[tuple[float, float, float, float, float]]:
        """Each cell edge as x0 y0 x1 y1 width."""
        n, regions = geometry.size, geometry.regions
        found = []
        for k in range(n + 1):
            for j in range(n):
                a, b = (k - 1) * n + j if k else -1, k * n + j if k < n else -1
                w = self.width(section, number, regions, a, b)
                y = top - k * pitch
                found.append((left + j * pitch, y, left + (j + 1) * pitch, y, w))
                a, b = j * n + k - 1 if k else -1, j * n + k if k < n else -1
                w = self.width(section, number, regions, a, b)
                x = left + k * pitch
                found.append((x, top - j * pitch, x, top - (j + 1) * pitch, w))
        return found

    def width(
        self, section: str, number: int, regions: tuple[int, ...] | None, a: int, b: int
    ) -> float:
        border = -1 in (a, b) or (regions is not None and regions[a] != regions[b])
        return self.edge(section, number, (a, b), HEAVY if border else THIN)

    def draw(self, pieces: list[tuple[float, float, float, float, float]]) -> None:
        for width in sorted({p[4] for p in pieces if p[4] > 0}):
            self.c.setLineWidth(width)
            self.c.setLineCap(2 if width > 1 else 0)
            some = [p[:4] for p in pieces if p[4] == width]
            if self.style == "naive":
                for piece in some:
                    self.c.line(*piece)
            else:
                self.c.lines(joined(some))


def joined(pieces: list[tuple[float, ...]]) -> list[tuple[float, ...]]:
    """Pieces that follow one another on a line, made one stroke."""
    runs: list[tuple[float, ...]] = []
    for piece in sorted(pieces, key=lambda p: (p[0] == p[2], p[0] if p[0] == p[2] else p[1])):
        level = piece[1] == piece[3]
        if runs and abs(runs[-1][2] - piece[0]) < 0.01 and abs(runs[-1][3] - piece[1]) < 0.01 and (
            (runs[-1][1] == runs[-1][3]) is level
        ):  # fmt: skip
            runs[-1] = (*runs[-1][:2], *piece[2:])
        else:
            runs.append(piece)
    return runs


__all__ = ["Mark", "Place", "Press", "Spot", "replace"]
