"""What is read is what the book has proved: grids, rules, hints, each by its own words alone.

Nothing here knows how the file was written: what stands in it is held against the verified values
of the book, and each puzzle, as it stands there, is proved once more.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from packbuilder import rules
from packbuilder.book.book import Entry
from packbuilder.grid import (
    SYMBOLS,
    Geometry,
    GridFault,
    Values,
    blocks,
    cell_name,
    irregular,
    latin,
)
from packbuilder.ladder.hints import Hint
from packbuilder.plan.outline import (
    ANSWER,
    HINT,
    PUZZLE,
    TOPIC,
    Node,
    Outline,
    Paragraph,
    Rows,
)
from packbuilder.readback.parts import parts_amiss
from packbuilder.readback.plaintext.parsing import signs_of, text_of, values_of
from packbuilder.readback.report import Finding
from packbuilder.readback.uniqueness import Prove
from packbuilder.rules.contract import Clue, Part, Picture, RuleFault, Told
from packbuilder.rules.houses import with_houses, without_houses

TIERS = ("first", "second", "third")


@dataclass(frozen=True)
class Item:
    """A puzzle, hint or answer of the file, with the topics below it."""

    entry: Entry
    node: Node
    topics: Mapping[str, Node]

    def rows(self) -> list[Rows]:
        """The grids that stand right below its heading."""
        return [block for block in self.node.body if isinstance(block, Rows)]

    def finding(self, code: str, told: str, node: Node | None = None) -> Finding:
        """A finding at its heading, or that of one of its topics."""
        entry, line = self.entry, (node or self.node).line
        return Finding(code, told, number=entry.number, puzzle=entry.puzzle.id, line=line)


def items_of(seen: Outline, entries: Mapping[str, Entry]) -> dict[str, list[Item]]:
    """The puzzles, hints and answers of the book that a file has, by the marks of headings."""
    found: dict[str, list[Item]] = {PUZZLE: [], HINT: [], ANSWER: []}
    topics: dict[str, Node] = {}
    for node in seen.nodes:
        if node.mark == TOPIC:
            topics.setdefault(node.title, node)
            continue
        topics = {}
        entry = entries.get(re.split("[:.]", node.title)[0])
        if entry and node.mark in found:
            found[node.mark].append(Item(entry, node, topics))
    return found


def first_proof(items: Mapping[str, Sequence[Item]], prove: Prove) -> Iterator[Finding]:
    """Puzzles, hints, answers are those of the book; each puzzle is proved as it stands there."""
    answers: dict[str, Values] = {}
    for item in items[ANSWER]:
        values = [values_of(rows, item.entry.puzzle.size) for rows in item.rows()]
        if values != [item.entry.solution]:
            yield item.finding("digit-wrong", "the grid is not the answer")
        if values and values[0]:
            answers.setdefault(item.entry.puzzle.id, values[0])
    for item in items[HINT]:
        yield from _hint(item)
    yield from _in_rounds(items[HINT])
    for item in items[PUZZLE]:
        yield from _puzzle(item, answers.get(item.entry.puzzle.id), prove)


# --- puzzles -------------------------------------------------------------------------------------


def _puzzle(item: Item, answer: Values | None, prove: Prove) -> Iterator[Finding]:
    puzzle = item.entry.puzzle
    geometry, clues = _geometry(item), _clues(item)
    if geometry is None or (geometry.size, geometry.regions) != (
        puzzle.size,
        puzzle.geometry.regions,
    ):
        yield item.finding("border-wrong", "its blocks or regions are not the book's")
    else:  # the same cells under the names that the manifest has for them
        geometry = without_houses(puzzle.geometry, puzzle.rules)
    if clues != puzzle.clues:
        yield item.finding("digit-wrong", "the grid is not the puzzle's", item.topics.get("Grid"))
    yield from _letters(item)
    parts: list[Part] = []
    whole = True
    for slug in dict.fromkeys(puzzle.rule_names):
        kind, heard = rules.kinds()[slug], None
        topic = item.topics.get(kind.title)
        if topic is None:
            yield item.finding("rule-missing", f"the rule {kind.title!r} is not told")
            continue
        try:
            heard = kind.parse(told_of(topic), geometry or puzzle.geometry)
        except RuleFault as fault:
            whole = False
            yield item.finding("rule-wrong", f"{kind.title}: {fault.what}", topic)
            continue
        for code, told in parts_amiss(heard, rules.parts_of(kind, puzzle.rules), puzzle.size):
            yield item.finding(code, told, topic)
        parts += heard
    if geometry is None or clues is None or not whole:
        yield item.finding("not-proved", "what is printed cannot be proved")
        return
    yield from _proof(item, geometry, clues, tuple(parts), answer, prove)


def _letters(item: Item) -> Iterator[Finding]:
    """The cells that solvers enter by."""
    topic, size = item.topics.get("Entry letters"), item.entry.puzzle.size
    paragraphs = [b for b in topic.body if isinstance(b, Paragraph)] if topic else []
    heard = [str(line) for paragraph in paragraphs for line in paragraph.items]
    if heard != [f"{s.text}: {cell_name(s.cell, size)}" for s in item.entry.lettered]:
        yield item.finding("entry-letter", "the letters to enter by are not the book's", topic)


def _proof(
    item: Item,
    geometry: Geometry,
    clues: Values,
    parts: tuple[Part, ...],
    answer: Values | None,
    prove: Prove,
) -> Iterator[Finding]:
    try:
        verdict = prove(with_houses(geometry, parts), clues, parts)
    except ValueError:  # parts that no manifest could hold: what is wrong is told elsewhere
        yield item.finding("not-proved", "what is printed cannot be proved")
        return
    if verdict.solutions is None:
        yield item.finding("not-proved", "the proof of what is printed ran into its limit")
    elif verdict.solutions != 1:
        many = "two or more solutions" if verdict.solutions else "no solution"
        yield item.finding("not-unique", f"as printed it has {many}")
    elif answer not in (None, verdict.first):
        told = "its only solution as printed is not the printed answer"
        yield item.finding("not-unique", told)


def _geometry(item: Item) -> Geometry | None:
    """The kind of grid that the facts and the picture of its regions say."""
    facts = item.node.body[0] if item.node.body else None
    found = re.search(
        r".*^Size ([0-9]{1,2}) by \1; (?:(no blocks)|(irregular regions)|"
        r"blocks ([0-9]{1,2}) rows, ([0-9]{1,2}) columns)\nGrade ",
        "\n".join(map(str, facts.items)) if isinstance(facts, Paragraph) else "",
        re.MULTILINE | re.DOTALL,
    )
    if not found or not 4 <= int(found[1]) <= 16:
        return None
    size = int(found[1])
    try:
        if found[2]:
            return latin(size)
        if found[3]:
            pictures = _rows(item.topics.get("Regions"))
            rows = ["".join(row) for row in signs_of(pictures[0])] if pictures else []
            return irregular("\n".join(rows)) if len(rows) == size else None
        high, wide = int(found[4]), int(found[5])
        return blocks(high, wide) if high * wide == size else None
    except GridFault:
        return None


def _clues(item: Item) -> Values | None:
    grids = _rows(item.topics.get("Grid"))
    return values_of(grids[0], item.entry.puzzle.size) if len(grids) == 1 else None


def _rows(topic: Node | None) -> list[Rows]:
    return [block for block in (topic.body if topic else ()) if isinstance(block, Rows)]


def told_of(topic: Node) -> list[Told]:
    """The clues of a rule, behind the paragraph that says what it means. Raises RuleFault."""
    told: list[Told] = []
    for block in topic.body[1:]:
        if isinstance(block, Rows):
            told.append(Picture("".join(sign for row in signs_of(block) for sign in row)))
            continue
        for line in map(str, block.items):
            label, colon, words = line.partition(":")
            if not line.isascii() or not (colon or told):  # digits of other scripts are no digits
                raise RuleFault(f"{line[:40]!r} is no clue of this rule", "tell its clues")
            if colon:
                told.append(Clue(label, (words.strip(),) if words.strip() else ()))
            elif isinstance(last := told[-1], Clue):
                told[-1] = Clue(last.label, (*last.pieces, line))
    return told


# --- hints ---------------------------------------------------------------------------------------

_CANDIDATES = re.compile(r"(r\d+c\d+): ([1-9A-G](?: [1-9A-G])*)(?:; strike ([1-9A-G ]+))?")


def _place(item: Item) -> tuple[int, int]:
    """The tier of a hint and which of its puzzle's it is, from 0; -1 where its heading is none."""
    found = re.match(r"[0-9]+(?:\.([0-9]+))?: (first|second|third) hint", item.node.title)
    return (TIERS.index(found[2]), int(found[1] or 1) - 1) if found else (-1, -1)


