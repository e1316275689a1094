"""Notes: what stands with a puzzle besides its grid.

Who set it and what is said of it, its link, where its first hint and its answer are, and lines to
write on. The layout says whether they stand below the grid or beside it.
"""

from __future__ import annotations

from collections.abc import Callable

from packbuilder.book.book import Entry
from packbuilder.book.how_to_play import card_words, rule_words
from packbuilder.book.wording import answered, entry_words, promises
from packbuilder.errors import InputError
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, beside, gap, paragraph, stack, text_line
from packbuilder.pages.draft import Draft
from packbuilder.pages.facts import rule_line
from packbuilder.pages.ornaments import graded, graded_width, qr_code, quiet_zone, seal
from packbuilder.pages.page_design import ASCENT, LEADING, PageDesign, left_text
from packbuilder.pages.prose import (
    HOUSE,
    Source,
    checked,
    fit_lines,
    fit_size,
    printable,
)
from packbuilder.plan.items import Figure, Item, Reference, Strokes, Tag, WebLink
from packbuilder.typography.typeface import face_for, width

_LINK_LINES = 4

_TIGHT = 1.28
"""Leading of the smallest type, in type sizes, where four grids share a page."""


def told_in(room: float, notes: Callable[[bool], Block]) -> Block:
    """Notes that say what the rules mean, if those take no more than the room; else without it."""
    try:
        told = notes(True)
        if told.height <= room + 0.01:
            return told
    except InputError:  # something of the pack's own would not fit
        pass
    return notes(False)


def wide_notes(draft: Draft, entry: Entry, measure: float, room: float, rules: bool) -> Block:
    """Two columns: who set it and what is said of it; where to go on, and lines to write on.

    ``rules``: with what its rules mean; so in all notes.
    """
    sheet, size = draft.sheet, draft.sheet.type.prose
    right = min(46 * MM * sheet.scale, measure * 0.36)
    left = min(measure - right - 8 * MM, 108 * MM * sheet.scale)
    head = stack([_setter(sheet, entry, left, size + 0.5), facts(draft, entry, left, rules)])
    said = _said(draft, entry, left, room - head.height, (size, 18 * MM))
    leads = [_lead(draft, entry, which) for which in ("hint", "answer")]
    lines = [fill_in(label, sheet, right) for label in sheet.layout.writing.labels]
    return beside(stack([head, said]), stack([*leads, gap(3), *lines]), measure - right)


def narrow_notes(
    draft: Draft,
    entry: Entry,
    measure: float,
    room: float,
    rules: bool,
    card: bool = False,
) -> Block:
    """One column: setter and grade, what is said, where to go on, lines to write on.

    A ``card`` is cut out, and leads nowhere.
    """
    sheet, small = draft.sheet, draft.sheet.type.small
    wide = graded_width(sheet, entry.grade, sheet.type.label)
    told, grade = f"Set by {entry.puzzle.setter}", _grade(sheet, entry)
    if card and width(told, face_for(told, sheet.faces.italic), small) > measure - wide - 8:
        head = stack([_setter(sheet, entry, measure, small), grade])
    else:
        head = beside(_setter(sheet, entry, measure - wide - 8, small), grade, measure - wide)
    first = stack([head, facts(draft, entry, measure, rules, together=True, card=card)])
    leads = beside(_lead(draft, entry, "hint"), _lead(draft, entry, "answer"), (measure + 8) / 2)
    to_fill = _pairs_of_lines(sheet, measure)
    last = to_fill if card else stack([gap(2.5), leads, to_fill])
    sizes, wide = (small, 13.5 * MM), measure - MM * card  # a code keeps clear of a card's border
    try:
        said = _said(draft, entry, wide, room - first.height - last.height, sizes)
    except InputError:  # rather no room to write in than an intro that cannot be printed
        if sheet.layout.cards or rules:  # but a card without its lines could not be given
            raise
        last = stack([gap(2.5), leads])
        said = _said(draft, entry, wide, room - first.height - last.height, sizes)
    return stack([first, said, last])


