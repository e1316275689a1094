"""Whether a screen reader is told each puzzle's clues and regions as the book has them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from packbuilder import rules
from packbuilder.book.book import Entry
from packbuilder.grid import cell_name
from packbuilder.readback.match import Match
from packbuilder.readback.parts import parts_amiss
from packbuilder.readback.report import Fault
from packbuilder.reader.text import ANSWERS, PRIMER, PUZZLES
from packbuilder.rules.contract import Clue, Picture, RuleFault, Told
from packbuilder.rules.houses import without_houses

REGIONS, LETTERS = "Regions, a letter each", "Entry letters"
WHAT = {PUZZLES: "Puzzle", PRIMER: "Puzzle", ANSWERS: "Answer"}
"""What the summary of a grid calls it; any other is a hint's."""

_ROW = re.compile(r"r([0-9]+)((?: [a-z.])+)")


def check_summary(summaries: Sequence[str], one: Match) -> Iterator[Fault]:
    """One summary of its page is of this grid and, for a puzzle, tells all of its clues."""
    what, puzzle = WHAT.get(one.item.section, "Hint for puzzle"), one.entry.puzzle
    name = one.entry.number or f"to try, {puzzle.title}"
    begin = f"{what} {name}: {puzzle.geometry.name()}."
    told = next((s for s in summaries if s.casefold().startswith(begin.casefold())), None)
    empty = not (one.item.grid and one.item.grid.filled.digits)  # a page knows no empty table
    if told is None and not empty:
        yield Fault("tag", f"a screen reader is not told {begin!r} of this grid")
    elif told is not None and what == "Puzzle":
        for words in _amiss(told[len(begin) - 1 :], one.entry):
            yield Fault("tag", f"as a screen reader is told, {words}")


def _amiss(told: str, entry: Entry) -> Iterator[str]:
    puzzle = entry.puzzle
    kinds = {rules.kinds()[slug].title: rules.kinds()[slug] for slug in puzzle.rule_names}
    topics = _topics(told, (REGIONS, *kinds, LETTERS))
    letters = [f"{s.text}: {cell_name(s.cell, puzzle.size)}" for s in entry.lettered]
    if topics.get(LETTERS, "") != "; ".join(letters):
        yield "the letters to enter by are not the book's"
    regions = puzzle.geometry.regions if not puzzle.geometry.shape else None
    if not _same_regions(topics.get(REGIONS, ""), regions):
        yield "the regions of the grid are not the book's"
    base = without_houses(puzzle.geometry, puzzle.rules)
    for title, kind in kinds.items():
        try:
            heard = kind.parse(told_of_a_line(topics.get(title, "")), base)
        except RuleFault as fault:
            yield f"{title} is in words that mean no clue: {fault}"
            continue
        for _, words in parts_amiss(heard, rules.parts_of(kind, puzzle.rules), puzzle.size):
            yield words.replace("printed", "told")


def _topics(told: str, titles: tuple[str, ...]) -> dict[str, str]:
    """The words behind each title."""
    heads = "|".join(re.escape(title) for title in sorted(titles, key=len, reverse=True))
    pieces = re.split(rf"\. ({heads}): ", told.removesuffix("."))
    return dict(zip(pieces[1::2], pieces[2::2], strict=True))


def told_of_a_line(words: str) -> list[Told]:
    """Clues of a line ``cage 15: r1c1 r1c2; cage 3: r2c1``, and pictures ``r1 a a; r2 a b``."""
    told: list[Told] = []
    for piece in words.split("; ") if words else ():
        row = _ROW.fullmatch(piece)
        label, _, clue = piece.partition(": ")
        if not row:
            told.append(Clue(label, (clue,) if clue else ()))
        elif row[1] == "1" or not (told and isinstance(told[-1], Picture)):
            told.append(Picture(row[2].replace(" ", "")))
        else:
            told[-1] = Picture(told[-1].letters + row[2].replace(" ", ""))
    return told


def _same_regions(words: str, regions: tuple[int, ...] | None) -> bool:
    """Whether letters part the cells as the regions do."""
    letters = "".join(one.letters for one in told_of_a_line(words) if isinstance(one, Picture))
    if not regions:
        return not words
    pairs = set(zip(letters, regions, strict=False))
    return len(letters) == len(regions) and (
        len(pairs) == len({a for a, _ in pairs}) == len({b for _, b in pairs})
    )