def _in_rounds(hints: Sequence[Item]) -> Iterator[Finding]:
    """Each tier has the first hint of every puzzle, then the second ones, and so on."""
    known = (item for item in hints if 0 <= _place(item)[1] < len(item.entry.hints))
    for before, item in pairwise(known):
        (tier, k), (other, n) = _place(item), _place(before)
        if (tier, k) < (other, n):
            later = "round" if tier == other else "tier"
            yield item.finding("section", f"a hint of a later {later} stands before it")


def _hint(item: Item) -> Iterator[Finding]:
    """Its words; in the third tier the grid before the step, its cells and its candidates."""
    tier, k = _place(item)
    if not 0 <= k < len(item.entry.hints):
        yield item.finding("grid-unknown", "this is no hint of the puzzle")
        return
    hint = item.entry.hints[k]
    paragraphs = [text_of(block) for block in item.node.body if isinstance(block, Paragraph)]
    if _printable((hint.where, hint.idea, hint.told)[tier]) not in paragraphs[:1]:
        yield item.finding("words", "its words are not those of the hint")
    if tier == 2:
        values = [values_of(rows, item.entry.puzzle.size) for rows in item.rows()]
        if values != [hint.position]:
            yield item.finding("digit-wrong", "the grid is not that before the step")
        yield from (item.finding(*told) for told in _step(paragraphs[1:], hint, item.entry))