def column_notes(draft: Draft, entry: Entry, measure: float, height: float, rules: bool) -> Block:
    """A column beside the grid: what is said at its head, lines to write on at its foot."""
    sheet, small = draft.sheet, draft.sheet.type.small
    head = [_grade(sheet, entry), gap(4), _setter(sheet, entry, measure, small + 0.5),
            facts(draft, entry, measure, rules)]  # fmt: skip
    lines = [fill_in(label, sheet, measure) for label in sheet.layout.writing.labels]
    foot = [_lead(draft, entry, "hint"), _lead(draft, entry, "answer"), gap(4), *lines]
    around = quiet_zone(_address(entry), 20 * MM) if entry.puzzle.link else 0.0
    if entry.puzzle.link:
        url = _url(sheet, entry, measure)
        foot = [_code(entry, 20 * MM), gap(max(5, around)), url, gap(8), *foot]
    free = height - sum(block.height for block in (*head, *foot)) - 12
    _check(entry, free + 12)
    head.append(_intro(draft, entry, measure, free, small))
    white = height - sum(block.height for block in (*head, *foot))
    ruled = ruled_lines(sheet, measure, white - max(6, around))
    return stack([*head, ruled, gap(white - ruled.height), *foot])


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


def _said(
    draft: Draft, entry: Entry, measure: float, room: float, sizes: tuple[float, float]
) -> Block:
    """Intro and link, and at their right the link's code; ``sizes`` are of type and code."""
    size, side = sizes
    if not entry.puzzle.link:
        said = _intro(draft, entry, measure, room, size)
    else:
        narrower = measure - side - 4 * MM
        url = _url(draft.sheet, entry, narrower)
        intro = _intro(draft, entry, narrower, room - url.height - 2, size)
        around = quiet_zone(_address(entry), side) - 3  # lines above and below have as much
        code = stack([gap(max(4, around)), _code(entry, side), gap(max(0, around))])
        said = beside(stack([intro, gap(2), url]), code, measure - side)
    _check(entry, room - said.height)
    return said


def _check(entry: Entry, left: float) -> None:
    """Raise InputError where a puzzle's notes leave less than nothing of their room."""
    if left < -0.01:
        field = "link" if entry.puzzle.link else "promise"
        raise Source.of(entry.puzzle, field).fault(
            f"what stands with the puzzle needs {-left / MM:.1f} mm more room than there is; "
            "shorten or leave out its link, promise less, or take a layout with fewer grids to a "
            "page"
        )


def _setter(sheet: PageDesign, entry: Entry, measure: float, size: float) -> Block:
    """Who set it, on one line where that can be."""
    source = Source.of(entry.puzzle, "setter")
    told = f"Set by {checked(entry.puzzle.setter, sheet.faces.italic, source)}"
    face = face_for(told, sheet.faces.italic)
    narrow = measure < 60 * MM * sheet.scale  # then rather two lines than smaller type
    if narrow or width(told, face, sheet.type.label) > measure:
        lines = fit_lines(told, face, size, measure, 3, source)
        return stack([text_line(line, face, size, size * LEADING, quoted=True) for line in lines])
    size = fit_size(told, face, (size, sheet.type.label), measure, source)
    return text_line(told, face, size, size * LEADING, quoted=True)


