"""Notes: what stands with a puzzle besides its grid.

Who set it and what is said of it, its link, where its first hint and its answer are, and lines to
write on. The layout says whether they stand below the grid or beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from packbuilder.book.book import Entry
from packbuilder.book.how_to_play import RULES, TITLE, card_words, rule_words
from packbuilder.book.wording import answered, entry_words, promises
from packbuilder.editions import SAMPLER
from packbuilder.grid import SYMBOLS
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, beside, gap, paragraph, stack, text_line
from packbuilder.pages.draft import NOTES, Draft
from packbuilder.pages.facts import rule_line
from packbuilder.pages.faults import HOUSE, CannotSet, Source
from packbuilder.pages.leads import in_lines, lead
from packbuilder.pages.ornaments import graded, graded_width, quiet_zone, seal
from packbuilder.pages.page_design import ASCENT, LEADING, UNKNOWN, PageDesign, left_text
from packbuilder.pages.prose import break_lines, checked
from packbuilder.pages.web_links import link_code, link_words
from packbuilder.plan.items import FURNITURE, Item, Strokes
from packbuilder.puzzle import Puzzle
from packbuilder.rules import kinds
from packbuilder.typography.typeface import face_for, width

_TIGHT, _TIGHTEST = 1.28, 1.2
"""Leading of the smallest type, in type sizes, where four grids share a page, and on cards."""

_LONG_NAME = 30
"""Letters: a longer name of a setter takes a line more where notes are narrow."""

_SCRATCH, _LEAST_SCRATCH = 104.0, 64.0
"""Points: the height of the box for scratch work, and the least that is of use."""


@dataclass(frozen=True)
class Way:
    """How much stands beside a puzzle: what its ``rules`` mean, and what they ``look`` like; what
    is ``said`` of it, which else has a page of its own; ``lines`` to write on; its ``grade``, where
    that is not in its caption. A ``card`` is cut out: it leads to no hint or answer, and says in
    few words what rules mean.
    """

    rules: bool = True
    look: bool = False
    said: bool = True
    lines: bool = True
    grade: bool = False
    card: bool = False


def ways(draft: Draft, entry: Entry, *, grade: bool) -> Iterator[Way]:
    """The ways to set a puzzle's notes, the fullest first.

    What rules mean stands behind the puzzles too; lines to write on can be done without, but a card
    without its own could not be given.
    """
    told = (True, False) if entry.puzzle.rule_names else (False,)
    for said in (True, False) if _has_more(draft, entry) else (True,):
        yield from (Way(rules, said=said, grade=grade) for rules in told)
        if not draft.sheet.layout.cards:
            yield Way(rules=False, said=said, lines=False, grade=grade)


def card_ways(draft: Draft, entry: Entry) -> list[Way]:
    """Those of a card that is one of several, likewise."""
    more = (True, False) if _has_more(draft, entry) else (True,)
    return [Way(rules, said=said, card=True) for said in more for rules in (True, False)]


def fitted(
    draft: Draft, entry: Entry, room: float, arrange: Callable[[Way], Block], *, grade: bool
) -> Block:
    """The fullest notes that the room, a height, holds. Raises CannotSet where none do."""
    least = float("inf")
    look = [Way(look=True, grade=grade)] if entry.puzzle.rule_names else []
    for way in (*look, *ways(draft, entry, grade=grade)):
        notes = arrange(way)
        if notes.height <= room + 0.01:
            if not way.said:
                draft.noted.add(entry.number)
            return notes
        least = min(least, notes.height)
    raise too_much(entry, least - room)


def too_much(entry: Entry, over: float) -> CannotSet:
    """The fault of notes for which there is no room, ``over`` points too high: what may stand on a
    page of notes does so already, and of the rest a long name alone can be shortened."""
    puzzle, mend = entry.puzzle, "take a layout with fewer grids to a page, or larger paper"
    long = len(puzzle.setter) > _LONG_NAME
    return Source.of(puzzle, "setter" if long else "rules" if puzzle.rule_names else "size").fault(
        f"what stands with the puzzle needs {over / MM:.1f} mm more room than there is",
        f"shorten its setter's name, or {mend}" if long else mend,
        over / MM,
    )


def wide_notes(draft: Draft, entry: Entry, measure: float, way: Way) -> Block:
    """Two columns: who set it and what is said of it; where to go on, and lines to write on."""
    sheet, size = draft.sheet, draft.sheet.type.prose
    right = min(46 * MM * sheet.scale, measure * 0.36)
    left = min(measure - right - 8 * MM, 108 * MM * sheet.scale)
    first = [_grade(sheet, entry)] if way.grade else []
    first += [_setter(sheet, entry, left, size + 0.5), facts(draft, entry, left, way.rules)]
    if way.said:
        first.append(said_of(draft, entry, left, (size, 18 * MM)))
    last = _leads(draft, entry, way)
    if way.lines:
        last += [gap(3), *(fill_in(label, sheet, right) for label in sheet.layout.writing.labels)]
    return beside(stack(first), stack(last), measure - right)


def narrow_notes(draft: Draft, entry: Entry, measure: float, way: Way) -> Block:
    """One column: setter and grade, what is said, where to go on, lines to write on."""
    sheet, small = draft.sheet, draft.sheet.type.small
    wide = graded_width(sheet, entry.grade, sheet.type.label)
    told, grade = f"Set by {entry.puzzle.setter}", _grade(sheet, entry)
    if way.card and width(told, face_for(told, sheet.faces.italic), small) > measure - wide - 8:
        head = stack([_setter(sheet, entry, measure, small), grade])
    else:
        head = beside(_setter(sheet, entry, measure - wide - 8, small), grade, measure - wide)
    parts = [head, facts(draft, entry, measure, way.rules, together=True, card=way.card)]
    if way.said:  # a code keeps clear of a card's border
        parts.append(said_of(draft, entry, measure - MM * way.card, (small, 13.5 * MM)))
    if leads := _leads(draft, entry, way):
        half = (measure + 8) / 2
        if len(leads) > 1 and _lead_width(sheet) < half:
            leads = [beside(leads[0], leads[1], half), *leads[2:]]
        parts += [gap(2.5), *leads]
    if way.lines:
        parts.append(_pairs_of_lines(sheet, measure))
    return stack(parts)


def column_notes(draft: Draft, entry: Entry, measure: float, height: float, way: Way) -> Block:
    """A column beside the grid: what is said at its head; at its foot where to go on and lines to
    write on; and between them room for scratch work."""
    sheet, small, puzzle = draft.sheet, draft.sheet.type.small, entry.puzzle
    head = [_grade(sheet, entry), gap(4)] if way.grade else []
    head.append(facts(draft, entry, measure, way.rules, framed=True, look=way.look))
    if way.said:
        head += [_intro(draft, entry, measure, small), gap(2)]
    head.append(_setter(sheet, entry, measure, small + 0.5))
    foot = _leads(draft, entry, way)
    if way.lines:
        labels = sheet.layout.writing.labels
        foot += [gap(4), *(fill_in(label, sheet, measure) for label in labels)]
    around = 0.0
    if puzzle.link and way.said:
        around = quiet_zone(_address(entry), 20 * MM)
        url = _url(sheet, entry, measure)
        foot = [link_code(_address(entry), 20 * MM), gap(max(5, around)), url, gap(8), *foot]
    white = height - sum(block.height for block in (*head, *foot))
    if white < max(8, around):
        return stack([*head, gap(max(8, around)), *foot])
    paper = ruled_lines(sheet, measure, white - max(6, around))
    if not sheet.layout.writing.ruled and way.lines:
        room = white - max(10, around) - 10
        paper = gap(0)
        if room >= _LEAST_SCRATCH:
            paper = scratch(sheet, measure, min(_SCRATCH, room), SYMBOLS[1 : puzzle.size + 1])
        foot = [paper, gap(max(8, around + 2)), *foot] if paper.height else foot
        return stack([*head, gap(height - sum(b.height for b in (*head, *foot))), *foot])
    return stack([*head, paper, gap(white - paper.height), *foot])


def scratch(sheet: PageDesign, measure: float, high: float, digits: str = "") -> Block:
    """A box for scratch work, with digits at its foot to be ticked off."""
    face, label = sheet.faces.label, sheet.type.label
    strip = 1.75 * label

    def draw(x: float, top: float) -> list[Item]:
        right, foot, word = x + measure, top - high, width("Scratch", face, label)
        words = x + 0.9 * label
        edges = [(x, foot, x, top), (right, foot, right, top), (x, foot, right, foot),
                 (x, top, words - 3, top), (words + word + 3, top, right, top)]  # fmt: skip
        if digits:
            edges.append((x, foot + strip, right, foot + strip))
        items: list[Item] = [
            Strokes(0.5, tuple(edges), "rule"),
            left_text(words, top - 0.32 * label, "Scratch", face, label, "quiet", FURNITURE),
        ]
        for k, sign in enumerate(digits):
            middle = x + measure * (k + 0.5) / len(digits)
            start = middle - width(sign, face, label) / 2
            items.append(
                left_text(start, foot + 0.6 * label, sign, face, label, "quiet", FURNITURE)
            )
        return items

    return Block(high, draw)


def _leads(draft: Draft, entry: Entry, way: Way) -> list[Block]:
    """Where to go on from a puzzle."""
    names = [("First hint", f"hint-{entry.number}-1")] if entry.hints else []
    names.append(("Answer", f"answer-{entry.number}"))
    names = [] if way.card else names
    if not way.said:
        names.append((NOTES, f"note-{entry.number}"))
    return [lead(draft.sheet, label, name) for label, name in names]


def _pairs_of_lines(sheet: PageDesign, measure: float) -> Block:
    """The lines to write on, two by two."""
    labels, half = sheet.layout.writing.labels, (measure + 8) / 2
    rows = []
    for k in range(0, len(labels), 2):
        lines = [fill_in(label, sheet, half - 8) for label in labels[k : k + 2]]
        rows.append(beside(lines[0], lines[1], half) if len(lines) > 1 else lines[0])
    return stack(rows)


def ruled_lines(sheet: PageDesign, measure: float, height: float) -> Block:
    """Ruled lines to write on, as many as there is room for; nothing where there is little."""
    pitch = (sheet.layout.writing.ruled or 0.0) * MM
    count = int(height / pitch) if pitch else 0
    if count < 2:
        return gap(0)

    def draw(x: float, top: float) -> list[Item]:
        rows = (top - (k + 1) * pitch for k in range(count))
        return [Strokes(0.4, tuple((x, y, x + measure, y) for y in rows), "rule")]

    return Block(count * pitch, draw)


def _has_more(draft: Draft, entry: Entry) -> bool:
    """Whether anything is said of a puzzle that may stand on a page of notes."""
    return bool(entry.puzzle.intro or entry.puzzle.link or answered(entry.puzzle, draft.pack))


def said_of(draft: Draft, entry: Entry, measure: float, sizes: tuple[float, float]) -> Block:
    """Intro, the setter's answers and link, and at their right the link's code.

    ``sizes`` are of type and code.
    """
    size, side = sizes
    if not entry.puzzle.link:
        return _intro(draft, entry, measure, size)
    narrower = measure - side - 4 * MM
    words = [_intro(draft, entry, narrower, size), gap(2), _url(draft.sheet, entry, narrower)]
    around = quiet_zone(_address(entry), side) - 3  # lines above and below have as much
    code = stack([gap(max(4, around)), link_code(_address(entry), side), gap(max(0, around))])
    return beside(stack(words), code, measure - side)


def _setter(sheet: PageDesign, entry: Entry, measure: float, size: float) -> Block:
    """Who set it, on one line where that can be."""
    source = Source.of(entry.puzzle, "setter")
    told = f"Set by {checked(entry.puzzle.setter, sheet.faces.italic, source)}"
    face = face_for(told, sheet.faces.italic)
    fits = measure / width(told, face, 1)
    narrow = measure < 60 * MM * sheet.scale  # then rather two lines than smaller type
    if not narrow and sheet.type.label <= fits < size:
        size = int(fits * 4) / 4
    lines = break_lines(told, face, size, measure)
    return stack([text_line(line, face, size, size * LEADING, quoted=True) for line in lines])


def facts(
    draft: Draft,
    entry: Entry,
    measure: float,
    rules: bool = False,
    *,
    together: bool = False,
    framed: bool = False,
    card: bool = False,
    look: bool = False,
) -> Block:
    """The names of its rules and, where it is asked for, what they mean and ``look`` like, else
    where that stands; what is promised of it.

    ``together`` saves lines. ``framed``: what rules mean stands between two of the printer's rules.
    A ``card`` says it in few words, or what every puzzle asks.
    """
    sheet, size = draft.sheet, draft.sheet.type.label
    promised = promises(entry, draft.pack)

    apart, leading = (0.5, _TIGHTEST * size) if card else (1.5, _TIGHT * size)

    def told(line: str) -> Block:
        label = checked(line, sheet.faces.label, HOUSE)
        return paragraph(label, sheet.faces.label, size, measure, leading=leading)

    promised = [" · ".join(promised)] if together else promised
    named = [told(rule_line(entry.puzzle))] if entry.puzzle.rule_names else []
    if (named or card) and rules:
        means = card_words(entry.puzzle) if card else rule_words(entry.puzzle, look=look)
        named += [gap(apart), *map(told, means), gap(apart)]
        if framed:
            thick, thin = (_across(weight, measure) for weight in (1.2, 0.4))
            named = [thick, gap(3), *named, gap(2), thin, gap(3)]
    elif named and not card:
        named.append(in_lines(sheet, _to_rules(draft, entry.puzzle), measure))
    lines = [line for line in (entry_words(entry), *promised) if line]
    blocks = [*named, *map(told, lines)]
    if entry.puzzle.promise.minimal:  # said last
        start = 1.4 * size
        label = checked(lines[-1], sheet.faces.label, HOUSE)
        words = paragraph(label, sheet.faces.label, size, measure - start, leading=size * _TIGHT)
        sign = Block(words.height, lambda x, top: seal(x, top - ASCENT * size, size))
        blocks[-1] = beside(sign, words, start)
    if not blocks:
        return gap(0)
    return stack([gap(0 if framed and rules and named else apart), *blocks, gap(apart)])


def _to_rules(draft: Draft, puzzle: Puzzle) -> list[tuple[str, str]]:
    """The ways to what a puzzle's rules mean: several go by their names. A sampler tells all in how
    to play."""
    if draft.edition == SAMPLER:
        return [(TITLE, "section-how-to-play")]
    named = [(kinds()[slug].title, f"rule-{slug}") for slug in puzzle.rule_names]
    return named if len(named) > 1 else [(RULES, named[0][1])]


def _across(weight: float, measure: float) -> Block:
    """A line over the measure."""
    return Block(0, lambda x, top: [Strokes(weight, ((x, top, x + measure, top),))])


def _grade(sheet: PageDesign, entry: Entry) -> Block:
    size = sheet.type.label
    return Block(
        size * LEADING,
        lambda x, top: graded(sheet, x, top - ASCENT * size, entry.grade, size),
    )


def _intro(draft: Draft, entry: Entry, measure: float, size: float) -> Block:
    """What is said of it: the introduction, and the setter's answers."""
    face, leading = (
        draft.sheet.faces.prose,
        size * (LEADING if size > draft.sheet.type.label else _TIGHT),
    )
    told = [("intro", entry.puzzle.intro)] if entry.puzzle.intro else []
    told += [("answers", words) for words in answered(entry.puzzle, draft.pack)]
    blocks = [gap(2)]
    for field, words in told:
        text = checked(words, face, Source.of(entry.puzzle, field))
        blocks.append(paragraph(text, face, size, measure, leading=leading, quoted=True))
    return stack(blocks) if told else gap(0)


def _lead_width(sheet: PageDesign) -> float:
    """The width of the longest way on, with white behind it."""
    size = sheet.type.label
    return width(f"First hint: page {UNKNOWN}", sheet.faces.label, size) + size


def fill_in(label: str, sheet: PageDesign, measure: float) -> Block:
    """A word and a rule to write on."""
    size = sheet.type.label

    def draw(x: float, top: float) -> list[Item]:
        y = top - 1.55 * size
        start = x + width(label, sheet.faces.label, size) + size * 0.55
        rule = Strokes(0.5, ((start, y - 1.5, x + measure, y - 1.5),), "rule")
        return [left_text(x, y, label, sheet.faces.label, size), rule]

    return Block(1.95 * size, draw)


def _address(entry: Entry) -> str:
    return (entry.puzzle.link or "").strip()


def _url(sheet: PageDesign, entry: Entry, measure: float) -> Block:
    return link_words(sheet, _address(entry), measure, Source.of(entry.puzzle, "link"))
