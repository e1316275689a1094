"""The read-back of a text edition from end to end."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from packbuilder.book.book import Book, Entry
from packbuilder.grid import SYMBOLS, Values
from packbuilder.readback.plaintext import front, hints
from packbuilder.readback.plaintext.due import check_once, finding
from packbuilder.readback.plaintext.file import Line, check_lines, decoded, load
from packbuilder.readback.plaintext.grids import check_no_answer
from packbuilder.readback.plaintext.outline import (
    ANSWER,
    ANSWERS,
    END,
    HINT,
    PRIMER,
    PUZZLE,
    PUZZLES,
    SECTION,
    TIERS,
    TOPIC,
    Outline,
    Part,
    outline,
)
from packbuilder.readback.plaintext.puzzles import Read, read_puzzle
from packbuilder.readback.plaintext.rows import Picture, parted
from packbuilder.readback.report import Finding, ReadBack
from packbuilder.readback.uniqueness import Prove, by_engines
from packbuilder.rules.houses import with_houses


def read_text(data: Path | bytes, book: Book, *, prove: Prove | None = None) -> ReadBack:
    """Read a text edition and hold it against the verified book.

    ``prove`` says how many solutions a grid has with the parts of its rules; by default that is
    asked of the proof engines. A text has no pages: the read-back counts none, and findings name
    lines. Raises InputError where the file cannot be read at all; whatever can be read and is wrong
    is a finding.
    """
    lines, found = decoded(load(data))
    seen = outline(lines)
    read, told = _puzzles(book, seen)
    answers = front.answers_printed(book, seen)
    taught = {one.entry.number: one.taught for one in read}
    found = [
        *found,
        *check_lines(lines),
        *front.check_sections(book, seen),
        *front.check_title_lines(book, seen),
        *front.check_front(book, seen),
        *front.check_how_to_play(book, seen, taught),
        *hints.check_primer(book, seen),
        *told,
        *hints.check_hints(book, seen),
        *front.check_answers(book, seen),
        *front.check_credits(book, seen),
        *_check_early(book, seen, lines),
        *_check_proofs(read, answers, prove or by_engines),
    ]
    found = sorted(set(found), key=lambda f: (f.line or 0, f.number or 0, f.code, f.message))
    positions = sum(len(entry.hints) for entry in book.entries)
    return ReadBack(0, len(read) + positions + len(answers), tuple(found))


def _puzzles(book: Book, seen: Outline) -> tuple[list[Read], list[Finding]]:
    """The puzzles as they are printed, and what is wrong with them."""
    part = seen.part(PUZZLES)
    items = [item for item in part.items if item.head.mark == PUZZLE] if part else []
    entries = {str(entry.number): entry for entry in book.entries}
    keys = [item.head.title.partition(":")[0] for item in items]
    found = list(check_once(zip(keys, (item.head.line for item in items), strict=True),
                            list(entries), "puzzle"))  # fmt: skip
    read = []
    for key, item in zip(keys, items, strict=True):
        if key in entries:
            one, faults = read_puzzle(item, entries[key], book, seen)
            read.append(one)
            found += faults
    return read, found


# --- nothing is given away -----------------------------------------------------------------------


def _check_early(book: Book, seen: Outline, lines: Sequence[Line]) -> Iterator[Finding]:
    """No answer stands before the answers: as a grid, or in any other lines."""
    start = next((part.head.line for part in seen.parts if part.name == ANSWERS), len(lines) + 1)
    entries = [*book.entries]
    pictures = [
        one
        for part in seen.parts
        if part.head.line < start
        for item in part.items
        for node in (item.head, *item.topics)
        for one in parted(node.body)
        if isinstance(one, Picture)
    ]
    for part in seen.parts:
        yield from _check_astray(part)
    yield from check_no_answer(pictures, [(entry.solution, entry) for entry in entries])
    signs = "".join(_signs(line.text) for line in lines[: start - 1])
    for entry in entries:
        if "".join(SYMBOLS[value] for value in entry.solution) in signs:
            told = "its answer can be read before the answers begin"
            yield finding("answer-shown", told, None, entry)


_OF_ITEMS = {PUZZLES: PUZZLE, ANSWERS: ANSWER, END: SECTION} | dict.fromkeys(TIERS, HINT)
"""Sections of nothing but items, with the mark of these."""
_WITH_GRIDS = (PUZZLES, TIERS[2], PRIMER, ANSWERS)


def _check_astray(part: Part) -> Iterator[Finding]:
    """Nothing stands in a section but its items; grids stand in their own sections only."""
    lead = () if part.name in TIERS else part.head.body
    if part.name in _OF_ITEMS:
        for paragraph in lead:
            told = f"{paragraph.text[:60]!r} belongs to no item of the section"
            yield Finding("stray-text", told, line=paragraph.line)
    for item in part.items:
        if item.head.mark != _OF_ITEMS.get(part.name, TOPIC):
            told = f"{item.head.title[:60]!r} is no heading of this section"
            yield Finding("stray-text", told, line=item.head.line)
    nodes = [part.head, *(node for item in part.items for node in (item.head, *item.topics))]
    if part.name in _WITH_GRIDS:
        nodes = nodes[:1]
    for one in (one for node in nodes for one in parted(node.body)):
        if isinstance(one, Picture):
            yield Finding("grid-unknown", "this grid belongs to no puzzle", line=one.line)


def _signs(text: str) -> str:
    """What of a line could be digits of a grid: names of rows and cells are none."""
    bare = re.sub(r"\br\d+(c\d+)?\b", "", text)
    return "".join(re.findall(r"\d" if re.search(r"[a-zH-Z]", bare) else r"[1-9A-G]", bare))


# --- proof ---------------------------------------------------------------------------------------


def _check_proofs(
    read: Sequence[Read], answers: dict[int, Values], prove: Prove
) -> Iterator[Finding]:
    """Each puzzle, as it is printed, has one solution: the printed answer."""
    for one in read:
        entry: Entry = one.entry
        if one.geometry is None or one.clues is None or one.parts is None:
            yield finding("not-proved", "what is printed cannot be proved", one.line, entry)
            continue
        if len(one.clues) != one.geometry.cell_count:
            yield finding("not-proved", "the grid is not of its size", one.line, entry)
            continue
        try:
            whole = with_houses(one.geometry, one.parts)
            verdict = prove(whole, one.clues, one.parts)
        except ValueError:  # parts that no manifest could hold: what is wrong is told elsewhere
            yield finding("not-proved", "what is printed cannot be proved", one.line, entry)
            continue
        if verdict.solutions is None:
            told = "the proof of what is printed ran into its limit"
            yield finding("not-proved", told, one.line, entry)
        elif verdict.solutions != 1:
            many = "two or more solutions" if verdict.solutions else "no solution"
            yield finding("not-unique", f"as printed it has {many}", one.line, entry)
        elif answers.get(entry.number, verdict.first) != verdict.first:
            told = "its only solution as printed is not the printed answer"
            yield finding("not-unique", told, one.line, entry)
