"""Whether the outline that a file has is the one that the book gives: heading by heading."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import TypeVar

from packbuilder.book.book import Entry
from packbuilder.grid import cell_name
from packbuilder.plan.outline import (
    SECTION,
    TOPIC,
    Block,
    Head,
    Node,
    Outline,
    Paragraph,
    Rows,
    To,
)
from packbuilder.readback.plaintext.parsing import text_of
from packbuilder.readback.report import Finding, gather

T = TypeVar("T")
_NUMBER = "([1-9][0-9]{0,8})"


def compared(seen: Outline, due: Outline, entries: Mapping[str, Entry]) -> Iterator[Finding]:
    """What is missing, what is another, and what is too much, each where it stands.

    ``entries`` are the puzzles of the book by their numbers.
    """
    heads = {node.line: node.head for node in seen.nodes}
    yield from _Place("", None, 1, heads).blocks(seen.front, due.front)
    known = {_plain_head(node.head) for node in due.nodes}
    section, number, line = "", "", 1
    for here, wanted in _aligned(seen.nodes, due.nodes, _keys):
        node = wanted or here
        assert node is not None
        line = here.line if here else line
        if node.mark == SECTION:
            section = node.title
        if node.mark != TOPIC:
            number = re.split("[:.]", node.title)[0] if node.mark != SECTION else ""
        place = _Place(section, entries.get(number), line, heads)
        if here is None:
            code = {SECTION: "section", TOPIC: "words"}.get(node.mark, "grid-missing")
            yield place.finding(code, f"the heading {_told(node.head)} is missing")
        elif wanted is None:
            code = {SECTION: "section", TOPIC: "stray-text"}.get(node.mark, "grid-unknown")
            what = "stands here again" if here.head in known else "is none of the book's"
            if code == "grid-unknown" and here.head in known:
                code = "grid-doubled"
            yield place.finding(code, f"the heading {_told(here.head)} {what}")
        else:
            if here.head != _plain_head(wanted.head):
                told = f"the heading is {_told(here.head)}, not {_told(wanted.head)}"
                yield place.finding("section" if node.mark == SECTION else "caption", told)
            yield from place.blocks(here.body, wanted.body)


def _keys(nodes: Sequence[Node]) -> list[tuple[Head, Head]]:
    """What a heading is known by: itself, and the puzzle, hint or section that it belongs to."""
    keys, owner = [], ("", "")
    for node in nodes:
        owner = owner if node.mark == TOPIC else _plain_head(node.head)
        keys.append((owner, _plain_head(node.head)))
    return keys


def _aligned(
    seen: Sequence[T], due: Sequence[T], keys: Callable[[Sequence[T]], Sequence[object]]
) -> Iterator[tuple[T | None, T | None]]:
    """Both sequences side by side: those of equal keys, and between them one with another."""
    matcher = SequenceMatcher(None, keys(seen), keys(due), autojunk=False)
    for _, a, b, c, d in matcher.get_opcodes():
        for k in range(max(b - a, d - c)):
            yield (seen[a + k] if a + k < b else None), (due[c + k] if c + k < d else None)


@dataclass(frozen=True)
class _Place:
    """Where something stands: in a section, of a puzzle, from a line on."""

    section: str
    entry: Entry | None
    line: int
    heads: Mapping[int, Head]

    def finding(self, code: str, told: str, line: int = 0, cells: tuple[str, ...] = ()) -> Finding:
        number, name = (self.entry.number, self.entry.puzzle.id) if self.entry else (None, None)
        if self.section == "Primer" and not code.startswith(("section", "reference")):
            code = "lesson"
        return Finding(code, told, None, cells, number, name, line or self.line)

    def blocks(self, seen: Sequence[Block], due: Sequence[Block]) -> Iterator[Finding]:
        """What stands below a heading."""
        for here, wanted in _aligned(seen, due, lambda blocks: [_key(one) for one in blocks]):
            if isinstance(here, Rows) and isinstance(wanted, Rows):
                yield from self._rows(here, wanted)
            elif isinstance(here, Paragraph) and isinstance(wanted, Paragraph):
                yield from self._paragraph(here, wanted)
            else:
                if wanted is not None:
                    yield self._missing(wanted)
                if isinstance(here, Rows):
                    yield self.finding("grid-unknown", "this grid is none of the book's", here.line)
                elif here is not None:
                    told = f"{text_of(here)[:60]!r} is not in the book"
                    yield self.finding("stray-text", told, here.line)

    def _missing(self, due: Block) -> Finding:
        if isinstance(due, Rows):
            return self.finding("grid-missing", "a grid is missing")
        first = due.items[0]
        if isinstance(first, To):
            return self.finding("reference-missing", f"no line says {first.words.format('N')!r}")
        return self.finding("words", f"{_plain(first)[:60]!r} is not printed")

    def _paragraph(self, seen: Paragraph, due: Paragraph) -> Iterator[Finding]:
        """Items, each from a new line on."""
        lines, line = [str(item) for item in seen.items], seen.line
        for item in due.items:
            found, taken = None, 0
            while found is None and taken < len(lines):
                taken += 1
                found = _numbers(" ".join(lines[:taken]), item)
            if found is None:
                words = item.words.replace("{}", "N") if isinstance(item, To) else _plain(item)
                told = f"{' '.join(lines)[:60]!r} stands where {words[:60]!r} belongs"
                code = "reference-missing" if isinstance(item, To) else "words"
                yield self.finding(code, told, line)
                return
            if isinstance(item, To):
                for number, head in zip(found, item.heads, strict=True):
                    if self.heads.get(number) != _plain_head(head):
                        told = f"line {number} is not that of the heading {_told(head)}"
                        yield self.finding("reference", told, line)
            del lines[:taken]
            line += taken
        if lines:
            yield self.finding("stray-text", f"{' '.join(lines)[:60]!r} is not in the book", line)

    def _rows(self, seen: Rows, due: Rows) -> Iterator[Finding]:
        """Every row, with a sign for each cell and blocks set apart."""
        if seen.lines == due.lines:
            return
        rows, wanted = ([line.split() for line in one.lines if line] for one in (seen, due))
        names, due_names = ([row[0] for row in some] for some in (rows, wanted))
        if names != due_names:
            lost = [name for name in due_names if name not in names]
            told = f"row {', '.join(lost)} is missing" if lost else "its rows are not in order"
            yield self.finding("grid-broken", told, seen.line)
            return
        for row in rows:
            if len(row) != len(wanted) + 1 or any(len(sign) != 1 for sign in row[1:]):
                told = f"{row[0]} has not {len(wanted)} signs with blanks between them"
                yield self.finding("grid-size", told, seen.line)
                return
        if rows == wanted:
            told = "its blanks and blank lines do not set its blocks apart"
            yield self.finding("border-wrong", told, seen.line)
        yield from self._signs(rows, wanted, seen)

    def _signs(
        self, rows: Sequence[Sequence[str]], due: Sequence[Sequence[str]], seen: Rows
    ) -> Iterator[Finding]:
        size, told = len(due), dict[str, list[tuple[int, str]]]()
        for cell in range(size * size):
            sign, wanted = (some[cell // size][cell % size + 1] for some in (rows, due))
            if sign == wanted:
                continue
            code, words = "digit-wrong", f"shows {sign}, not {wanted}"
            if wanted == ".":
                code, words = "digit-extra", f"shows {sign} and must be empty"
            elif sign == ".":
                code, words = "digit-missing", f"must show {wanted}"
            told.setdefault(code, []).append((cell, f"{cell_name(cell, size)} {words}"))
        lines = [k for k, line in enumerate(seen.lines) if line]
        for code, cells in told.items():
            for fault in gather(code, cells):
                line = seen.line + lines[fault.cells[0] // size]
                names = tuple(cell_name(cell, size) for cell in fault.cells)
                yield self.finding(code, fault.message, line, names)


def _key(block: Block) -> str:
    """What a block is known by: its words, but for numbers."""
    if isinstance(block, Rows):
        return ""
    items = (one.words.replace("{}", "0") if isinstance(one, To) else one for one in block.items)
    return re.sub("[0-9]+", "0", _plain(" ".join(items)))


def _numbers(words: str, item: str | To) -> tuple[int, ...] | None:
    """The numbers of lines that words give where an item has references; None for other words."""
    if not isinstance(item, To):
        return () if words == _plain(item) else None
    found = re.fullmatch(_NUMBER.join(map(re.escape, item.words.split("{}"))), words)
    return tuple(map(int, found.groups())) if found else None


def _plain(words: str) -> str:
    """Words of an outline as they stand in a file."""
    return words.replace("\u00a0", " ")


def _plain_head(head: Head) -> Head:
    return head[0], _plain(head[1])


def _told(head: Head) -> str:
    return repr(_plain(" ".join(head))[:60])
