"""The read-back from end to end: open, survey, hold each grid against the book, then the rest."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from packbuilder.book import Book, Entry
from packbuilder.grid import Geometry, Values, cell_name, irregular, latin
from packbuilder.ladder.hints import Hint
from packbuilder.proof.verdict import Verdict
from packbuilder.readback import document, grid_checks, ink_checks, link_checks, page_checks
from packbuilder.readback.ink import dpi_for
from packbuilder.readback.links import Signposts, signposts
from packbuilder.readback.report import Fault, Finding, ReadBack
from packbuilder.readback.sections import ANSWERS, PUZZLES, TIERS, plain, says
from packbuilder.readback.survey import GRID_SECTIONS, Item, Leaf, items_of, survey
from packbuilder.readback.typefaces import check_fonts, fonts_of, ink_of
from packbuilder.readback.view import Pixels, View, ground, inked, rim_ink, without

Prove = Callable[[Geometry, Values], Verdict]


def read(pdf: Path | bytes, book: Book, *, prove: Prove | None = None) -> ReadBack:
    """Read a printed book and hold it against the verified one.

    ``prove`` says how many solutions a grid has; by default it is the proof kernel. Raises
    InputError where the file cannot be read at all; whatever can be read and is wrong is a finding.
    """
    data = document.load(pdf)
    reader = document.structure(data)
    posts, fonts = signposts(reader), fonts_of(reader)
    leaves = [survey(sheet) for sheet in document.sheets(data)]
    titles = {entry.number: entry.puzzle.title for entry in book.entries}
    items = [item for leaf in leaves for item in items_of(leaf, titles)]
    findings = [
        *check_fonts(fonts),
        *_check_pages(leaves, posts, book),
        *_check_signposts(leaves, items, posts, book),
        *_check_items(leaves, items, book),
        *_check_proofs(items, book, prove or _kernel),
        *_check_ink(data, leaves, items, book),
    ]
    known = [item for item in items if item.lattice and _due(book, item)]
    findings = sorted(set(findings), key=lambda f: (f.page or 0, f.number or 0, f.code, f.message))
    return ReadBack(len(leaves), len(known), tuple(findings))


def _kernel(geometry: Geometry, clues: Values) -> Verdict:
    from packbuilder.proof.kernel import prove

    return prove(geometry, clues)


# --- what the book has, for an item of the print ---------------------------------------------


def _due(book: Book, item: Item) -> tuple[Entry, Hint | None] | None:
    """The entry (and the hint) that an item is, by its caption; None where the book has none."""
    for entry in book.entries:
        if entry.number == item.number:
            if item.section != TIERS[2]:
                return entry, None
            part = item.part or 1
            return (entry, entry.hints[part - 1]) if part <= len(entry.hints) else None
    return None


def _values(item: Item, entry: Entry, hint: Hint | None) -> Values:
    if hint is not None:
        return hint.position
    return entry.solution if item.section == ANSWERS else entry.puzzle.clues


def _findings(item: Item, entry: Entry, faults: Iterable[Fault]) -> Iterator[Finding]:
    size = entry.puzzle.size
    for fault in faults:
        cells = tuple(cell_name(c, size) for c in fault.cells)
        yield Finding(fault.code, fault.message, item.page, cells, entry.number, entry.puzzle.id)


# --- pages -----------------------------------------------------------------------------------


def _check_pages(leaves: Sequence[Leaf], posts: Signposts, book: Book) -> Iterator[Finding]:
    pack = book.pack
    sections = [leaf.section for leaf in leaves]
    yield from page_checks.check_papers(posts.papers, pack.paper)
    yield from page_checks.check_folios([(leaf.number, leaf.folio) for leaf in leaves])
    yield from page_checks.check_labels(posts.labels)
    yield from page_checks.check_sections(
        sections, hints=any(e.hints for e in book.entries), foreword=bool(pack.foreword.strip())
    )
    if plain(pack.title) not in plain(posts.title):
        yield Finding(
            "metadata", f"the file's title is {posts.title!r} and the pack's {pack.title!r}"
        )
    cover = "".join(run.text for run in leaves[0].runs)
    if plain(pack.title).casefold() not in plain(cover).casefold():
        yield Finding("caption", f"the cover does not print the pack's title, {pack.title!r}", 1)
    for leaf in leaves:
        yield from page_checks.check_margins(leaf.sheet)
        yield from page_checks.check_sizes(leaf.sheet, leaf.runs)
        yield from page_checks.check_modes(leaf.sheet)
        if leaf.section in GRID_SECTIONS:
            for box, why in leaf.broken:
                yield Finding(
                    "grid-broken",
                    f"the lines from {box[0]:.0f}, {box[1]:.0f} to {box[2]:.0f}, {box[3]:.0f} "
                    f"points are no whole grid: {why}",
                    leaf.number,
                )


def _check_signposts(
    leaves: Sequence[Leaf], items: Sequence[Item], posts: Signposts, book: Book
) -> Iterator[Finding]:
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
    for page, what in posts.active:
        yield Finding("active", f"the file holds {what}: print cannot show it", page)


# --- items -----------------------------------------------------------------------------------


def _check_items(leaves: Sequence[Leaf], items: Sequence[Item], book: Book) -> Iterator[Finding]:
    yield from _check_presence(items, book)
    strokes = {leaf.number: leaf.sheet.strokes for leaf in leaves}
    for item in items:
        due = _due(book, item)
        if due:
            entry, hint = due
            yield from _check_words(item, entry, leaves[item.page - 1])
            if item.lattice and item.filled:
                faults = _grid_faults(item, entry, hint, strokes[item.page])
                yield from _findings(item, entry, faults)
    solved = {e.solution: e for e in book.entries}
    for leaf in leaves:
        if leaf.section != ANSWERS:
            for lattice, filled in leaf.grids:
                shown = solved.get(filled.values(lattice.size))
                if shown:
                    yield Finding(
                        "answer-shown",
                        "its answer is printed outside the answers",
                        leaf.number,
                        (),
                        shown.number,
                        shown.puzzle.id,
                    )


def _check_presence(items: Sequence[Item], book: Book) -> Iterator[Finding]:
    """Each puzzle, hint and answer of the book is printed exactly once, and no other."""
    found: dict[tuple[str, int, int], list[Item]] = {}
    for item in items:
        if item.number is None:
            yield Finding("grid-unknown", "no caption above this grid names it", item.page)
        elif _due(book, item) is None:
            yield Finding(
                "grid-unknown",
                f"the book has no {item.section} {item.number}",
                item.page,
                (),
                item.number,
            )
        else:
            key = (item.section, item.number, item.part or 1)
            found.setdefault(key, []).append(item)
    for entry in book.entries:
        due = [(PUZZLES, 1), (ANSWERS, 1)]
        due += [(tier, 1) for tier in TIERS[:2] if entry.hints]
        due += [(TIERS[2], k + 1) for k in range(len(entry.hints))]
        for section, part in due:
            ones = found.get((section, entry.number, part), [])
            name = f"{section}, {'hint ' if section in TIERS else ''}{entry.number}"
            name += f".{part}" if len(entry.hints) > 1 and section == TIERS[2] else ""
            if not ones:
                yield Finding(
                    "grid-missing",
                    f"{name} is not printed",
                    None,
                    (),
                    entry.number,
                    entry.puzzle.id,
                )
            for again in ones[1:]:
                yield Finding(
                    "grid-doubled",
                    f"{name} is printed on page {ones[0].page} too",
                    again.page,
                    (),
                    entry.number,
                    entry.puzzle.id,
                )


def _check_words(item: Item, entry: Entry, leaf: Leaf) -> Iterator[Finding]:
    """Titles and setters are the manifest's; hints say what the book's hints say."""
    puzzle = entry.puzzle

    def wrong(code: str, message: str) -> Finding:
        return Finding(code, message, item.page, (), entry.number, puzzle.id)

    if item.section in (PUZZLES, ANSWERS):
        printed = item.text.removeprefix(str(entry.number))
        whole = plain(printed).startswith(plain(puzzle.title))
        if not whole and (item.section == PUZZLES or not says(printed, puzzle.title)):
            yield wrong(
                "caption", f"the caption reads {item.text[:60]!r}; the title is {puzzle.title!r}"
            )
    if item.section == PUZZLES:
        page = plain("".join(run.text for run in leaf.runs))
        if plain(puzzle.setter) not in page:
            yield wrong("caption", f"the page does not name the setter, {puzzle.setter!r}")
    if item.section in TIERS:
        tier = TIERS.index(item.section)
        for k, hint in enumerate(entry.hints, start=1):
            if tier == 2 and k != (item.part or 1):
                continue
            words = (hint.where, hint.idea, hint.told)[tier]
            label = f"{entry.number}.{k}" if tier < 2 and len(entry.hints) > 1 else ""
            if plain(label + words) not in plain(item.text):
                yield wrong("words", f"the hint does not say {f'{label} {words}'.strip()[:60]!r}")


def _grid_faults(
    item: Item, entry: Entry, hint: Hint | None, strokes: Sequence[document.Stroke]
) -> Iterator[Fault]:
    lattice, filled, puzzle = item.lattice, item.filled, entry.puzzle
    assert lattice is not None
    assert filled is not None
    if lattice.size != puzzle.size:
        yield Fault("grid-size", f"the grid has {lattice.size} rows; the puzzle has {puzzle.size}")
        return
    n = puzzle.size
    yield from grid_checks.check_borders(lattice, puzzle.geometry.regions)
    yield from grid_checks.check_digits(filled, n, _values(item, entry, hint), puzzle.clues)
    yield from grid_checks.check_setting(filled.digits, n)
    if hint is not None:
        left, bottom, right, top = lattice.box
        inside = [s for s in strokes if left < s.x0 < right and bottom < s.y0 < top]
        yield from grid_checks.check_candidates(filled.candidates, n, hint.shown)
        yield from grid_checks.check_struck(filled.candidates, inside, n, hint.struck)


# --- proof from the print --------------------------------------------------------------------


def _check_proofs(items: Sequence[Item], book: Book, prove: Prove) -> Iterator[Finding]:
    """Each puzzle, as its digits and borders stand in print, has one solution: its answer's."""
    answers = {
        i.number: i.filled.values(i.lattice.size)
        for i in items
        if i.section == ANSWERS and i.lattice and i.filled
    }
    for item in items:
        due = _due(book, item)
        if item.section != PUZZLES or not due or not item.lattice or not item.filled:
            continue
        entry = due[0]

        def wrong(code: str, message: str, item: Item = item, entry: Entry = entry) -> Finding:
            return Finding(code, message, item.page, (), entry.number, entry.puzzle.id)

        geometry = printed_geometry(item.lattice.size, item.lattice.regions)
        if geometry is None:
            yield wrong("not-proved", "the borders do not part the grid into regions of its size")
            continue
        verdict = prove(geometry, item.filled.values(item.lattice.size))
        if verdict.solutions is None:
            yield wrong("not-proved", "the proof of the printed grid ran into its limit")
        elif verdict.solutions != 1:
            many = "two or more solutions" if verdict.solutions else "no solution"
            yield wrong("not-unique", f"as printed it has {many}")
        elif item.number in answers and verdict.first != answers[item.number]:
            yield wrong("not-unique", "its only solution as printed is not the printed answer")


