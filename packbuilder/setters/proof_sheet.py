"""Proof sheets: what a guest approves before release, on paper in the press's look."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from packbuilder import rules
from packbuilder.book.assembling import entry_of
from packbuilder.book.book import Entry
from packbuilder.book.wording import answered, month_name, promises, small, technique_names
from packbuilder.gate import Checked
from packbuilder.ladder import words
from packbuilder.ladder.path import Path
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, paragraph, stack
from packbuilder.pages.draft import Draft
from packbuilder.pages.faults import Source
from packbuilder.pages.leaflet import leaflet, puzzle_grid
from packbuilder.pages.notes import fill_in
from packbuilder.pages.ornaments import STRIP, graded, strip
from packbuilder.pages.page_design import ASCENT, LEADING
from packbuilder.pages.pairs import pair
from packbuilder.pages.prose import checked
from packbuilder.phrases import counted
from packbuilder.plan.items import Plan
from packbuilder.puzzle import Pack

_CELLS = tuple(cell * MM for cell in (10, 9, 8, 7))
"""Sizes of cells: the largest with which all is on one page, if one of them will do."""

_NARROW = 4
"""How many narrow places are told."""

_TAIL = 4
"""Last steps that are always narrow, since hardly a cell is empty."""


def proof_sheet(pack: Pack, setter: str, given: Sequence[Checked]) -> Plan:
    """The sheet of a setter for the puzzles that they gave, each on a page of its own.

    Each must have its one solution. Raises InputError for what cannot be set.
    """

    def draw(draft: Draft) -> None:
        for k, one in enumerate(given, start=1):
            _page(draft, entry_of(k, one), one, f"Proof {k}" if len(given) > 1 else "Proof")

    return leaflet(pack, f"Proof for {setter}: {pack.title}", draw)


def _page(draft: Draft, entry: Entry, one: Checked, section: str) -> None:
    puzzle, pack = entry.puzzle, draft.pack
    lead = f"{puzzle.title}, set by {puzzle.setter}, for {pack.title}, {month_name(pack.issue)}"
    draft.begin(section, checked(lead, draft.sheet.faces.italic, Source.of(puzzle, "title")))
    trials = (_blocks(draft, entry, one, cell) for cell in _CELLS)
    whole = next((blocks for blocks in trials if draft.pages_for(blocks) == 1), None)
    draft.flow(whole or _blocks(draft, entry, one, _CELLS[0]))


def _blocks(draft: Draft, entry: Entry, one: Checked, cell: float) -> list[Block]:
    puzzle, pack, main = entry.puzzle, draft.pack, draft.sheet.main
    clues = sum(1 for clue in puzzle.clues if clue)
    parts = [
        ("Grid", [puzzle_grid(draft.sheet, entry, main, cell)]),
        ("", _told(draft, [f"{puzzle.geometry.name()}, {counted(clues, 'clue')}."])),
        ("Rules", _told(draft, _rules(entry))),
        ("Rating", [_grade(draft, entry), *_told(draft, _rating(entry, pack))]),
        ("Narrow places", _narrow(draft, entry, one.path)),
        ("Without notes", _told(draft, [_load(one)])),
        ("Promised in print", _told(draft, [f"{told}." for told in promises(entry, pack)])),
        ("Printed beside it", _told(draft, [puzzle.intro or "", *answered(puzzle, pack)])),
        ("Please answer", _asked(draft, entry)),
        ("To approve", [fill_in(label, draft.sheet, main) for label in ("Approved by", "Date")]),
    ]
    blocks = list[Block]()
    for heading, body in parts:
        if body:
            blocks += [_pair(draft, heading, body), gap(4 * MM)]
    return blocks


def _pair(draft: Draft, heading: str, body: Sequence[Block]) -> Block:
    sheet = draft.sheet
    label = gap(0)
    if heading:
        label = paragraph(heading, sheet.faces.strong, sheet.type.prose, sheet.side, role="H2")
    return pair(sheet, label, stack(body), whole=True)


def _told(draft: Draft, sentences: Iterable[str]) -> list[Block]:
    face, size = draft.sheet.faces.prose, draft.sheet.type.prose
    told = (checked(one, face, Source("proof sheet")) for one in sentences if one)
    return [paragraph(one, face, size, draft.sheet.main, quoted=True) for one in told]


def _rules(entry: Entry) -> Iterator[str]:
    puzzle = entry.puzzle
    for kind in (rules.kinds()[slug] for slug in dict.fromkeys(puzzle.rule_names)):
        parts = rules.parts_of(kind, puzzle.rules)
        yield f"{kind.title}: {kind.wording(parts, puzzle.size).said('page')}"


def _grade(draft: Draft, entry: Entry) -> Block:
    sheet = draft.sheet
    label, prose = sheet.type.label, sheet.type.prose
    return Block(
        prose * LEADING, lambda x, top: graded(sheet, x, top - ASCENT * prose, entry.grade, label)
    )


def _rating(entry: Entry, pack: Pack) -> list[str]:
    names = technique_names(pack)
    steps = [f"{small(names.get(slug, slug))} {count}" for slug, count in entry.techniques]
    hardest = small(names.get(entry.hardest, entry.hardest))
    told = f"Effort {entry.effort:.0f}; its hardest step: {hardest}."
    return [told, f"Steps: {', '.join(steps)}."]


def _narrow(draft: Draft, entry: Entry, path: Path | None) -> list[Block]:
    """The strip of the whole solve, and its narrowest steps of the highest rungs in words."""
    if path is None or not entry.ways:
        return []
    wide = draft.sheet.main
    bars = Block(STRIP + 7, lambda x, top: strip(entry.ways, x, top - 2, wide))
    count = len(path.steps)
    inner = range(max(1, count - _TAIL))
    least = min(entry.ways[k] for k in inner)
    narrow = [k for k in inner if entry.ways[k] == least]
    told = sorted(sorted(narrow, key=lambda k: -path.steps[k].rung)[:_NARROW])
    ways = counted(least, "way")
    sentences = [
        f"Step {k + 1} of {count}, with {ways} on: {words.tell(path.steps[k], path.geometry)}"
        for k in told
    ]
    if more := len(narrow) - len(told):
        sentences.append(f"So narrow are {counted(more, 'step')} more.")
    return [bars, *_told(draft, sentences)]


def _load(one: Checked) -> str:
    load = one.no_notes
    if load is None or load.solved is False:
        return "It is not solved without writing notes."
    if load.marks is None:
        return "Whether it is solved without writing notes is not known: a limit ran out."
    if not load.marks:
        return "It is solved with nothing in mind: its mark load is 0."
    return (
        f"It is solved with {counted(load.marks, 'mark')} in mind at most: that is its mark load."
    )


def _asked(draft: Draft, entry: Entry) -> list[Block]:
    """The questions that have no answer yet, each with a line to write on."""
    done = {name for name, _ in entry.puzzle.answers}
    asked = [question for name, question in draft.pack.questions if name not in done]
    blocks = list[Block]()
    for block in _told(draft, asked):
        blocks += [block, fill_in("", draft.sheet, draft.sheet.main), gap(5)]
    return blocks
