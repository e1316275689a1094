"""Draft: the pages of a book while they are being planned.

A book is planned twice: the first time to learn on which page each named destination falls, the
second time to print those numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from packbuilder.errors import InputError
from packbuilder.pages.blocks import Block, gap, paragraph, split, text_line
from packbuilder.pages.items import Bookmark, Item, Mark, Page, Strokes
from packbuilder.pages.layout import MM
from packbuilder.pages.prose import cut, month_name, tidy
from packbuilder.pages.sheet import LEADING, Sheet, left_text, right_text
from packbuilder.puzzle import Pack

UNKNOWN = "00"
"""Stands for a page number in the first planning; as wide as most."""


class Draft:
    """Pages, the last of them open. ``y`` is where the next block goes on the open page."""

    def __init__(self, sheet: Sheet, pack: Pack, folios: Mapping[str, int]) -> None:
        self.sheet = sheet
        self.bookmarks: list[Bookmark] = []
        self.y = sheet.top
        self._folios = folios
        self._pack = pack
        self._pages: list[tuple[str, list[Item]]] = []
        face, size = sheet.faces.label, sheet.type.furniture
        line = f"{tidy(pack.title)} · {month_name(tidy(pack.issue))}"
        self._footer = cut(line, face, size, sheet.measure * 0.8)

    @property
    def pack(self) -> Pack:
        """The pack that is being printed."""
        return self._pack

    @property
    def folio(self) -> int:
        """The open page's number."""
        return len(self._pages)

    @property
    def left(self) -> float:
        """Left edge of the open page's text area."""
        return self.sheet.left(self.folio)

    @property
    def room(self) -> float:
        """What is left of the open page's text area."""
        return self.y - self.sheet.bottom

    def page_of(self, name: str) -> str:
        """The number of the page on which a named destination falls."""
        folio = self._folios.get(name)
        return UNKNOWN if folio is None else str(folio)

    def has(self, name: str) -> bool:
        """True if the book has that destination; in the first planning, always."""
        return not self._folios or name in self._folios

    def add(self, items: Sequence[Item]) -> None:
        """Put items on the open page."""
        self._pages[-1][1].extend(items)

    def bookmark(self, title: str, to: str, level: int = 0) -> None:
        """Add a line to the outline."""
        self.bookmarks.append(Bookmark(title, to, level))

    def begin(self, section: str, lead: str | None = None) -> None:
        """Begin a section on a new page, its name set large over ``lead``; None: not set large."""
        name = "section-" + section.lower().replace(" ", "-")
        if lead is None:
            self._new_page(section, head=True)
        else:
            self._new_page(section, head=False)
            self._open(section, lead)
        self.add([Mark(name, self.left, self.sheet.height)])
        self.bookmark(section, name)

    def turn(self) -> None:
        """Go on to a new page of the same section."""
        self._new_page(self._pages[-1][0], head=True)

    def bare(self, section: str) -> None:
        """A page without head or foot: the cover."""
        self._pages.append((section, []))
        self.y = self.sheet.top

    def place(self, block: Block) -> None:
        """Put a block on the open page, at its left, and go down by its height."""
        self.add(block.draw(self.left, self.y))
        self.y -= block.height

    def flow(self, blocks: Sequence[Block], offset: float = 0.0) -> None:
        """Put blocks one under another, over as many pages as they need.

        Text is broken between lines; what is marked to be kept goes with what follows it.
        """
        rest = list(blocks)
        while rest:
            block = rest.pop(0)
            need = block.height
            if block.keep and rest:
                need += min(rest[0].height, sum(line.height for line in rest[0].lines[:2]) or 1e9)
            if need > self.room + 0.01:
                parts = split(block, self.room)
                if parts:
                    block, later = parts
                    rest.insert(0, later)
                elif self.y < self.sheet.top:
                    if need > self.sheet.depth:
                        raise _too_high(self.sheet)
                    self.turn()
                    if not block.lines and not block.keep and block.draw(0, 0) == []:
                        continue  # white is not carried over to a new page
                else:
                    raise _too_high(self.sheet)
            self.add(block.draw(self.left + offset, self.y))
            self.y -= block.height

    def pages_for(self, blocks: Sequence[Block]) -> int:
        """How many pages ``flow`` would need for the blocks, the open one included."""
        trial = Draft(self.sheet, self._pack, self._folios)
        trial.bare("")
        trial.y = self.y
        trial.flow(blocks)
        return len(trial._pages)

    def columns(self, blocks: Sequence[Block], count: int, gaps: tuple[float, float]) -> None:
        """Put blocks in columns, down each column first, of about one height on all pages."""
        across, down = gaps
        wide = (self.sheet.measure - (count - 1) * across) / count
        rest = list(blocks)
        if max(block.height for block in blocks) > self.room:
            raise _too_high(self.sheet)
        most = _even(rest, count, (self.room, self.sheet.depth), down)
        while rest:
            room = min(most, self.room)
            fitting = _fitting(rest, count, room, down)
            column, y, lowest = 0, self.y, self.y
            for block in rest[:fitting]:
                if self.y - y + block.height > room + 0.01:
                    column, y = column + 1, self.y
                self.add(block.draw(self.left + column * (wide + across), y))
                y -= block.height + down
                lowest = min(lowest, y)
            rest = rest[fitting:]
            self.y = lowest
            if rest:
                self.turn()

    def rows(self, blocks: Sequence[Block], count: int, gaps: tuple[float, float]) -> None:
        """Put blocks in rows of ``count`` columns; a block may take several columns."""
        across, down = gaps
        step = (self.sheet.measure + across) / count
        for row in _rows(blocks, count):
            height = max(block.height for block in row)
            if height > self.room + 0.01:
                if self.y >= self.sheet.top or height > self.sheet.depth:
                    raise _too_high(self.sheet)
                self.turn()
            column = 0
            for block in row:
                self.add(block.draw(self.left + column * step, self.y))
                column += block.columns
            self.y -= height + down

    def pages(self) -> tuple[Page, ...]:
        """The finished pages."""
        return tuple(
            Page(folio, section, tuple(items))
            for folio, (section, items) in enumerate(self._pages, start=1)
        )

    def folios(self) -> dict[str, int]:
        """On which page each named destination stands."""
        return {
            item.name: page.folio
            for page in self.pages()
            for item in page.items
            if isinstance(item, Mark)
        }

    def _new_page(self, section: str, head: bool) -> None:
        self._pages.append((section, []))
        sheet = self.sheet
        self.y = sheet.top
        face, size, grey = sheet.faces.label, sheet.type.furniture, sheet.greys.quiet
        left, right = self.left, self.left + sheet.measure
        odd = self.folio % 2
        outer, inner = (right_text, left_text) if odd else (left_text, right_text)
        outer_x, inner_x = (right, left) if odd else (left, right)
        if head:
            self.add([outer(outer_x, sheet.head, section, sheet.faces.label, size, grey)])
        self.add([outer(outer_x, sheet.foot, str(self.folio), sheet.faces.strong, size + 1)])
        self.add([inner(inner_x, sheet.foot, self._footer, face, size, grey)])

    def _open(self, section: str, lead: str) -> None:
        sheet = self.sheet
        self.add([Strokes(2.2, ((self.left, self.y, self.left + sheet.measure, self.y),))])
        size = sheet.type.section
        self.place(gap(size * 0.55))
        self.place(text_line(section, sheet.faces.title, size, size * 1.1))
        if lead:
            size = sheet.type.prose + 1.5
            self.place(gap(size * 0.5))
            leading = size * LEADING * 0.97
            measure = min(sheet.measure, 165 * MM)
            self.place(paragraph(lead, sheet.faces.italic, size, measure, leading=leading))
        self.place(gap((7 if lead else 5) * MM))


