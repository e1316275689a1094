"""Hints and lessons: their words, the grid before the step, the step's cells, the candidates."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from packbuilder.book.book import Book, Entry, Lesson
from packbuilder.grid import SYMBOLS, Geometry, cell_name
from packbuilder.ladder.hints import Hint
from packbuilder.readback.plaintext.due import (
    Head,
    answer_head,
    check_once,
    check_references,
    finding,
    hint_head,
    puzzle_head,
)
from packbuilder.readback.plaintext.grids import check_grid
from packbuilder.readback.plaintext.outline import HINT, PRIMER, TIERS, Item, Node, Outline, said
from packbuilder.readback.plaintext.rows import Picture, parted
from packbuilder.readback.report import Finding

RESTS, ACTS, CANDIDATES = "Rests on:", "Acts in:", "Candidates that it speaks of:"
CHAIN, COLOURS = "Chain:", ("One colour:", "Other colour:")


def check_hints(book: Book, seen: Outline) -> Iterator[Finding]:
    """Every hint is there once in each tier, in order, with its words; the third with its grid."""
    for tier, name in enumerate(TIERS):
        part = seen.part(name)
        heads = [item.head for item in part.items if item.head.mark == HINT] if part else []
        due = {
            hint_head(entry, k, tier)[1].partition(":")[0]: (entry, k)
            for entry in book.entries
            for k in range(len(entry.hints))
        }
        printed = [(head.title.partition(":")[0], head.line) for head in heads]
        if part or due:
            yield from check_once(printed, list(due), f"{name.lower().removesuffix('s')}")
        for item in part.items if part else ():
            key = item.head.title.partition(":")[0]
            if item.head.mark == HINT and key in due:
                yield from _hint(item, *due[key], tier, seen)


def _hint(item: Item, entry: Entry, k: int, tier: int, seen: Outline) -> Iterator[Finding]:
    head, hint = item.head, entry.hints[k]
    if head.title != hint_head(entry, k, tier)[1]:
        due = hint_head(entry, k, tier)[1]
        told = f"the heading is {head.title[:60]!r}, not {due[:60]!r}"
        yield finding("caption", told, head.line, entry)
    for topic in item.topics:
        yield finding("stray-text", f"{topic.title[:60]!r} stands in a hint", topic.line, entry)
    body = list(head.body)
    words = said((hint.where, hint.idea, hint.told)[tier])
    if not body or body[0].text != words:
        yield finding("words", f"the hint does not say {words[:60]!r}", head.line, entry)
    onward: tuple[str, Head] = (
        ("Answer: line", answer_head(entry))
        if tier == 2
        else (f"{('Second', 'Third')[tier]} hint: line", hint_head(entry, k, tier + 1))
    )
    leads = body.pop() if len(body) > 1 else None
    if leads is None:
        yield finding("reference-missing", "no line says where to go on", head.line, entry)
    else:
        due_leads = [onward, (" Puzzle: line", puzzle_head(entry))]
        yield from check_references(leads.text, due_leads, leads.line, seen)
    rest = Node(head.mark, head.title, head.line, tuple(body[1:]))
    if tier == 2:
        yield from check_position(rest, hint, entry.puzzle.geometry, entry)
    else:
        for paragraph in rest.body:
            told = f"{paragraph.text[:60]!r} is no word of this hint"
            yield finding("stray-text", told, paragraph.line, entry)


def check_position(
    node: Node, hint: Hint, geometry: Geometry, entry: Entry | None
) -> Iterator[Finding]:
    """What stands below a step's words: its grid, its cells, its candidates, and nothing else."""
    pieces = parted(node.body)
    pictures = [one for one in pieces if isinstance(one, Picture)]
    if len(pictures) != 1:
        code = "grid-doubled" if pictures else "grid-missing"
        yield finding(code, f"{len(pictures)} grids stand here, not one", node.line, entry)
    for picture in pictures[:1]:
        yield from check_grid(picture, geometry, hint.position, entry)
    groups = [
        _joined([line.text for line in one.lines]) for one in pieces if not isinstance(one, Picture)
    ]
    lines = [line for group in groups for line in group]
    yield from _cells(lines, hint, geometry.size, node.line, entry)
    yield from _candidates(lines, hint, geometry.size, node.line, entry)
    labels = [[line.partition(":")[0] for line in group] for group in groups]
    after = [one for one in pieces[:1] if not isinstance(one, Picture)]
    if labels != _labels(hint, geometry.size) or after:
        told = "what stands with the grid of the step is in another order"
        yield finding("text-form", told, node.line, entry)


def _labels(hint: Hint, size: int) -> list[list[str]]:
    """The labels of the lines below a step's grid, paragraph by paragraph."""
    shown = [CANDIDATES, *(cell_name(cell, size) for cell, _ in hint.shown)] if hint.shown else []
    cells = [label for label, _ in _step_lines(hint, size)]
    return [[label.rstrip(":") for label in group] for group in (cells, shown) if group]


