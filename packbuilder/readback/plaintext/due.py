"""What the house style has the file say of a book: facts in words, and where references lead."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from packbuilder import rules
from packbuilder.book.book import Book, Entry
from packbuilder.grid import Geometry
from packbuilder.puzzle import Pack
from packbuilder.readback.plaintext.outline import (
    ANSWER,
    ANSWERS,
    CONTENTS,
    CREDITS,
    END,
    FOREWORD,
    HINT,
    HOW_TO_PLAY,
    PRIMER,
    PUZZLE,
    PUZZLES,
    TIERS,
    USE,
    Node,
    Outline,
    said,
)
from packbuilder.readback.report import Finding
from packbuilder.rules.contract import Row

ORDINALS = ("first", "second", "third")
MONTHS = dict(
    zip(
        (f"{k:02}" for k in range(1, 13)),
        ("January", "February", "March", "April", "May", "June", "July", "August", "September",
         "October", "November", "December"),
        strict=True,
    )
)  # fmt: skip


def sections_due(book: Book) -> list[str]:
    """The sections of a book, in order."""
    hints = any(entry.hints for entry in book.entries)
    return [
        *(USE, CONTENTS),
        *([FOREWORD] if book.pack.foreword.strip() else []),
        HOW_TO_PLAY,
        *([PRIMER] if book.lessons else []),
        PUZZLES,
        *(TIERS if hints else ()),
        *(ANSWERS, CREDITS, END),
    ]


def issue_due(issue: str) -> str:
    """``December 2026`` for ``2026-12``."""
    year, _, month = issue.strip().partition("-")
    return f"{MONTHS[month]} {year}" if month in MONTHS else said(issue)


def size_due(geometry: Geometry) -> str:
    """``9 by 9; blocks 3 rows, 3 columns``."""
    kind = "irregular regions" if geometry.regions else "no blocks"
    if geometry.shape:
        kind = "blocks {} rows, {} columns".format(*geometry.shape)
    return f"{geometry.size} by {geometry.size}; {kind}"


def facts_due(entry: Entry, book: Book) -> list[tuple[str, str]]:
    """The facts of a puzzle, each with the code of a finding where it is another."""
    puzzle, promise = entry.puzzle, entry.puzzle.promise
    facts = [
        ("caption", f"Set by {said(puzzle.setter)}"),
        ("border-wrong", f"Size {size_due(puzzle.geometry)}"),
        ("caption", f"Grade {entry.grade}"),
    ]
    if puzzle.rule_names:
        titles = ", ".join(rules.kinds()[slug].title for slug in puzzle.rule_names)
        facts.append(("rule-name", f"Rules: {titles}"))
    needs = dict.fromkeys((*book.pack.needs, *promise.needs))
    theme = [slug for slug in needs if slug not in promise.only]
    for label, slugs in (("Turns on", theme), ("Only by", promise.only)):
        if slugs:
            names = {row.slug: row.name for row in reversed(list(rows(book.pack)))}
            told = ", ".join(_inside(names.get(slug, slug.replace("-", " "))) for slug in slugs)
            facts.append(("words", f"{label}: {told}"))
    if promise.no_notes is not None:
        most = f"at most {promise.no_notes}" if promise.no_notes else "nothing"
        facts.append(("words", f"No notes: {most} in mind"))
    return facts


def _inside(name: str) -> str:
    """A name inside a sentence: a small first letter, but for X-wing and the like."""
    return name[0].lower() + name[1:] if re.match(r".[a-z]", name) else name


def rows(pack: Pack) -> Iterator[Row]:
    """The techniques of a pack, by rung, the rules' own first among those of a rung."""
    from packbuilder.ladder.overrides import chosen  # late: it loads every technique
    from packbuilder.ladder.puzzle_ladder import rule_rows

    table = [(t.rung, 1, Row(t.slug, t.name, t.rung, t.weight, t.about, t.idea))
             for t in chosen(pack.ladder, pack.assume_unique).techniques]  # fmt: skip
    table += [(row.rung, 0, row) for row in rule_rows()]
    return (row for _, _, row in sorted(table, key=lambda one: one[:2]))


def told_in_lines(lines: Sequence[str], due: Sequence[str]) -> bool:
    """Whether lines say just the texts due, each from a new line on."""
    left = list(lines)
    for text in due:
        taken = 1
        while taken < len(left) and " ".join(left[:taken]) != text:
            taken += 1
        if " ".join(left[:taken]) != text:
            return False
        del left[:taken]
    return not left


