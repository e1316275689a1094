"""Page numbers kept: builds in a row, of which none pulls a page forward without need.

Someone who works on a pack has its pages in hand and in mind. So each build of a row gives every
section at least the pages that it had in the build before: a section that has become shorter is
filled up with bare pages. Pages move only where a section has grown, or is gone, and that is told.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from packbuilder.book.assembling import assemble, book_of
from packbuilder.book.book import Book
from packbuilder.editions import chosen
from packbuilder.errors import InputError
from packbuilder.gate import Report
from packbuilder.release.build import Built, build
from packbuilder.release.proof_cache import cached


@dataclass(frozen=True)
class Pagination:
    """Where a book's sections and puzzles stand in one edition.

    ``sections`` are numbers of pages by name; ``bare`` pages of them are there only to keep page
    numbers. ``puzzles`` gives each puzzle's number and page by its id. ``setting`` is the paper and
    all that the layout says.
    """

    setting: tuple[str, str]
    sections: Mapping[str, int] = field(default_factory=dict)
    puzzles: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    bare: int = 0


class Rebuilds:
    """Builds of one pack in a row. Each remembers of the one before where its pages stood."""

    def __init__(
        self, editions: Sequence[str], say: Callable[[str], None], workers: int = 1
    ) -> None:
        self._editions, self._say, self._workers = editions, say, workers
        self._before: dict[str, Pagination] = {}
        self._prove = cached()

    def build(self, report: Report, out: Path) -> tuple[Built, tuple[str, ...]]:
        """Build as `release.build` does, and say of each edition which puzzles moved page.

        Raises as `release.build` does; then the next build goes by the last that was good.
        """
        whole = assemble(report)
        books = {one.name: book_of(whole, one) for one in chosen(self._editions)}
        least = {name: self._least_pages(name, book) for name, book in books.items()}
        built = build(report, out, self._editions, self._say, least, self._prove, self._workers)
        said: list[str] = []
        for name, book in books.items():
            if book.edition.suffix == ".pdf":
                now = pagination(book, least[name])
                said += (f"{name}: {words}" for words in moves(now, self._before.get(name)))
                self._before[name] = now
        return built, tuple(said)

    def _least_pages(self, name: str, book: Book) -> Mapping[str, int]:
        """The least pages of sections that have become shorter; none where all is set otherwise."""
        before = self._before.get(name)
        if before is None:
            return {}
        try:
            now = pagination(book, {})
        except InputError:  # it cannot be set: the build says so, with the edition's name
            return {}
        if now.setting != before.setting:
            return {}
        shorter = (s for s, count in now.sections.items() if count < before.sections.get(s, 0))
        return {section: before.sections[section] for section in shorter}


def pagination(book: Book, least_pages: Mapping[str, int]) -> Pagination:
    """Where everything stands, as the press plans it with those least numbers of pages."""
    from packbuilder.layouts import load
    from packbuilder.pages.plan import plan
    from packbuilder.plan.items import Destination

    layout = load(book.pack.layout, book.pack.layouts_folder)
    pages = plan(book, layout, least_pages).pages
    bare = len(pages) - len(plan(book, layout).pages) if least_pages else 0
    places = {
        item.name: page.folio for page in pages for item in page.items if type(item) is Destination
    }
    puzzles = {e.puzzle.id: (e.number, places[f"puzzle-{e.number}"]) for e in book.entries}
    sections = Counter(page.section for page in pages)
    return Pagination((book.pack.paper, repr(layout)), sections, puzzles, bare)


def moves(now: Pagination, before: Pagination | None) -> Iterator[str]:
    """What became of the page numbers since the build before; nothing of a first build."""
    if before is None:
        return
    if now.setting != before.setting:
        yield "other paper or another layout: page numbers begin anew"
        return
    moved = []
    for puzzle, (number, page) in now.puzzles.items():
        was = before.puzzles.get(puzzle, (number, page))
        if was[1] != page:
            once = f"{was[1]}" if was[0] == number else f"puzzle {was[0]} on page {was[1]}"
            moved.append(f"puzzle {number}: page {page}, was {once}")
    yield from moved or ["page numbers steady"]
    if now.bare:
        pages = "1 page is" if now.bare == 1 else f"{now.bare} pages are"
        yield f"{pages} left bare for that; a build without --watch leaves them out"