def printed_geometry(size: int, regions: Sequence[int] | None) -> Geometry | None:
    """The geometry that borders in print mean; None where a region has the wrong size."""
    if regions is None:
        return latin(size)
    if any(regions.count(k) != size for k in set(regions)):
        return None
    rows = (regions[k : k + size] for k in range(0, size * size, size))
    return irregular("\n".join("".join(chr(ord("A") + k) for k in row) for row in rows))


# --- ink -------------------------------------------------------------------------------------


def _check_ink(
    data: bytes, leaves: Sequence[Leaf], items: Sequence[Item], book: Book
) -> Iterator[Finding]:
    pixels = Pixels(data)
    try:
        if pixels.count != len(leaves):
            yield Finding(
                "page-missing",
                f"one reader finds {pixels.count} pages in the file and another {len(leaves)}",
            )
            return
        for leaf in leaves:
            mine = [i for i in items if i.page == leaf.number and i.lattice]
            sizes = [g.size for _, f in leaf.grids for g in (d.glyph for d in f.candidates)]
            sizes += [d.glyph.size for _, f in leaf.grids for d in f.digits]
            view = pixels.view(leaf.number, dpi_for(s for s in sizes if s >= 4))
            yield from _page_ink(view, leaf)
            hints = leaf.section == TIERS[2]
            bared = without(view, _step_marks(leaf.sheet), ()) if hints else view
            for item in mine:
                due = _due(book, item)
                if due and item.lattice and item.lattice.size == due[0].puzzle.size:
                    yield from _findings(item, due[0], _ink_faults(view, bared, item, *due))
    finally:
        pixels.close()


