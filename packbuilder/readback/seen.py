"""The first proof: what a reader sees is the book. Page by page, and then what joins the pages.

A page is read, judged and let go; what is kept of it is what its neighbours need.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from packbuilder.book import Book
from packbuilder.book.how_to_play import printed_words
from packbuilder.book.wording import month_name, promises
from packbuilder.grid import Values, cell_name
from packbuilder.puzzle import Grade
from packbuilder.readback import cases, grids, hint_marks, hint_signs, presence, rules
from packbuilder.readback.card_answers import CardAnswer, card_answers, check_card_answers
from packbuilder.readback.cells import check_cells
from packbuilder.readback.covers import check_cover
from packbuilder.readback.fields import check_fields
from packbuilder.readback.ink import check_grid_ink, check_text_ink, sizes_in_grids
from packbuilder.readback.lessons import Shown, Where, check_lessons, shown_of, trials
from packbuilder.readback.links import check_links
from packbuilder.readback.match import Match, has_corners, match
from packbuilder.readback.prose import PROSE, Told, check_prose, setters_lines, told_on
from packbuilder.readback.references import (
    Line,
    Reference,
    check_contents,
    check_references,
    lines_of,
    references,
)
from packbuilder.readback.report import Fault, Finding
from packbuilder.readback.rule_ways import (
    RuleWay,
    check_ways_to_rules,
    titles_on,
    ways_to_rules,
)
from packbuilder.readback.summaries import check_summary
from packbuilder.readback.uniqueness import Prove, check_proof
from packbuilder.readback.words import (
    answers_of,
    check_hint_words,
    check_said,
    check_words,
    tells_its_rules,
    words_at_the_head,
)
from packbuilder.reader.editions import ordinary
from packbuilder.reader.fields import Field
from packbuilder.reader.likeness import Judge, dpi_for
from packbuilder.reader.marks import PageMarks
from packbuilder.reader.navigation import Link
from packbuilder.reader.pages import (
    CORNER_SECTIONS,
    GRID_SECTIONS,
    SeenGrid,
    SeenItem,
    SeenPage,
    items_of,
    look_at,
)
from packbuilder.reader.pdfium import File, Pixels
from packbuilder.reader.spoken import Spoken
from packbuilder.reader.text import (
    ANSWERS,
    BACK_COVER,
    CONTENTS,
    COVER,
    HOW_TO_PLAY,
    NOTES,
    PRIMER,
    PUZZLES,
    TIERS,
    plain,
    runs_of,
)
from packbuilder.reader.text_ink import TextInk

LARGE = 20.0
"""Points: no text of a lesson but its title is so large."""


@dataclass
class Kept:
    """What is kept of pages that have been read and let go."""

    pages: int = 0
    grids: int = 0
    items: list[SeenItem] = field(default_factory=list)
    first: dict[str, int] = field(default_factory=dict)
    references: list[Reference] = field(default_factory=list)
    rule_ways: list[RuleWay] = field(default_factory=list)
    rules: dict[str, int] = field(default_factory=dict)
    """The page of each rule, by its title."""
    untold: set[int] = field(default_factory=set)
    """The numbers of puzzles beside which stands nothing of what their rules mean."""
    contents: list[tuple[int, Line]] = field(default_factory=list)
    prose: dict[str, list[Told]] = field(default_factory=dict)
    unsaid: dict[int, list[Finding]] = field(default_factory=dict)
    """By the numbers of puzzles, what is not said beside them."""
    examples: dict[Shown, Where] = field(default_factory=dict)
    on_cards: list[CardAnswer] = field(default_factory=list)
    waiting: tuple[SeenPage, list[Match]] | None = None
    """A page of third hints, whose words may go on on the next page."""


class Reading:
    """One reading of a file against a book; ``fields`` are those of each page."""

    def __init__(self, book: Book, prove: Prove, fields: Mapping[int, Sequence[Field]]) -> None:
        self.kept = Kept()
        self._book, self._prove, self._judge = book, prove, Judge()
        self._fields = fields
        self._last = 0
        self._cornered: set[int | None] = {e.number for e in book.entries if has_corners(e.puzzle)}
        examples = {x.name: x.example for x in book.lessons if x.example}
        self._taught = {name: has_corners(puzzle) for name, puzzle in examples.items()}
        self._taught = self._taught if any(self._taught.values()) else {}
        self._teaching: set[int | None] = set()
        self._titles = {e.number: e.puzzle.title for e in book.entries}
        self._words = "\n".join(map(plain, _own_words(book)))
        self._solved = {e.solution: e for e in (*book.whole, *book.entries, *trials(book))}
        self._due = cases.due_in(book)
        self._uris = {e.puzzle.link for e in book.entries if e.puzzle.link}
        self._uris |= {book.pack.link} if book.pack.link else set()

    def read(self, file: File) -> Iterator[Finding]:
        """All pages in the order of the book, then what joins them."""
        edition = self._book.edition
        self._last = 2 * file.count if edition.folded else 0
        for numbers in _order(file.count, folded=edition.folded):
            for sheet, wanted in numbers:
                with file.page(sheet) as page:
                    marks = page.marks()
                    parts = ordinary(marks, edition, file.count)
                    spoken = page.spoken() if edition.tagged else None
                    links = page.links() if edition.links else []
                    seen = [self._look_at(p) for p in parts if p.number in wanted]
                    sizes = [size for one in seen for size in sizes_in_grids(one)]
                    pixels = page.pixels(dpi_for(sizes))
                for one in seen:
                    yield from self._page(one, pixels, spoken, links)
        yield from self._waiting_words("")
        yield from self._across()

    def _look_at(self, page: PageMarks) -> SeenPage:
        cornered = self._cornered
        if self._taught:  # grids of the primer have no number; what they are says the last title
            titles = [run for run in runs_of(page.glyphs) if run.size >= LARGE]
            for name, has in self._taught.items():
                if any(plain(name).startswith(plain(run.text)) for run in titles):
                    self._teaching = {None} if has else set()
            cornered = cornered | self._teaching
        back = page.number == self._last
        return look_at(page, self._book.edition, cornered, self._words, back=back)

    def _page(
        self,
        page: SeenPage,
        pixels: Pixels,
        spoken: Spoken | None,
        links: Sequence[Link],
    ) -> Iterator[Finding]:
        book, kept = self._book, self.kept
        items = items_of(page, self._titles)
        found = [(item, match(book, item)) for item in items]
        matches = [one for _, one in found if one]
        ink = TextInk(pixels, page.marks, dark=book.edition.dark)
        yield from self._check_page(page, found)
        yield from check_text_ink(page, ink)
        if page.section == COVER:
            yield from check_cover(page, book, ink)
        for one in matches:
            yield from check_words(one, page, self._book.pack)
            yield from self._said(one, page)
            if page.section == PUZZLES:
                kept.rule_ways += ways_to_rules(page, one)
                if not tells_its_rules(one, page):
                    kept.untold.add(one.entry.number)
            if one.item.grid and not one.grid:
                rows, due = one.item.grid.lattice.size, one.entry.puzzle.size
                words = f"the grid has {rows} rows; the puzzle has {due}"
                yield one.finding("grid-size", words)
            elif one.grid:
                kept.grids += 1
                faults = [*_grid_faults(one, one.grid), *check_grid_ink(one.grid, ink, self._judge)]
                if spoken and (page.section != PRIMER or not one.hint):
                    faults += check_cells(one.grid, spoken.cells)
                    faults += check_summary(spoken.summaries, one)
                yield from one.findings(faults)
                yield from check_proof(one, page, self._prove)
        if page.section in CORNER_SECTIONS:
            yield from self._pictures(page, ink)
        yield from self._hint_words(page, matches)
        yield from self._lead_on(page, matches, links)
        kept.pages += 1
        kept.items += [replace(item, grid=None) for item, one in found if one]
        kept.first.setdefault(page.section, page.number)
        kept.rules = titles_on(page) | kept.rules
        kept.references += references(page, items)
        kept.on_cards += card_answers(page, items)
        for m in matches:
            kept.examples |= dict(shown_of(page, m.entry, m.item, m.hint))

    def _said(self, one: Match, page: SeenPage) -> Iterator[Finding]:
        """What is said of a puzzle: what does not stand beside it is looked for in the notes."""
        if page.section not in (PUZZLES, NOTES):
            return
        found = list(check_said(one, page, self._book.pack))
        if page.section == PUZZLES:
            self.kept.unsaid[one.entry.number] = found
        elif found:
            yield from found
        else:
            self.kept.unsaid.pop(one.entry.number, None)

    def _check_page(
        self, page: SeenPage, found: Sequence[tuple[SeenItem, Match | None]]
    ) -> Iterator[Finding]:
        """What holds of a page whatever stands on it."""
        if page.runs and page.section not in (COVER, BACK_COVER) and page.folio != page.number:
            words = f"the number at its foot is {page.folio or 'missing'}"
            yield Finding("reference", words, page.number)
        if page.section in GRID_SECTIONS:
            for box, why in page.broken:
                words = f"lines from {box[0]:.0f}, {box[1]:.0f} points are no whole grid: {why}"
                yield Finding("grid-broken", words, page.number)
        for item, one in found:
            if one is None:
                what = f"the book has no {item.section} {item.number}"
                if item.number is None:
                    what = "no caption above this grid names it, or no lesson of the book has it"
                yield Finding("grid-unknown", what, item.page, (), item.number)
        hidden = [g for g in page.marks.glyphs if g.mode and g.text.strip()]
        if hidden:
            words = f"{len(hidden)} characters are not plainly inked, the first {hidden[0].text!r}"
            yield Finding("hidden-text", words, page.number)
        if page.section != ANSWERS:
            for grid in page.grids:
                shown = self._solved.get(_values(grid))
                if shown:
                    words = "its answer is printed outside the answers"
                    yield Finding(
                        "answer-shown", words, page.number, (), shown.number, shown.puzzle.id
                    )

    def _pictures(self, page: SeenPage, ink: TextInk) -> Iterator[Finding]:
        """The pictures of a page that teaches are the next ones of the book."""
        for grid in cases.in_order(page.grids):
            if not self._due[page.section]:
                yield Finding("case", "the book has no more pictures here", page.number)
                continue
            picture, n = self._due[page.section].pop(0), grid.lattice.size
            faults = list(cases.check_picture(grid, picture, page))
            for code, words, at in (*faults, *check_grid_ink(grid, ink, self._judge)):
                yield Finding(code, words, page.number, tuple(cell_name(c, n) for c in at))

    def _hint_words(self, page: SeenPage, matches: list[Match]) -> Iterator[Finding]:
        """The words of hints; those of a third hint may go on at the head of the next page."""
        third = page.section == TIERS[2]
        yield from self._waiting_words(words_at_the_head(page) if third else "")
        if third:
            self.kept.waiting = (page, matches)
        elif page.section in TIERS:
            for one in matches:
                yield from check_hint_words(one, page, "")

    def _waiting_words(self, later: str) -> Iterator[Finding]:
        if self.kept.waiting:
            page, matches = self.kept.waiting
            self.kept.waiting = None
            for one in matches:
                yield from check_hint_words(one, page, later)

    def _lead_on(
        self,
        page: SeenPage,
        matches: Sequence[Match],
        links: Sequence[Link],
    ) -> Iterator[Finding]:
        """Links and fields of a page; and what of it is held against the whole book later."""
        kept, edition = self.kept, self._book.edition
        if edition.links:
            links = [_at_corner(link, page) for link in links]
            yield from check_links(page, links, self._uris)
        if edition.fields:
            yield from check_fields(self._fields.get(page.number, ()), matches, page.number)
        if page.section == HOW_TO_PLAY:
            kept.rule_ways += ways_to_rules(page)
        if page.section == CONTENTS:
            kept.contents += [(page.number, line) for line in lines_of(page)]
        if page.section in PROSE and page.runs:
            kept.prose.setdefault(page.section, []).append(told_on(page))

    def _across(self) -> Iterator[Finding]:
        """What joins the pages."""
        book, kept = self._book, self.kept
        yield from (one for some in kept.unsaid.values() for one in some)
        yield from presence.check_presence(kept.items, book)
        yield from check_card_answers(kept.on_cards, book)
        yield from check_references(kept.references, kept.items, book, cards=bool(kept.on_cards))
        untold = () if kept.on_cards else kept.untold  # cards are cut out
        yield from check_ways_to_rules(kept.rule_ways, untold, kept.first | kept.rules, book)
        yield from check_contents(kept.contents, kept.items, kept.first, book)
        yield from check_lessons(kept.examples, book, kept.first.get(PRIMER))
        for section, left in self._due.items():
            for picture in left:
                words = f"the picture of {picture.words!r} is not printed"
                yield Finding("case", words, kept.first.get(section))
        yield from check_prose(kept.prose, book, kept.first)


def _own_words(book: Book) -> Iterator[str]:
    """The pack's own words beside its puzzles and hints, as its pages have them."""
    yield f"{book.pack.title}, {month_name(book.pack.issue)}"
    yield book.pack.licence
    yield from (one.words for one in printed_words(book))
    yield from (lesson.name for lesson in book.lessons)
    grades: dict[Grade, list[str]] = {}
    for entry in book.entries:
        grades.setdefault(entry.grade, []).append(f"{entry.number} {entry.puzzle.title}")
    yield from ("; ".join(titles) for titles in grades.values())
    yield from setters_lines(book)
    for entry in book.entries:
        yield from (entry.puzzle.title, f"Set by {entry.puzzle.setter}", entry.puzzle.intro or "")
        yield " · ".join(promises(entry, book.pack))
        yield from answers_of(entry.puzzle, book.pack)
        yield from (words for h in entry.hints for words in (h.where, h.idea, h.told))