def facts(
    draft: Draft,
    entry: Entry,
    measure: float,
    rules: bool = False,
    *,
    together: bool = False,
    card: bool = False,
) -> Block:
    """The names of its rules and, where it is asked for, what they mean; what is promised of it.

    ``together`` saves lines. A ``card`` tells rules in few words, and what every puzzle asks.
    """
    sheet, size = draft.sheet, draft.sheet.type.label
    promised = promises(entry, draft.pack)

    def told(line: str, room: float) -> Block:
        label = checked(line, sheet.faces.label, HOUSE)
        return paragraph(label, sheet.faces.label, size, room, leading=size * _TIGHT)

    promised = [" · ".join(promised)] if together else promised
    lines = [rule_line(entry.puzzle), entry_words(entry), *promised]
    blocks = [told(line, measure) for line in lines if line]
    if rules and (card or entry.puzzle.rule_names):
        means = card_words(entry.puzzle) if card else rule_words(entry.puzzle)
        k = bool(entry.puzzle.rule_names)
        blocks[k:k] = [gap(1.5), *(told(one, measure) for one in means), gap(1.5)]
    if entry.puzzle.promise.minimal:  # said last
        start = 1.4 * size
        words = told(lines[-1], measure - start)
        sign = Block(words.height, lambda x, top: seal(x, top - ASCENT * size, size))
        blocks[-1] = beside(sign, words, start)
    return stack([gap(1.5), *blocks, gap(1.5)]) if blocks else gap(0)


def _grade(sheet: PageDesign, entry: Entry) -> Block:
    size = sheet.type.label
    return Block(
        size * LEADING,
        lambda x, top: graded(sheet, x, top - ASCENT * size, entry.grade, size),
    )


def _intro(draft: Draft, entry: Entry, measure: float, room: float, size: float) -> Block:
    """What is said of it: the introduction, and the setter's answers."""
    face, leading = (
        draft.sheet.faces.prose,
        size * (LEADING if size > draft.sheet.type.label else _TIGHT),
    )
    told = [("intro", entry.puzzle.intro)] if entry.puzzle.intro else []
    told += [("answers", words) for words in answered(entry.puzzle, draft.pack)]
    blocks, left = [gap(2)], room - 2
    for field, words in told:
        source = Source.of(entry.puzzle, field)
        text = checked(words, face, source)
        set_face = face_for(text, face)
        fit_lines(text, set_face, size, measure, int(left / leading + 0.01), source)
        blocks.append(paragraph(text, set_face, size, measure, leading=leading, quoted=True))
        left -= blocks[-1].height
    return stack(blocks) if told else gap(0)


def _lead(draft: Draft, entry: Entry, which: str) -> Block:
    """``First hint: page 24``, a live link; nothing where the puzzle has no hints."""
    sheet, size = draft.sheet, draft.sheet.type.label
    first = which == "hint"
    name = f"hint-{entry.number}-1" if first else f"answer-{entry.number}"
    if first and not entry.hints:
        return gap(0)
    label = "First hint" if first else "Answer"

    def draw(x: float, top: float) -> list[Item]:
        y = top - ASCENT * size
        return [Reference(x, y, f"{label}: page ", name, sheet.faces.label, size)]

    return Block(size * 1.4, draw)


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
    """The link as live text, in as many lines as it needs."""
    url, size = _address(entry), sheet.type.label
    source = Source.of(entry.puzzle, "link")
    face = sheet.faces.label
    lines = fit_lines(printable(url, face, source), face, size, measure, _LINK_LINES, source)
    tag = Tag("Link", within=Tag("P"))
    block = stack([text_line(line, face, size, size * 1.3, tag=tag, quoted=True) for line in lines])

    def draw(x: float, top: float) -> list[Item]:
        longest = max(width(line, face, size) for line in lines)
        box = (x, top - block.height, x + longest, top)
        return [*block.draw(x, top), WebLink(box, url, tag)]

    return Block(block.height, draw)


def _code(entry: Entry, side: float) -> Block:
    """The link as a QR code, live too."""
    url = _address(entry)

    def draw(x: float, top: float) -> list[Item]:
        link = Tag("Link", within=Tag("P"), alt=f"Link to {url}")
        tag = Tag("Figure", within=link, alt=f"QR code of the link {url}")
        code = Figure(tag, tuple(qr_code(url, x, top, side)))
        return [code, WebLink((x, top - side, x + side, top), url, link)]

    return Block(side, draw)
