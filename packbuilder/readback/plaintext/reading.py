"""The read-back of a text edition from end to end."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from packbuilder.book.book import Book, Entry
from packbuilder.book.wording import small
from packbuilder.grid import SYMBOLS
from packbuilder.plan.outline import ANSWER, PUZZLE, SECTION, Outline, Rows
from packbuilder.readback.lessons import TRIED, trials
from packbuilder.readback.plaintext.comparing import compared
from packbuilder.readback.plaintext.file import Line, check_lines, decoded, load
from packbuilder.readback.plaintext.parsing import parsed, values_of
from packbuilder.readback.plaintext.proving import first_proof, items_of
from packbuilder.readback.report import Finding, ReadBack
from packbuilder.readback.uniqueness import Prove, by_engines


def read_text(
    data: Path | bytes, book: Book, outline: Outline, *, prove: Prove | None = None
) -> ReadBack:
    """Read a text edition and hold it against the verified book, and the outline that it tells.

    ``prove`` says how many solutions a grid has with the parts of its rules; by default that is
    asked of the proof engines. A text has no pages: the read-back counts none, and findings name
    lines. Raises InputError where the file cannot be read at all; whatever can be read and is wrong
    is a finding.
    """
    lines, found = decoded(load(data))
    seen = parsed(lines)
    tried = list(trials(book))
    entries = {str(entry.number): entry for entry in book.entries}
    entries |= {f"{TRIED}, {small(entry.puzzle.title)}": entry for entry in tried}
    items = items_of(seen, entries)
    found += check_lines(lines)
    found += compared(seen, outline, entries)
    found += _answers_early((*book.entries, *tried), seen, lines)
    told = {(one.code, one.number) for one in found}
    for one in first_proof(items, prove or by_engines):
        if (one.code, one.number) not in told:  # the comparison says it more closely
            found.append(one)
    found = sorted(set(found), key=lambda f: (f.line or 0, f.number or 0, f.code, f.message))
    positions = sum(len(entry.hints) for entry in book.entries)
    return ReadBack(0, len(items[PUZZLE]) + positions + len(items[ANSWER]), tuple(found))


def _answers_early(
    entries: Sequence[Entry], seen: Outline, lines: Sequence[Line]
) -> Iterator[Finding]:
    """No answer stands before the answers: as a grid, or in any other lines."""
    before = [*seen.nodes]
    start = len(lines) + 1
    for k, node in enumerate(seen.nodes):
        if node.head == (SECTION, "Answers"):
            before, start = before[:k], node.line
            break
    grids = [block for node in before for block in node.body if isinstance(block, Rows)]
    signs = "".join(_signs(line.text) for line in lines[: start - 1])
    for entry in entries:
        size, answer = entry.puzzle.size, entry.solution
        where = next((grid.line for grid in grids if values_of(grid, size) == answer), None)
        if where or "".join(SYMBOLS[value] for value in answer) in signs:
            told = "its answer can be read before the answers begin"
            yield Finding("answer-shown", told, None, (), entry.number, entry.puzzle.id, where)


def _signs(text: str) -> str:
    """What of a line could be digits of a grid: names of rows and cells are none."""
    bare = re.sub(r"\br\d+(c\d+)?\b", "", text)
    return "".join(re.findall(r"\d" if re.search(r"[a-zH-Z]", bare) else r"[1-9A-G]", bare))