def _step(paragraphs: Sequence[str], hint: Hint, entry: Entry) -> Iterator[tuple[str, str]]:
    """The cells of the step, and the candidates that it speaks of."""
    size, step = entry.puzzle.size, hint.step
    acts = {cell for cell, _ in (*step.places, *step.removes)}
    lines = "\n".join(paragraphs)
    for label, due in (("Acts in", acts), ("Rests on", set(step.cells) - acts)):
        found = re.search(rf"(?:^| ){label}: ((?:r\d+c\d+ ?)*)", lines, re.MULTILINE)
        if set(found[1].split() if found else ()) != {cell_name(cell, size) for cell in due}:
            yield "outline", f"{label}: its cells are not the step's"
    shown: dict[str, set[str]] = {}
    struck: set[tuple[str, str]] = set()
    start = "Candidates that it speaks of: "
    text = next((one for one in paragraphs if one.startswith(start)), "").removeprefix(start)
    for found in _CANDIDATES.finditer(text):
        shown[found[1]] = set(found[2].split())
        struck |= {(found[1], sign) for sign in (found[3] or "").split()}
    if shown != {cell_name(c, size): {SYMBOLS[d] for d in ds} for c, ds in hint.spoken}:
        yield "candidate", "the candidates are not those of the hint"
    here = dict(hint.spoken)
    gone = {(cell_name(c, size), SYMBOLS[d]) for c, d in step.removes if d in here.get(c, ())}
    if struck != gone:
        yield "struck", "the candidates struck are not those of the hint"


def _printable(text: str) -> str:
    """Words as the house style prints them: single blanks, normal form C, no marks without ink."""
    inked = "".join(ch for ch in text if ch.isprintable() or ch.isspace())
    return " ".join(unicodedata.normalize("NFC", inked).split())
