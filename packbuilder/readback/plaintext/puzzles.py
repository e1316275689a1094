"""Puzzles: what is said of each, its grid, its regions, and the rules that its clues mean."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packbuilder import rules
from packbuilder.book.book import Book, Entry
from packbuilder.grid import Geometry, GridFault, Values, blocks, irregular, latin
from packbuilder.readback.plaintext.due import (
    Head,
    answer_head,
    check_references,
    check_title,
    facts_due,
    finding,
    hint_head,
    puzzle_head,
    told_in_lines,
)
from packbuilder.readback.plaintext.grids import check_grid
from packbuilder.readback.plaintext.hearing import clues_of, parts_heard
from packbuilder.readback.plaintext.outline import Item, Node, Outline, Paragraph, said
from packbuilder.readback.plaintext.rows import Picture, check_rows, parted, values_of
from packbuilder.readback.plaintext.rule_faults import compared
from packbuilder.readback.plaintext.shape_hearing import Unheard
from packbuilder.readback.report import Finding
from packbuilder.rules.contract import Kind, Part
from packbuilder.rules.houses import without_houses

GRID, REGIONS, LEADS = "Grid", "Regions", "From here"
EMPTY = "The grid is empty."

_CELL = re.compile(r"\br\d+c\d+\b")


@dataclass(frozen=True)
class Read:
    """A puzzle as it is printed: what is to be proved once more. None: it could not be read."""

    entry: Entry
    line: int
    geometry: Geometry | None
    clues: Values | None
    parts: tuple[Part, ...] | None
    taught: dict[str, str]
    """What each of its rules means, by title, in the words that stand there."""


def read_puzzle(item: Item, entry: Entry, book: Book, seen: Outline) -> tuple[Read, list[Finding]]:
    """Read one puzzle, and hold it against its entry."""
    found = [*check_title(item.head, puzzle_head(entry), entry)]
    facts = _facts(item.head, [said(fact) for _, fact in facts_due(entry, book)])
    found += _check_facts(facts, item.head, entry, book)
    found += _check_said(item.head.body[1:], entry, item.head.line)
    found += _check_topics(item, entry)
    topics = {topic.title: topic for topic in reversed(item.topics)}
    geometry = _geometry(facts, topics.get(REGIONS))
    found += _check_grid(topics.get(GRID), entry)
    found += _check_regions(topics.get(REGIONS), geometry, entry)
    clues = _clues(topics.get(GRID), entry.puzzle.size)
    parts, taught = _rules(topics, entry, found)
    if leads := topics.get(LEADS):
        due: list[tuple[str, Head]] = [("Answer: line", answer_head(entry))]
        if entry.hints:
            due.insert(0, ("First hint: line", hint_head(entry, 0, 0)))
        found += _check_leads(leads, due, seen)
    return Read(entry, item.head.line, geometry, clues, parts, taught), found


# --- what is said ------------------------------------------------------------------------------

_LABELS = ("Set by ", "Size ", "Grade ", "Rules: ", "Turns on: ", "Only by: ", "No notes: ")


def _facts(head: Node, due: list[str]) -> list[str]:
    """The facts as printed: those due, or else, each line with the label of a later fact on."""
    if head.body and told_in_lines([line.text for line in head.body[0].lines], due):
        return due
    facts: list[str] = []
    last = -1
    for line in head.body[0].lines if head.body else ():
        at = next((k for k, label in enumerate(_LABELS) if line.text.startswith(label)), -1)
        if at > last or not facts:
            facts.append(line.text)
            last = max(at, last)
        else:
            facts[-1] += f" {line.text}"
    return facts


def _check_facts(facts: Sequence[str], head: Node, entry: Entry, book: Book) -> Iterator[Finding]:
    due = facts_due(entry, book)
    line = head.body[0].line if head.body else head.line
    for code, fact in due:
        if said(fact) not in facts:
            yield finding(code, f"{fact!r} does not stand below its title", line, entry)
    for fact in facts:
        if fact not in {said(words) for _, words in due}:
            yield finding("words", f"{fact[:60]!r} is no fact of this puzzle", line, entry)


def _check_said(body: Sequence[Paragraph], entry: Entry, line: int) -> Iterator[Finding]:
    """Its intro and its link, and nothing else."""
    puzzle, printed = entry.puzzle, [(p.text, p.line) for p in body]
    due = [said(puzzle.intro)] if puzzle.intro else []
    due += [f"Link: {said(puzzle.link)}"] if puzzle.link else []
    for text in due:
        if text not in [words for words, _ in printed]:
            yield finding("words", f"{text[:60]!r} is not printed whole", line, entry)
    for text, at in printed:
        if text not in due:
            yield finding("stray-text", f"{text[:60]!r} is not in the manifest", at, entry)


def _check_topics(item: Item, entry: Entry) -> Iterator[Finding]:
    """The grid, the regions, each rule, where to go on: in this order, each once."""
    puzzle = entry.puzzle
    titles = [rules.kinds()[slug].title for slug in dict.fromkeys(puzzle.rule_names)]
    irregular_ = puzzle.geometry.regions is not None and puzzle.geometry.shape is None
    due = [GRID, *([REGIONS] if irregular_ else []), *titles, LEADS]
    seen = [topic.title for topic in item.topics]
    for title in due:
        if title not in seen:
            code = {GRID: "grid-missing", REGIONS: "border-wrong", LEADS: "reference-missing"}
            told = f"the heading {title!r} is missing"
            yield finding(code.get(title, "rule-missing"), told, item.head.line, entry)
    for topic in item.topics:
        if topic.title not in due or topic.mark != "**":
            told = f"{topic.title[:60]!r} is no heading of this puzzle"
            yield finding("stray-text", told, topic.line, entry)
    known = [title for title in seen if title in due]
    if known != [title for title in due if title in seen]:
        told = "its parts stand in another order, or twice"
        yield finding("section", told, item.head.line, entry)


def _check_leads(leads: Node, due: Sequence[tuple[str, Head]], seen: Outline) -> Iterator[Finding]:
    if not leads.body:
        yield Finding("reference-missing", "no line says where to go on", line=leads.line)
        return
    text = leads.body[0].text
    spaced = [(label if k == 0 else f" {label}", head) for k, (label, head) in enumerate(due)]
    yield from check_references(text, spaced, leads.body[0].line, seen)
    for paragraph in leads.body[1:]:
        told = f"{paragraph.text[:60]!r} stands where nothing belongs"
        yield Finding("stray-text", told, line=paragraph.line)


# --- the grid ----------------------------------------------------------------------------------


def _pictures(topic: Node | None) -> list[Picture]:
    return [one for one in parted(topic.body if topic else ()) if isinstance(one, Picture)]


def _check_grid(topic: Node | None, entry: Entry) -> Iterator[Finding]:
    if topic is None:
        return  # told already
    puzzle, pictures = entry.puzzle, _pictures(topic)
    if len(pictures) != 1:
        code = "grid-doubled" if pictures else "grid-missing"
        yield finding(code, f"{len(pictures)} grids stand here, not one", topic.line, entry)
    if pictures:
        yield from check_grid(pictures[0], puzzle.geometry, puzzle.clues, entry)
    words = [one for one in parted(topic.body) if isinstance(one, Paragraph)]
    due = [] if any(puzzle.clues) else [EMPTY]
    if [one.text for one in words] != due:
        told = f"beside the grid stands {' '.join(w.text for w in words)[:60]!r}, not {due!r}"
        yield finding("stray-text", told, topic.line, entry)


def _check_regions(
    topic: Node | None, geometry: Geometry | None, entry: Entry
) -> Iterator[Finding]:
    due = entry.puzzle.geometry
    if topic is not None:
        pictures = _pictures(topic)
        for picture in pictures:
            for fault in check_rows(picture, latin(due.size)):
                yield finding(fault.code, fault.message, picture.line, entry)
        if len(parted(topic.body)) != 1:
            yield finding("stray-text", "more than a picture stands here", topic.line, entry)
    line = topic.line if topic else None
    if geometry is None or (geometry.size, geometry.regions) != (due.size, due.regions):
        yield finding("border-wrong", "its blocks or regions are not the book's", line, entry)


def _geometry(facts: Sequence[str], regions: Node | None) -> Geometry | None:
    """The kind of grid that the facts and the picture of its regions say."""
    fact = next((fact for fact in facts if fact.startswith("Size ")), "")
    found = re.fullmatch(
        r"Size ([0-9]{1,2}) by \1; (?:(no blocks)|(irregular regions)|"
        r"blocks ([0-9]{1,2}) rows, ([0-9]{1,2}) columns)",
        fact,
    )
    if not found or not 4 <= int(found[1]) <= 16:
        return None
    size, pictures = int(found[1]), _pictures(regions)
    try:
        if found[2]:
            return latin(size)
        if found[3]:
            rows = ["".join(row) for row in pictures[0].cells] if pictures else []
            return irregular("\n".join(rows)) if len(rows) == size else None
        high, wide = int(found[4]), int(found[5])
        return blocks(high, wide) if high * wide == size else None
    except GridFault:
        return None


def _clues(topic: Node | None, size: int) -> Values | None:
    pictures = _pictures(topic)
    return values_of(pictures[0], size) if pictures else None


# --- its rules ---------------------------------------------------------------------------------


def _rules(
    topics: dict[str, Node], entry: Entry, found: list[Finding]
) -> tuple[tuple[Part, ...] | None, dict[str, str]]:
    """The parts that all its rules have in print; None where one of them cannot be read."""
    puzzle, whole = entry.puzzle, True
    parts: list[Part] = []
    taught: dict[str, str] = {}
    base = without_houses(puzzle.geometry, puzzle.rules)
    for slug in dict.fromkeys(puzzle.rule_names):
        kind = rules.kinds()[slug]
        topic = topics.get(kind.title)
        if topic is None:
            continue  # told already
        try:
            words, heard = _rule(kind, topic, base)
        except Unheard as fault:
            whole = False
            line = fault.line or topic.line
            found.append(finding("rule-wrong", f"{kind.title}: {fault.told}", line, entry))
            continue
        taught[kind.title] = words
        if not words:
            told = f"no words say what {kind.title!r} means"
            found.append(finding("rule-name", told, topic.line, entry))
        due = rules.parts_of(kind, puzzle.rules)
        for code, told in compared(heard, due, puzzle.size):
            found.append(finding(code, told, topic.line, entry))
        parts += heard
    return tuple(parts) if whole else None, taught


def _rule(kind: Kind, topic: Node, geometry: Geometry) -> tuple[str, tuple[Part, ...]]:
    """What a rule means in words, and the parts that its clues mean."""
    pieces = parted(topic.body)
    words = ""
    if pieces and isinstance(pieces[0], Paragraph):
        words = pieces[0].text
        if _CELL.search(words):
            raise Unheard(f"{words[:40]!r} names cells", pieces[0].line)
        pieces = pieces[1:]
    clues = list(clues_of([one for one in pieces if isinstance(one, Paragraph)]))
    pictures = [one for one in pieces if isinstance(one, Picture)]
    return words, parts_heard(kind, geometry, clues, pictures)
