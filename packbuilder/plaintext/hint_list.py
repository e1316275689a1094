"""Hints, in three sections: where to look; which idea; the step, with the grid before it."""

from __future__ import annotations

from packbuilder.book.book import Book, Entry
from packbuilder.grid import SYMBOLS, Geometry, cell_name
from packbuilder.ladder.hints import Hint
from packbuilder.plaintext.facts import (
    answer_place,
    has_hints,
    hint_number,
    hint_place,
    puzzle_place,
    title_of,
)
from packbuilder.plaintext.lines import (
    HINT,
    At,
    Line,
    Section,
    To,
    apart,
    field_of,
    heading,
    item,
    own,
    paragraph,
)
from packbuilder.plaintext.rows import grid_rows

SECTIONS = ("First hints", "Second hints", "Third hints")
TIERS = ("first", "second", "third")
_LEADS = (
    "Where to look, and no more.",
    "Which idea will help.",
    "The step in words, the grid as it stands just before, the cells that the step rests on and "
    "those in which it acts. Then, cell by cell, the candidates that it speaks of, where that "
    "helps; a cell may have others. Those that the step strikes are named at the end of the line.",
)


_CHAINS = "A chain names by turns what is false and what is then true."


def sections(book: Book) -> list[Section]:
    """The three sections; none where no puzzle has a hint."""
    if not has_hints(book):
        return []
    chained = any(len(h.step.nodes) > 2 for entry in book.entries for h in entry.hints)
    leads = [*_LEADS[:2], f"{_LEADS[2]} {_CHAINS}" if chained else _LEADS[2]]
    return [
        Section(
            name,
            (
                paragraph(leads[tier - 1]),
                *(_hint(entry, k, tier) for entry in book.entries for k in range(len(entry.hints))),
            ),
        )
        for tier, name in enumerate(SECTIONS, start=1)
    ]


def _hint(entry: Entry, k: int, tier: int) -> list[Line]:
    puzzle, hint = entry.puzzle, entry.hints[k]
    title = f"{hint_number(entry, k)}: {TIERS[tier - 1]} hint, {title_of(puzzle)}"
    source = field_of(puzzle, f"hint {k + 1}")
    words = paragraph(own((hint.where, hint.idea, hint.told)[tier - 1], source))
    onward = (
        To(f"{TIERS[tier].capitalize()} hint: line {{}}", (hint_place(entry, k, tier + 1),))
        if tier < len(TIERS)
        else To("Answer: line {}", (answer_place(entry),))
    )
    return apart(
        [
            [At(hint_place(entry, k, tier)), *heading(HINT, title)],
            words,
            position(hint, puzzle.geometry) if tier == len(TIERS) else [],
            [onward, To("Puzzle: line {}", (puzzle_place(entry),))],
        ]
    )


def position(hint: Hint, geometry: Geometry) -> list[Line]:
    """The grid before a step, the step's cells, and the candidates that show it."""
    n = geometry.size
    acts = sorted({cell for cell, _ in (*hint.step.places, *hint.step.removes)})
    rests = sorted(set(hint.step.cells) - set(acts))
    cells = [
        *(item("Rests on", [cell_name(cell, n) for cell in rests]) if rests else []),
        *(item("Acts in", [cell_name(cell, n) for cell in acts]) if acts else []),
    ]
    cells += _links(hint, n)
    return apart([grid_rows(hint.position, geometry), cells, _candidates(hint, n)])


def _links(hint: Hint, size: int) -> list[str]:
    """The nodes of a chain, from what is false to what is then true; the colours of a colouring."""
    nodes = hint.step.nodes
    if len(nodes) == 2:
        names = [[cell_name(cell, size) for cell in cells] for cells, _ in nodes]
        return [*item("One colour", names[0]), *item("Other colour", names[1])]
    told = []
    for k, (cells, digit) in enumerate(nodes):
        where = " or ".join(cell_name(cell, size) for cell in cells)
        told.append(f"{'' if k % 2 else 'not '}{SYMBOLS[digit]} in {where}")
    return item("Chain", told, ",") if told else []


def _candidates(hint: Hint, size: int) -> list[str]:
    """``r4c2: 3 5 7; strike 5``."""
    lines = ["Candidates that it speaks of:"] if hint.shown else []
    for cell, digits in hint.shown:
        struck = [SYMBOLS[d] for d in digits if (cell, d) in hint.struck]
        values = [SYMBOLS[d] for d in digits]
        if struck:
            values = [*values[:-1], f"{values[-1]};", "strike", *struck]
        lines += item(cell_name(cell, size), values)
    return lines