def _step_lines(hint: Hint, size: int) -> list[tuple[str, str]]:
    """The lines that tell a step's cells and its chain: label and words."""
    step, acts = hint.step, {cell for cell, _ in (*hint.step.places, *hint.step.removes)}

    def names(cells: Iterable[int], between: str = " ") -> str:
        return between.join(cell_name(cell, size) for cell in cells)

    lines = [(RESTS, names(sorted(set(step.cells) - acts))), (ACTS, names(sorted(acts)))]
    if len(step.nodes) == 2:
        lines += [
            (label, names(cells)) for label, (cells, _) in zip(COLOURS, step.nodes, strict=True)
        ]
    elif step.nodes:
        ways = ("not ", "")  # by turns: what is false, and what is then true
        told = [f"{ways[k % 2]}{SYMBOLS[d]} in {names(cells, ' or ')}"
                for k, (cells, d) in enumerate(step.nodes)]  # fmt: skip
        lines.append((CHAIN, ", ".join(told)))
    return [(label, words) for label, words in lines if words]


def _joined(lines: Sequence[str]) -> list[str]:
    """Lines without a label belong to the one before."""
    found: list[str] = []
    for line in lines:
        if ":" in line or not found:
            found.append(line)
        else:
            found[-1] += f" {line}"
    return found


_STEP = (RESTS, ACTS, CHAIN, *COLOURS)


def _cells(
    lines: Sequence[str], hint: Hint, size: int, at: int, entry: Entry | None
) -> Iterator[Finding]:
    due = [f"{label} {words}" for label, words in _step_lines(hint, size)]
    printed = [line for line in lines if line.startswith(_STEP)]
    for line in due:
        if line not in printed:
            yield finding("shading", f"{line[:60]!r} is not printed", at, entry)
    for line in printed:
        if line not in due:
            yield finding("shading", f"{line[:60]!r} is not the step's", at, entry)


_CANDIDATE = re.compile(r"(r\d+c\d+): ([1-9A-G](?: [1-9A-G])*)(?:; strike ([1-9A-G ]+))?")


def _candidates(
    lines: Sequence[str], hint: Hint, size: int, at: int, entry: Entry | None
) -> Iterator[Finding]:
    shown: dict[str, list[str]] = {}
    struck: set[tuple[str, str]] = set()
    for line in lines:
        if line.startswith(_STEP) or line == CANDIDATES:
            continue
        found = _CANDIDATE.fullmatch(line)
        if not found or found[1] in shown:
            yield finding("stray-text", f"{line[:60]!r} belongs to no step", at, entry)
            continue
        shown[found[1]] = found[2].split()
        struck |= {(found[1], sign) for sign in (found[3] or "").split()}
    due = {cell_name(cell, size): [SYMBOLS[d] for d in digits] for cell, digits in hint.shown}
    if shown != due:
        names = [name for name in {**due, **shown} if due.get(name) != shown.get(name)]
        told = f"the candidates of {', '.join(names[:4])} are not those of the hint"
        yield finding("candidate", told, at, entry)
    due_struck = {
        (cell_name(cell, size), SYMBOLS[d])
        for cell, d in hint.struck
        if d in dict(hint.shown).get(cell, ())
    }
    if struck != due_struck:
        names = sorted({name for name, _ in struck ^ due_struck})
        told = f"the candidates struck in {', '.join(names[:4])} are not those of the hint"
        yield finding("struck", told, at, entry)
    if (CANDIDATES in lines) != bool(hint.shown):
        yield finding("candidate", f"{CANDIDATES!r} stands where it must not, or not", at, entry)


# --- the primer --------------------------------------------------------------------------------


def check_primer(book: Book, seen: Outline) -> Iterator[Finding]:
    """Each lesson under its name: grade, what it is, its idea, the worked example."""
    part = seen.part(PRIMER)
    topics = {item.head.title: item.head for item in part.items} if part else {}
    for lesson in book.lessons:
        node = topics.pop(said(lesson.name), None)
        if node is None:
            yield Finding("lesson", f"the primer does not teach {lesson.name!r}")
        else:
            yield from _lesson(node, lesson)
    for name, node in topics.items():
        yield Finding("lesson", f"the book has no lesson {name[:60]!r}", line=node.line)


def _lesson(node: Node, lesson: Lesson) -> Iterator[Finding]:
    """Its words, each a paragraph, and among them the example's grid."""
    steps = [f"{k}: {text}" for k, text in enumerate(lesson.look, start=1)]
    idea = " ".join(["How to look for it:", *steps]) if steps else lesson.idea
    due, after = [f"Grade {lesson.rung}", lesson.about, idea], list[str]()
    if lesson.hint and lesson.geometry:
        due.append("Example:")
        after = [lesson.hint.where, *lesson.seen, lesson.hint.told]
        after += [lesson.then.told] if lesson.then else []
    body = list(node.body)
    first, last = body[: len(due)], body[max(len(body) - len(after), len(due)) :]
    for words, paragraphs in ((due, first), (after, last)):
        for text in words:
            if said(text) not in [paragraph.text for paragraph in paragraphs]:
                yield Finding("lesson", f"{text[:60]!r} is not printed whole", line=node.line)
        if [paragraph.text for paragraph in paragraphs] != [said(text) for text in words]:
            yield Finding("lesson", f"{node.title!r} is told in another order", line=node.line)
    rest = Node(node.mark, node.title, node.line, tuple(body[len(due) : len(body) - len(after)]))
    if lesson.hint and lesson.geometry:
        for one in check_position(rest, lesson.hint, lesson.geometry, None):
            yield Finding("lesson", one.message, cells=one.cells, line=one.line)
    elif rest.body:
        yield Finding("lesson", "more stands here than the lesson has", line=node.line)
