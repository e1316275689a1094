"""Draft: the pages of a book while they are being planned.

A page reference is planned before the page that it names; its number is set when all pages are
there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from itertools import islice

from packbuilder.book.wording import month_name
from packbuilder.editions import PRINT, Edition
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, paragraph, text_line
from packbuilder.pages.faults import CannotSet, Fault, Source
from packbuilder.pages.flow import Rooms, even, fitting, in_rows, openings, paged
from packbuilder.pages.page_design import LEADING, PageDesign, left_text, resolved, right_text
from packbuilder.pages.prose import cut, tidy
from packbuilder.plan.items import (
    FURNITURE,
    Bookmark,
    Destination,
    Item,
    Page,
    Reference,
    Strokes,
    Tag,
)
from packbuilder.plan.painting import paragraphs
from packbuilder.puzzle import Pack
from packbuilder.typography.typeface import width

BLANK = "This page is left blank on purpose."
"""What a bare page says, so that nobody looks for what is missing."""
NOTES = "Notes"
"""The section of what is said of puzzles and had no room beside them."""


class Draft:
    """Pages, the last of them open. ``y`` is where the next block goes on the open page.

    ``faults`` are what could not be set so far; ``noted`` the numbers of the puzzles of which
    something stands on a page of notes.

    ``floors`` are the least numbers of pages of sections, by name: a shorter section is filled up.
    """

    def __init__(
        self,
        sheet: PageDesign,
        pack: Pack,
        edition: Edition = PRINT,
        floors: Mapping[str, int] | None = None,
        noted: Iterable[int] = (),
    ) -> None:
        self.sheet = sheet
        self.edition = edition
        self.bookmarks: list[Bookmark] = []
        self.faults: list[Fault] = []
        self.noted = set(noted)
        self.y = sheet.top
        self._floors = floors or {}
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
    def _mirrored(self) -> bool:
        """Whether the open page's outer edge is its left one."""
        return self.edition.facing and self.folio % 2 == 0

    @property
    def left(self) -> float:
        """Left edge of the open page's text area."""
        return self.sheet.left(self.folio)

    @property
    def room(self) -> float:
        """What is left of the open page's text area."""
        return self.y - self.sheet.bottom

    @contextmanager
    def going_on(self) -> Iterator[None]:
        """Keep what cannot be set in here, to be told with all else, and go on behind it."""
        try:
            yield
        except CannotSet as found:
            self.faults += found.faults

    def add(self, items: Sequence[Item]) -> None:
        """Put items on the open page."""
        self._pages[-1][1].extend(items)

    def bookmark(self, title: str, to: str, level: int = 0) -> None:
        """Add a line to the outline."""
        self.bookmarks.append(Bookmark(title, to, level))

    def begin(self, section: str, lead: str | None = None) -> None:
        """Begin a section on a new page, its name set large over ``lead``; None: not set large."""
        name = "section-" + section.lower().replace(" ", "-")
        self.fill_up()
        if lead is None:
            self._new_page(section, head=True)
        else:
            self._new_page(section, head=False)
            self._open(section, lead)
        self.add([Destination(name, self.left, self.sheet.height)])
        self.bookmark(section, name)

    def turn(self) -> None:
        """Go on to a new page of the same section."""
        self._new_page(self._pages[-1][0], head=True)

    def fill_up(self) -> None:
        """Add bare pages until the open section has its least number."""
        if self._pages:
            section = self._pages[-1][0]
            count = sum(name == section for name, _ in self._pages)
            for _ in range(count, self._floors.get(section, 0)):
                self.turn_bare()

    def turn_bare(self) -> None:
        """Go on to a page that nothing will stand on, and which says so."""
        self.turn()
        sheet = self.sheet
        face, size = sheet.faces.italic, sheet.least.text
        x = self.left + (sheet.measure - width(BLANK, face, size)) / 2
        self.add([left_text(x, sheet.height / 2, BLANK, face, size, "quiet", FURNITURE)])

    def turn_over(self) -> None:
        """Add a bare page where the next one would face this one."""
        self.fill_up()
        if self.folio % 2 == 0:
            self.turn_bare()

    def bare(self, section: str) -> None:
        """A page without head or foot: the cover."""
        self._pages.append((section, []))
        self.y = self.sheet.top

    def running(self, words: str) -> None:
        """Put words at the inner end of the open page's running head, as many as have room."""
        sheet = self.sheet
        face, size = sheet.faces.label, sheet.type.furniture
        section, _ = self._pages[-1]
        words = cut(words, face, size, sheet.measure - width(section, face, size) - 8 * MM)
        set_text, x = left_text, self.left
        if self._mirrored:
            set_text, x = right_text, self.left + sheet.measure
        self.add([set_text(x, sheet.head, words, face, size, "quiet", FURNITURE, quoted=True)])

    def place(self, block: Block) -> None:
        """Put a block on the open page, at its left, and go down by its height."""
        self.add(block.draw(self.left, self.y))
        self.y -= block.height

    def flow(self, blocks: Sequence[Block], offset: float = 0.0) -> None:
        """Put blocks one under another, over as many pages as they need.

        Text is broken between lines; what is marked to be kept goes with what follows it.
        """
        for k, page in enumerate(paged(blocks, self.rooms, self.too_high)):
            if k:
                self.turn()
            for block in page:
                self.add(block.draw(self.left + offset, self.y))
                self.y -= block.height

    def pages_for(self, blocks: Sequence[Block]) -> int:
        """How many pages ``flow`` would need for the blocks, the open one included."""
        return len(paged(blocks, self.rooms, self.too_high))

    def columns(self, blocks: Sequence[Block], count: int, gaps: tuple[float, float]) -> None:
        """Put blocks in columns, down each column first, of about one height on all pages."""
        across, down = gaps
        wide = (self.sheet.measure - (count - 1) * across) / count
        rest = list(blocks)
        highest = max(block.height for block in blocks)
        if highest > self.sheet.depth:
            raise self.too_high(highest)
        most = even(rest, count, self.rooms, down)
        while rest:
            room = min(most, self.room)
            taken = fitting(rest, count, room, down)
            column, y, lowest = 0, self.y, self.y
            for block in rest[:taken]:
                if self.y - y + block.height > room + 0.01:
                    column, y = column + 1, self.y
                self.add(block.draw(self.left + column * (wide + across), y))
                y -= block.height + down
                lowest = min(lowest, y)
            rest = rest[taken:]
            self.y = lowest
            if rest:
                self.turn()

    def rows(self, blocks: Sequence[Block], count: int, gaps: tuple[float, float]) -> None:
        """Put blocks in rows of ``count`` columns; a block may take several columns."""
        across, down = gaps
        step = (self.sheet.measure + across) / count
        rows = in_rows(blocks, count)
        heights = [max(block.height for block in row) for row in rows]
        left = iter(zip(rows, heights, strict=True))
        for k, taken in enumerate(openings(heights, self.rooms, down, self.too_high)):
            if k:
                self.turn()
            for row, height in islice(left, taken):
                column = 0
                for block in row:
                    self.add(block.draw(self.left + column * step, self.y))
                    column += block.columns
                self.y -= height + down

    def pages(self) -> tuple[Page, ...]:
        """The finished pages, their references resolved."""
        folios = {
            item.name: folio
            for folio, (_, items) in enumerate(self._pages, start=1)
            for item in items
            if isinstance(item, Destination)
        }
        return tuple(
            Page(
                folio,
                section,
                paragraphs(_told(items, folios, underlined=self.edition.fields)),
                self.sheet.stamp_at(folio),
            )
            for folio, (section, items) in enumerate(self._pages, start=1)
        )

    @property
    def rooms(self) -> Rooms:
        """The heights of what is left of the open page, and of every later one."""
        return self.room, self.sheet.depth

    def too_high(self, height: float) -> CannotSet:
        """The error to raise where something of a height has no room on any page."""
        sheet, section = self.sheet, self._pages[-1][0]
        over = max((height - sheet.depth) / MM, 0.1)
        return Source(f"{sheet.layout.file}: margins.{sheet.paper}").fault(
            f"the text area is {over:.1f} mm too low for what must stand on one page of {section}",
            "shorten what stands there, give smaller margins at top and bottom, or take larger "
            "paper",
            over,
        )

    def _new_page(self, section: str, head: bool) -> None:
        self._pages.append((section, []))
        sheet = self.sheet
        self.y = sheet.top
        face, size = sheet.faces.label, sheet.type.furniture
        left, right = self.left, self.left + sheet.measure
        outer, inner, outer_x, inner_x = right_text, left_text, right, left
        if self._mirrored:
            outer, inner, outer_x, inner_x = inner, outer, inner_x, outer_x
        begins = section not in (name for name, _ in self._pages[:-1])
        if head:  # where a section begins, it is its title too
            tag = Tag("H1") if begins else FURNITURE
            self.add([outer(outer_x, sheet.head, section, face, size, "quiet", tag)])
        strong, folio = sheet.faces.strong, str(self.folio)
        self.add([outer(outer_x, sheet.foot, folio, strong, size + 1, tag=FURNITURE)])
        self.add(
            [inner(inner_x, sheet.foot, self._footer, face, size, "quiet", FURNITURE, quoted=True)]
        )

    def _open(self, section: str, lead: str) -> None:
        sheet = self.sheet
        self.add([Strokes(2.2, ((self.left, self.y, self.left + sheet.measure, self.y),))])
        size = sheet.type.section
        self.place(gap(size * 0.55))
        self.place(text_line(section, sheet.faces.title, size, size * 1.1, tag=Tag("H1")))
        if lead:
            size = sheet.type.prose + 1.5
            self.place(gap(size * 0.5))
            leading = size * LEADING * 0.97
            measure = min(sheet.measure, 165 * MM)
            face = sheet.faces.italic
            self.place(paragraph(lead, face, size, measure, leading=leading, quoted=True))
        self.place(gap((7 if lead else 5) * MM))


def _told(items: Iterable[Item], folios: Mapping[str, int], *, underlined: bool) -> Iterator[Item]:
    """The items with the numbers of the pages that they refer to; on a screen, underlined."""
    for item in items:
        if isinstance(item, Reference):
            yield from resolved(item, folios[item.to], underlined=underlined)
        else:
            yield item