def _step_marks(sheet: document.Sheet) -> list[tuple[Sequence[tuple[float, float]], float]]:
    """The rings and slanted strokes that a hint's grid carries over its digits."""
    rings = [(o.points, o.width) for o in sheet.outlines]
    slanted = [s for s in sheet.strokes if abs(s.x0 - s.x1) > 0.5 and abs(s.y0 - s.y1) > 0.5]
    return [*rings, *((((s.x0, s.y0), (s.x1, s.y1)), s.width) for s in slanted)]


def _page_ink(view: View, leaf: Leaf) -> Iterator[Finding]:
    """All text of a page is inked and stands out, and the rim of the paper is bare."""
    number = leaf.number
    for x, y in rim_ink(view, page_checks.SAFE - 1):
        yield Finding(
            "margin",
            f"there is ink at {x:.0f}, {y:.0f} points, within 10 mm of the paper's edge",
            number,
        )
    glyphs = [g for run in leaf.runs for g in run.glyphs if g.text.strip()]
    if glyphs:
        seen = inked(view, [ink_of(g) for g in glyphs])
        gone = [g for g, there in zip(glyphs, seen, strict=True) if not there]
        if gone:
            yield Finding(
                "hidden-text",
                f"{len(gone)} characters are in the file and not in the ink, the first "
                f"({gone[0].text!r}) at {gone[0].x:.0f}, {gone[0].y:.0f} points",
                number,
            )
    grounds = [(run, ground(view, run.box)) for run in leaf.runs]
    yield from page_checks.check_contrast(leaf.sheet, grounds)


def _ink_faults(
    view: View, bared: View, item: Item, entry: Entry, hint: Hint | None
) -> Iterator[Fault]:
    """What the ink of one grid says; ``bared`` is its page without a hint's rings and strokes."""
    lattice, filled, clues = item.lattice, item.filled, entry.puzzle.clues
    assert lattice is not None
    assert filled is not None
    wanted = _values(item, entry, hint)
    noted = {cell for cell, _ in hint.shown} if hint else set()
    due = ink_checks.wants(filled, wanted, clues, lattice.pitch)
    empty = [c for c, v in enumerate(wanted) if not v and c not in noted]
    yield from ink_checks.check_digit_ink(bared, lattice, due, empty)
    yield from ink_checks.check_line_ink(view, lattice, exact=hint is None)
    if hint:
        yield from ink_checks.check_candidate_ink(
            bared, lattice, filled.candidates, hint.shown, hint.struck
        )
