"""The first eye: pages, signposts, words and grids, by the file's own text and lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.book.book import Book, Entry
from packbuilder.editions import Edition
from packbuilder.ladder.hints import Hint
from packbuilder.readback import (
    grid_checks,
    link_checks,
    page_checks,
    rule_checks,
    rule_names,
    shading,
)
from packbuilder.readback.links import Signposts
from packbuilder.readback.match import due, findings_of, has_corners, values_due
from packbuilder.readback.report import Fault, Finding
from packbuilder.readback.sections import (
    ANSWERS,
    FOREWORD,
    FULL_PACK,
    HOW_TO_PLAY,
    PRIMER,
    PUZZLES,
    TIERS,
    caption_in,
    plain,
    says,
    unsaid,
)
from packbuilder.readback.survey import GRID_SECTIONS, Item, Leaf


def check_pages(leaves: Sequence[Leaf], posts: Signposts, book: Book) -> Iterator[Finding]:
    """Paper, folios, sections, margins, sizes: what holds of a page whatever stands on it."""
    pack, edition = book.pack, book.edition
    sections = [leaf.section for leaf in leaves]
    yield from page_checks.check_papers(posts.papers, pack.paper)
    yield from page_checks.check_folios([(leaf.number, leaf.folio) for leaf in leaves])
    if not edition.folded:
        yield from page_checks.check_labels(posts.labels)
    yield from page_checks.check_sections(sections, _absent(book))
    cover = "".join(run.text for run in leaves[0].runs)
    if plain(pack.title).casefold() not in plain(cover).casefold():
        yield Finding("caption", f"the cover does not print the pack's title, {pack.title!r}", 1)
    for leaf in leaves:
        yield from page_checks.check_margins(leaf.sheet)
        yield from page_checks.check_sizes(leaf.sheet, leaf.runs, edition)
        yield from page_checks.check_modes(leaf.sheet)
        if leaf.section == HOW_TO_PLAY:
            yield from _check_examples(leaf, edition)
        if leaf.section in GRID_SECTIONS:
            for box, why in leaf.broken:
                yield Finding(
                    "grid-broken",
                    f"the lines from {box[0]:.0f}, {box[1]:.0f} to {box[2]:.0f}, {box[3]:.0f} "
                    f"points are no whole grid: {why}",
                    leaf.number,
                )


def _check_examples(leaf: Leaf, edition: Edition) -> Iterator[Finding]:
    """The digits of small grids that belong to no puzzle are no smaller than other text."""
    sizes = [d.glyph.size for grid in leaf.grids for d in grid.filled.digits]
    if sizes and min(sizes) < edition.text - 0.05:
        yield Finding(
            "small-text",
            f"a digit of an example has {min(sizes):.1f} pt; the least is {edition.text:g} pt",
            leaf.number,
        )


def _absent(book: Book) -> set[str]:
    """The sections for which a book has nothing to print."""
    there = {
        FOREWORD: bool(book.pack.foreword.strip()),
        PRIMER: bool(book.lessons),
        FULL_PACK: bool(book.whole),
    } | dict.fromkeys(TIERS, any(e.hints for e in book.entries))
    return {name for name, one in there.items() if not one}


def check_prose(leaves: Sequence[Leaf], book: Book) -> Iterator[Finding]:
    """The pack's own words are printed whole: its theme, its foreword, each puzzle's words."""
    texts = [
        (leaves[0].section, "theme", book.pack.theme),
        (FOREWORD, "foreword", book.pack.foreword),
    ]
    for section, what, text in texts:
        runs = [run.text for leaf in leaves if leaf.section == section for run in leaf.runs]
        lost = unsaid(" ".join(runs), text)
        if lost:
            page = next((leaf.number for leaf in leaves if leaf.section == section), None)
            yield Finding("words", f"words of the {what} are not printed: {_few(lost)}", page)

    yield from rule_names.check_taught(leaves, book)


def _few(words: Sequence[str]) -> str:
    return ", ".join(words[:6]) + (f" and {len(words) - 6} more" if len(words) > 6 else "")


def check_signposts(
    leaves: Sequence[Leaf], items: Sequence[Item], posts: Signposts, book: Book
) -> Iterator[Finding]:
    """Links, named places, bookmarks, and whatever else is in the file beside its pages."""
    sections = {leaf.number: leaf.section for leaf in leaves}
    runs = {leaf.number: leaf.runs for leaf in leaves}
    entries = [
        link_checks.Entry(e.number, e.puzzle.id, e.puzzle.title, len(e.hints)) for e in book.entries
    ]
    uris = frozenset(e.puzzle.link for e in book.entries if e.puzzle.link)
    pages = {i.number: i.page for i in items if i.section == PUZZLES and i.number is not None}
    yield from link_checks.check_places(posts.places, items, entries)
    yield from link_checks.check_links(posts.links, runs, sections, items, uris)
    yield from link_checks.check_references(posts.links, runs, sections)
    yield from link_checks.check_promised_links(posts.links, sections, entries)
    yield from link_checks.check_bookmarks(posts.bookmarks, sections, pages, entries)


def check_active(posts: Signposts) -> Iterator[Finding]:
    """Nothing in the file shows or does more than its pages."""
    for page, what in posts.active:
        yield Finding("active", f"the file holds {what}: print cannot show it", page)


def check_items(leaves: Sequence[Leaf], items: Sequence[Item], book: Book) -> Iterator[Finding]:
    """Each puzzle, hint and answer: there once, named rightly, and right in every cell."""
    yield from _check_presence(items, book)
    for item in items:
        match = due(book, item)
        if match:
            entry, hint = match
            yield from _check_words(item, entry, leaves)
            if item.lattice and item.filled:
                faults = _grid_faults(item, entry, hint, book.edition)
                yield from findings_of(item, entry, faults)
    solved = {e.solution: e for e in (*book.whole, *book.entries)}
    for leaf in leaves:
        if leaf.section != ANSWERS:
            for grid in leaf.grids:
                shown = solved.get(grid.filled.values(grid.lattice.size))
                if shown:
                    yield Finding(
                        "answer-shown",
                        "its answer is printed outside the answers",
                        leaf.number,
                        number=shown.number,
                        puzzle=shown.puzzle.id,
                    )


def _check_presence(items: Sequence[Item], book: Book) -> Iterator[Finding]:
    """Each puzzle, hint and answer of the book is printed exactly once, and no other."""
    found: dict[tuple[str, int, int], list[Item]] = {}
    for item in items:
        if item.section == PRIMER:
            continue  # its grids belong to no puzzle
        if item.number is None:
            yield Finding("grid-unknown", "no caption above this grid names it", item.page)
        elif due(book, item) is None:
            yield Finding(
                "grid-unknown",
                f"the book has no {item.section} {item.number}",
                item.page,
                number=item.number,
            )
        else:
            key = (item.section, item.number, item.part or 1)
            found.setdefault(key, []).append(item)
    for entry in book.entries:
        wanted = [(PUZZLES, 1), (ANSWERS, 1)]
        wanted += [(tier, 1) for tier in TIERS[:2] if entry.hints]
        wanted += [(TIERS[2], k + 1) for k in range(len(entry.hints))]
        for section, part in wanted:
            ones = found.get((section, entry.number, part), [])
            name = f"{section}, {'hint ' if section in TIERS else ''}{entry.number}"
            name += f".{part}" if len(entry.hints) > 1 and section == TIERS[2] else ""
            if not ones:
                yield Finding(
                    "grid-missing",
                    f"{name} is not printed",
                    number=entry.number,
                    puzzle=entry.puzzle.id,
                )
            for again in ones[1:]:
                yield Finding(
                    "grid-doubled",
                    f"{name} is printed on page {ones[0].page} too",
                    again.page,
                    number=entry.number,
                    puzzle=entry.puzzle.id,
                )


def _check_words(item: Item, entry: Entry, leaves: Sequence[Leaf]) -> Iterator[Finding]:
    """Titles and setters are the manifest's; hints say what the book's hints say."""
    puzzle, leaf = entry.puzzle, leaves[item.page - 1]

    def wrong(code: str, message: str) -> Finding:
        return Finding(code, message, item.page, number=entry.number, puzzle=puzzle.id)

    if item.section in (PUZZLES, ANSWERS):
        printed = item.text.removeprefix(str(entry.number))
        whole = plain(printed).startswith(plain(puzzle.title))
        if not whole and (item.section == PUZZLES or not says(printed, puzzle.title)):
            yield wrong(
                "caption", f"the caption reads {item.text[:60]!r}; the title is {puzzle.title!r}"
            )
    if item.section == PUZZLES:
        beside = [run.text for run in leaf.runs if item.holds(run.x0, run.y)]
        if plain(puzzle.setter) not in plain("".join(beside)):
            yield wrong("caption", f"nothing beside it names the setter, {puzzle.setter!r}")
        yield from rule_names.check_names(item, leaf, entry)
        lost = unsaid(" ".join(beside), puzzle.intro or "")
        if lost:
            yield wrong("words", f"words of its introduction are not printed: {_few(lost)}")
    if item.section in TIERS:
        tier = TIERS.index(item.section)
        for k, hint in enumerate(entry.hints, start=1):
            if tier == 2 and k != (item.part or 1):
                continue
            words = (hint.where, hint.idea, hint.told)[tier]
            label = f"{entry.number}.{k}" if tier < 2 and len(entry.hints) > 1 else ""
            printed = plain(item.text)
            if tier == 2:
                printed += plain(_with_the_next_page(item, leaf, leaves[item.page :]))
            if plain(label + words) not in printed:
                yield wrong("words", f"the hint does not say {f'{label} {words}'.strip()[:60]!r}")


def _with_the_next_page(item: Item, leaf: Leaf, later: Sequence[Leaf]) -> str:
    """An item's text, without its page's foot, and what stands above all captions of the next page:
    words that are too long for one page go on there."""
    if not later or later[0].section != item.section:
        return ""
    foot = " ".join(run.text for run in leaf.runs if run.y - leaf.runs[-1].y <= 0.5)
    words = [item.text.removesuffix(foot)]
    for run in later[0].runs[1:]:  # the first is the running head
        if caption_in(run, hint=True):
            break
        words.append(run.text)
    return " ".join(words)


def _grid_faults(item: Item, entry: Entry, hint: Hint | None, edition: Edition) -> Iterator[Fault]:
    lattice, filled, drawn, puzzle = item.lattice, item.filled, item.drawn, entry.puzzle
    assert lattice is not None
    assert filled is not None
    assert drawn is not None
    if lattice.size != puzzle.size:
        yield Fault("grid-size", f"the grid has {lattice.size} rows; the puzzle has {puzzle.size}")
        return
    n = puzzle.size
    yield from grid_checks.check_borders(lattice, puzzle.geometry.regions)
    yield from grid_checks.check_digits(filled, n, values_due(item, entry, hint), puzzle.clues)
    least = edition.digits if item.section == PUZZLES else edition.text
    yield from grid_checks.check_setting(filled.digits, n, least, dark=edition.dark)
    yield from rule_checks.check_rules(drawn, puzzle, answer=item.section == ANSWERS)
    yield from rule_checks.check_strays(drawn, lattice, hint=hint is not None)
    if hint is not None:
        low = has_corners(puzzle)
        yield from grid_checks.check_candidates(
            filled.candidates, n, hint.shown, edition.small, low=low
        )
        yield from grid_checks.check_struck(filled.candidates, drawn.others, n, hint.struck)
        yield from shading.check_shading(lattice, drawn.others, hint.step)
    else:
        yield from grid_checks.check_candidates(filled.candidates, n, (), edition.small)
