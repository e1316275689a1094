"""All that stands round the puzzles: title, contents, foreword, how to play, answers, credits."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from packbuilder import rules
from packbuilder.book.book import Book, Entry
from packbuilder.grid import SYMBOLS, Geometry, Values
from packbuilder.readback.plaintext.due import (
    Head,
    answer_head,
    check_once,
    check_references,
    check_title,
    finding,
    hint_head,
    issue_due,
    numbers_of,
    puzzle_head,
    puzzles_due,
    rows,
    sections_due,
    size_due,
    told_in_lines,
)
from packbuilder.readback.plaintext.grids import check_grid
from packbuilder.readback.plaintext.outline import (
    ANSWER,
    ANSWERS,
    CONTENTS,
    CREDITS,
    FOREWORD,
    HOW_TO_PLAY,
    MARKS,
    SECTION,
    TOPIC,
    USE,
    Node,
    Outline,
    Paragraph,
    said,
)
from packbuilder.readback.plaintext.rows import Picture, parted, values_of
from packbuilder.readback.report import Finding


def check_sections(book: Book, seen: Outline) -> Iterator[Finding]:
    """The sections of the book, in order, each once: the last one says that the file is whole."""
    due, found = sections_due(book), [part.name for part in seen.parts]
    for name in due:
        if name not in found:
            yield Finding("section", f"the section {name!r} is missing")
    for part in seen.parts:
        if part.name not in due:
            told = f"the book has no section {part.name[:60]!r}"
            yield Finding("section", told, line=part.head.line)
    there = [name for name in found if name in due]
    if there != [name for name in due if name in found]:
        yield Finding("section", "the sections stand in another order, or one stands twice")


def check_title_lines(book: Book, seen: Outline) -> Iterator[Finding]:
    """Title, issue, how many puzzles, theme, byline."""
    pack, count = book.pack, len(book.entries)
    due = [
        said(pack.title),
        issue_due(pack.issue),
        f"{count} puzzle{'s' if count != 1 else ''}",
        *([said(pack.theme)] if said(pack.theme) else []),
        f"By {said(pack.byline)}",
    ]
    yield from _same(seen.title, due, 1)


def _same(printed: Sequence[Paragraph], due: Sequence[str], line: int) -> Iterator[Finding]:
    """Paragraphs are those due, in order, and no others."""
    texts = [paragraph.text for paragraph in printed]
    if texts == list(due):
        return
    for words in due:
        if words not in texts:
            yield Finding("words", f"{words[:60]!r} is not printed whole", line=line)
    for paragraph in printed:
        if paragraph.text not in due:
            told = f"{paragraph.text[:60]!r} is not in the book"
            yield Finding("stray-text", told, line=paragraph.line)
    if sorted(texts) == sorted(due):
        yield Finding("words", "the paragraphs stand in another order", line=line)


def check_front(book: Book, seen: Outline) -> Iterator[Finding]:
    """How to use the file; contents; foreword."""
    if use := seen.part(USE):
        text = " ".join(paragraph.text for paragraph in use.head.body)
        needed = [mark for mark in MARKS if book.entries and (mark != "??" or _hinted(book))]
        for mark in needed:
            if f": {mark}" not in text:
                told = f"it is not told what {mark!r} marks"
                yield Finding("words", told, line=use.head.line)
        if "full stop" not in text:
            yield Finding("words", "it is not told how an empty cell is printed",
                          line=use.head.line)  # fmt: skip
    if contents := seen.part(CONTENTS):
        yield from _contents(contents.head, book, seen)
    if foreword := seen.part(FOREWORD):
        parts = re.split(r"\n\s*\n", book.pack.foreword)
        due = [said(part) for part in parts if said(part)]
        yield from _same(foreword.head.body, [*due, said(book.pack.byline)], foreword.head.line)


def _hinted(book: Book) -> bool:
    return any(entry.hints for entry in book.entries)


def _contents(head: Node, book: Book, seen: Outline) -> Iterator[Finding]:
    """The other sections, then every puzzle, each with its line."""
    others = sections_due(book)[2:-1]
    due: list[tuple[str, Head]] = [
        (f"{' ' if k else ''}{name}: line", (SECTION, name)) for k, name in enumerate(others)
    ]
    first, *entries = head.body or (None,)
    if first is None:
        yield Finding("reference-missing", "the contents are empty", line=head.line)
        return
    yield from check_references(first.text, due, first.line, seen)
    printed = {" ".join(line.text for line in one.lines[:-1]): one for one in entries}
    wanted = {
        f"{puzzle_head(entry)[1]} Grade {entry.grade}, set by {said(entry.puzzle.setter)}": entry
        for entry in book.entries
    }
    for words, entry in wanted.items():
        if words not in printed:
            yield finding("caption", f"the contents lack {words[:60]!r}", head.line, entry)
            continue
        leads: list[tuple[str, Head]] = [("Line", puzzle_head(entry))]
        leads += [("; hints", hint_head(entry, 0, 0))] if entry.hints else []
        leads.append(("; answer", answer_head(entry)))
        last = printed[words].lines[-1]
        yield from check_references(last.text, leads, last.number, seen)
    if [words for words in printed if words in wanted] != [w for w in wanted if w in printed]:
        yield Finding("section", "the contents are in another order", line=head.line)
    for words, paragraph in printed.items():
        if words not in wanted:
            told = f"{words[:60]!r} is no puzzle of the book"
            yield Finding("stray-text", told, line=paragraph.line)
    if len(printed) != len(entries):
        yield Finding("stray-text", "a puzzle stands in the contents twice", line=head.line)


# --- how to play -------------------------------------------------------------------------------


def check_how_to_play(
    book: Book, seen: Outline, taught: Mapping[int, Mapping[str, str]]
) -> Iterator[Finding]:
    """Each kind of grid, each rule in the words of its puzzles, each idea of the hints.

    ``taught`` is what the rules of each puzzle mean in the words that stand there, by its number.
    """
    part = seen.part(HOW_TO_PLAY)
    if part is None:
        return
    topics = {item.head.title: item.head for item in part.items}
    kinds: dict[str, set[int]] = {}
    titles: dict[str, set[int]] = {}
    for entry in book.entries:
        kinds.setdefault(f"Grids {size_due(entry.puzzle.geometry)}", set()).add(entry.number)
        for slug in entry.puzzle.rule_names:
            titles.setdefault(rules.kinds()[slug].title, set()).add(entry.number)
    yield from _kinds(book, topics)
    for title, numbers in (*kinds.items(), *titles.items()):
        if title not in topics:
            told = f"how to play does not explain {title!r}"
            yield Finding("rule-name", told, line=part.head.line)
        else:
            yield from _taught(topics[title], numbers, taught if title in titles else {})
    yield from _ideas(book, topics.get("Ideas in the hints"), part.head.line)


def _kinds(book: Book, topics: Mapping[str, Node]) -> Iterator[Finding]:
    """Each kind of grid is explained by the sentence of the house."""
    geometries = [entry.puzzle.geometry for entry in book.entries]
    for geometry in {one.name(): one for one in geometries}.values():
        node = topics.get(f"Grids {size_due(geometry)}")
        due = _sentence(geometry)
        if node and not any(paragraph.text.startswith(due) for paragraph in node.body):
            told = f"{node.title!r} does not say {due!r}"
            yield Finding("rule-name", told, line=node.line)


def _sentence(geometry: Geometry) -> str:
    """How a kind of grid is explained."""
    n = geometry.size
    digits = f"digit from 1 to {min(n, 9)}"
    digits += f" or a letter from A to {SYMBOLS[n]}" if n > 9 else ""
    houses = "row and every column"
    if geometry.shape:
        high, wide = geometry.shape
        houses = f"row, every column and every block of {high} rows and {wide} columns"
    elif geometry.regions is not None:
        houses = "row, every column and every region"
    each = "each" if n <= 9 else f"all {n}"
    return f"Write a {digits} in each empty cell, so that every {houses} holds {each} of them once."


def _taught(
    node: Node, numbers: set[int], taught: Mapping[int, Mapping[str, str]]
) -> Iterator[Finding]:
    """Numbers of puzzles and words by turns; each puzzle has the same words beside it."""
    told: set[int] = set()
    body = list(node.body)
    for which, words in zip(body[::2], body[1::2], strict=False):
        here = numbers_of(which.text[:-1]) if which.text.endswith(".") else None
        here = here or set()
        told |= here
        for number in sorted(here & taught.keys()):
            if taught[number].get(node.title, words.text) != words.text:
                yield Finding("rule-name", f"{node.title!r} is explained in other words there",
                              number=number, line=words.line)  # fmt: skip
    if told != numbers or len(body) % 2:
        told_ = f"{node.title!r} names other puzzles than those that have it"
        yield Finding("rule-name", told_, line=node.line)


def _ideas(book: Book, node: Node | None, line: int) -> Iterator[Finding]:
    used = {(h.step.technique, h.step.rung) for entry in book.entries for h in entry.hints}
    texts = {paragraph.text for paragraph in node.body} if node else set()
    for row in rows(book.pack):
        if (row.slug, row.rung) in used:
            names = (said(row.name), f"{said(row.name)}, in a line")
            if not texts & {said(f"{name} (grade {row.rung}): {row.about}") for name in names}:
                told = f"the idea {row.name!r} is not explained"
                yield Finding("words", told, line=node.line if node else line)


# --- the back ----------------------------------------------------------------------------------


def check_answers(book: Book, seen: Outline) -> Iterator[Finding]:
    """Every answer once, in order; its grid is the proved solution."""
    part = seen.part(ANSWERS)
    items = [item for item in part.items if item.head.mark == ANSWER] if part else []
    entries = {str(entry.number): entry for entry in book.entries}
    printed = [(item.head.title.partition(":")[0], item.head.line) for item in items]
    yield from check_once(printed, list(entries), "answer")
    for item in items:
        entry = entries.get(item.head.title.partition(":")[0])
        if entry:
            yield from check_title(item.head, answer_head(entry), entry)
            yield from _answer(item.head, entry, seen)
            for topic in item.topics:
                yield finding("stray-text", "a topic stands in an answer", topic.line, entry)


def _answer(head: Node, entry: Entry, seen: Outline) -> Iterator[Finding]:
    pieces = parted(head.body)
    pictures = [one for one in pieces if isinstance(one, Picture)]
    words = [one for one in pieces if isinstance(one, Paragraph)]
    if len(pictures) != 1:
        code = "grid-doubled" if pictures else "grid-missing"
        yield finding(code, f"{len(pictures)} grids stand here, not one", head.line, entry)
    for picture in pictures[:1]:
        yield from check_grid(picture, entry.puzzle.geometry, entry.solution, entry)
    text = " ".join(one.text for one in words)
    yield from check_references(text, [("Puzzle: line", puzzle_head(entry))], head.line, seen)


def answers_printed(book: Book, seen: Outline) -> dict[int, Values]:
    """The answers as they are printed, by the numbers of their puzzles."""
    part = seen.part(ANSWERS)
    found: dict[int, Values] = {}
    entries = {str(entry.number): entry for entry in book.entries}
    for item in part.items if part else ():
        entry = entries.get(item.head.title.partition(":")[0])
        pictures = [one for one in parted(item.head.body) if isinstance(one, Picture)]
        if entry and pictures and (values := values_of(pictures[0], entry.puzzle.size)):
            found.setdefault(entry.number, values)
    return found


def check_credits(book: Book, seen: Outline) -> Iterator[Finding]:
    """Each setter with the numbers of the puzzles, and the licence."""
    part = seen.part(CREDITS)
    if part is None:
        return
    topics = {item.head.title: item.head for item in part.items if item.head.mark == TOPIC}
    setters: dict[str, list[int]] = {}
    for entry in book.entries:
        setters.setdefault(said(entry.puzzle.setter), []).append(entry.number)
    due = [f"{name}: {puzzles_due(numbers)}" for name, numbers in setters.items()]
    node = topics.get("Setters")
    lines = [line.text for paragraph in (node.body if node else ()) for line in paragraph.lines]
    if not told_in_lines(lines, due):
        told = "the setters are not credited with their puzzles"
        yield Finding("caption", told, line=part.head.line)
    licence = said(book.pack.licence)
    printed = topics.get("Licence")
    words = " ".join(paragraph.text for paragraph in printed.body) if printed else ""
    if words != licence:
        yield Finding("words", "the licence is not printed whole", line=part.head.line)