def _order(sides: int, *, folded: bool) -> list[list[tuple[int, set[int]]]]:
    """The file's pages as they are opened, each with the pages of the book that are wanted of it.

    A booklet is opened twice, for its first half and for its second, so that its pages come in the
    order of the book.
    """
    if not folded:
        return [[(sheet, {sheet}) for sheet in range(1, sides + 1)]]
    first = [(sheet, {sheet}) for sheet in range(1, sides + 1)]
    second = [(sheet, {2 * sides + 1 - sheet}) for sheet in range(sides, 0, -1)]
    return [first, second]


def _values(grid: SeenGrid) -> Values:
    return grid.filled.values(grid.lattice.size)


def _at_corner(link: Link, page: SeenPage) -> Link:
    """A link measured from the page's own corner."""
    (x, y), (x0, y0, x1, y1) = page.marks.corner, link.box
    return link._replace(box=(x0 - x, y0 - y, x1 - x, y1 - y))


def _grid_faults(one: Match, grid: SeenGrid) -> Iterator[Fault]:
    """What is wrong with a grid by its lines, its digits and its marks."""
    puzzle, n = one.entry.puzzle, one.entry.puzzle.size
    yield from grids.check_borders(grid.lattice, puzzle.geometry.regions)
    yield from grids.check_digits(grid.filled, n, one.values, puzzle.clues)
    yield from grids.check_setting(grid.filled.digits, n)
    letters = one.entry.lettered if one.item.section == PUZZLES else ()
    answer = one.item.section == ANSWERS
    yield from rules.check_rules(grid.drawn, puzzle, letters, answer=answer)
    told = hint_signs.Told()
    if one.hint:
        told = hint_signs.read_signs(grid)
        yield from grids.check_candidates(grid.filled.candidates, n, one.hint.shown)
        yield from hint_marks.check_marks(told, grid.filled, one.hint, puzzle.geometry)
    else:
        yield from grids.check_candidates(grid.filled.candidates, n, ())
    yield from rules.check_strays(grid.drawn, grid.lattice, told.known)