def _fitting(blocks: Sequence[Block], count: int, room: float, down: float) -> int:
    """How many of the blocks fit in so many columns of that height."""
    column, used = 0, 0.0
    for k, block in enumerate(blocks):
        if used + block.height > room + 0.01:
            column, used = column + 1, 0.0
            if column == count or block.height > room + 0.01:
                return k
        used += block.height + down
    return len(blocks)


def _even(blocks: Sequence[Block], count: int, rooms: tuple[float, float], down: float) -> float:
    """The least column height, to a point, that needs no more pages than full columns would.

    ``rooms`` are the heights of the first page and of every later one.
    """

    def pages(most: float) -> int:
        done, needed = 0, 0
        while done < len(blocks):
            room = min(most, rooms[min(needed, 1)])
            done += _fitting(blocks[done:], count, room, down)
            needed += 1
        return needed

    low, high = max(block.height for block in blocks), max(rooms)
    fewest = pages(high)
    while high - low > 1:
        middle = (low + high) / 2
        if pages(middle) == fewest:
            high = middle
        else:
            low = middle
    return high


def _rows(blocks: Sequence[Block], count: int) -> list[list[Block]]:
    rows: list[list[Block]] = []
    taken = count
    for block in blocks:
        if taken + block.columns > count:
            rows.append([])
            taken = 0
        rows[-1].append(block)
        taken += block.columns
    return rows


def _too_high(sheet: Sheet) -> InputError:
    return InputError(
        f"{sheet.layout.file}: margins.{sheet.paper}: the text area is too low for what must stand "
        "on one page; give smaller margins at top and bottom, or take larger paper"
    )