def puzzles_due(numbers: Iterable[int]) -> str:
    """``puzzle 3``; ``puzzles 1, 2, 5 to 7``."""
    left = sorted(numbers)
    told: list[str] = []
    word = "puzzle" if len(left) == 1 else "puzzles"
    while left:
        run = next(k for k in range(1, len(left) + 1) if left[k:][:1] != [left[0] + k])
        told += [f"{left[0]} to {left[run - 1]}"] if run > 2 else map(str, left[:run])
        del left[:run]
    return f"{word} {', '.join(told)}"


def numbers_of(text: str) -> set[int] | None:
    """The numbers of ``Puzzles 1, 3 to 5``; None where the words are others."""
    words, _, told = text.partition(" ")
    if words not in ("Puzzle", "Puzzles"):
        return None
    numbers: set[int] = set()
    for piece in told.split(", "):
        found = re.fullmatch(r"([0-9]{1,4})(?: to ([0-9]{1,4}))?", piece)
        if not found:
            return None
        numbers |= set(range(int(found[1]), int(found[2] or found[1]) + 1))
    return numbers


# --- headings, and references to them ----------------------------------------------------------


def puzzle_head(entry: Entry) -> tuple[str, str]:
    """The mark and the title of a puzzle's heading."""
    return PUZZLE, f"{entry.number}: {said(entry.puzzle.title)}"


def hint_head(entry: Entry, k: int, tier: int) -> tuple[str, str]:
    """The mark and the title of a hint's heading; ``k`` and ``tier`` count from 0."""
    number = f"{entry.number}.{k + 1}" if len(entry.hints) > 1 else f"{entry.number}"
    return HINT, f"{number}: {ORDINALS[tier]} hint, {said(entry.puzzle.title)}"


def answer_head(entry: Entry) -> tuple[str, str]:
    """The mark and the title of an answer's heading."""
    return ANSWER, f"{entry.number}: answer, {said(entry.puzzle.title)}"


Head = tuple[str, str]


def check_references(
    text: str, due: Sequence[tuple[str, Head]], line: int, seen: Outline
) -> Iterator[Finding]:
    """``text`` is each label of ``due`` with the line of the heading that it must lead to."""
    pattern = "".join(rf"{re.escape(label)} ([1-9][0-9]{{0,8}})" for label, _ in due)
    found = re.fullmatch(pattern, text)
    if not found:
        wanted = "".join(f"{label} N" for label, _ in due)
        yield Finding("reference-missing", f"{text[:60]!r} stands for {wanted!r}", line=line)
        return
    for number, (label, (mark, title)) in zip(found.groups(), due, strict=True):
        there = seen.heads.get(int(number))
        if there is None or (there.mark, there.title) != (mark, title):
            what = f"{label.strip(' ;')} {number}"
            told = f"{what!r} does not lead to the heading {f'{mark} {title}'[:60]!r}"
            yield Finding("reference", told, line=line)


def check_title(node: Node, head: Head, entry: Entry) -> Iterator[Finding]:
    """A heading's words are those of the book."""
    if node.title != head[1]:
        told = f"the heading is {node.title[:60]!r}, not {head[1][:60]!r}"
        yield finding("caption", told, node.line, entry)


def finding(code: str, told: str, line: int | None, entry: Entry | None) -> Finding:
    """A finding about a puzzle; None where it is about an example."""
    number, name = (entry.number, entry.puzzle.id) if entry else (None, None)
    return Finding(code, told, number=number, puzzle=name, line=line)


def check_once(
    found: Iterable[tuple[str, int]], due: Sequence[str], what: str
) -> Iterator[Finding]:
    """Keys that are printed, with their lines, against those due: once each, in order."""
    lines: dict[str, int] = {}
    for key, line in found:
        if key in lines:
            yield Finding("grid-doubled", f"{what} {key} stands here again", line=line)
        elif key not in due:
            yield Finding("grid-unknown", f"the book has no {what} {key}", line=line)
        lines.setdefault(key, line)
    for key in due:
        if key not in lines:
            yield Finding("grid-missing", f"{what} {key} is missing")
    there = [key for key in due if key in lines]
    for before, after in pairwise(there):
        if lines[after] < lines[before]:
            yield Finding("section", f"{what} {after} stands before {what} {before}",
                          line=lines[after])  # fmt: skip
