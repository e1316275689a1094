"""Hints, in three sections: where to look; which idea; the step, with the grid before it.

Each goes in rounds, the first hint of every puzzle and then the second ones: who reads on past one
does not hear what comes after it in the same puzzle.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from packbuilder.book.book import Book, Entry
from packbuilder.book.how_to_play import has_hints
from packbuilder.grid import SYMBOLS, Geometry, cell_name
from packbuilder.ladder.hints import Hint
from packbuilder.plaintext import how_to_play
from packbuilder.plaintext.facts import TIERS, answer_head, hint_head, puzzle_head
from packbuilder.plaintext.grids import grid_rows
from packbuilder.plaintext.words import field_of, item, own, said
from packbuilder.plan.outline import SECTION, Block, Node, To

SECTIONS = ("First hints", "Second hints", "Third hints")
_LEADS = (
    "Where to look, and no more.",
    "Which idea will help.",
    "The step in words, the grid before it without digits that it can spare, the cells "
    "that the step rests on and those in which it acts. Then, cell by cell, the candidates that it "
    "speaks of, where that helps; a cell may have others. Those that the step strikes are named at "
    "the end of the line.",
)
_CHAINS = "A chain names by turns what is false and what is then true."


def sections(book: Book) -> Iterator[Node]:
    """The three sections; none where no puzzle has a hint."""
    if not has_hints(book):
        return
    chained = any(len(h.step.nodes) > 2 for entry in book.entries for h in entry.hints)
    for tier, name in enumerate(SECTIONS):
        lead = f"{_LEADS[tier]} {_CHAINS}" if chained and tier == 2 else _LEADS[tier]
        yield Node(SECTION, name, (said(lead),))
        for k in range(max(len(entry.hints) for entry in book.entries)):
            for entry in (entry for entry in book.entries if k < len(entry.hints)):
                yield Node(*hint_head(entry, k, tier), tuple(_hint(entry, k, tier)))
        if tier == 1:
            yield from how_to_play.ideas(book)


def _hint(entry: Entry, k: int, tier: int) -> Iterator[Block]:
    puzzle, hint = entry.puzzle, entry.hints[k]
    yield said(own((hint.where, hint.idea, hint.told)[tier], field_of(puzzle, f"hint {k + 1}")))
    onward = To("Answer: line {}", (answer_head(entry),))
    if tier == 2 and k + 1 < len(entry.hints):
        onward = To("Stuck again: line {}", (hint_head(entry, k + 1, 0),))
    if tier < 2:
        words = f"{TIERS[tier + 1].capitalize()} hint: line {{}}"
        onward = To(words, (hint_head(entry, k, tier + 1),))
    else:
        yield from position(hint, puzzle.geometry)
    yield said(onward, To("Puzzle: line {}", (puzzle_head(entry),)))


def position(hint: Hint, geometry: Geometry) -> Iterator[Block]:
    """The grid before a step, the step's cells, and the candidates that show it."""
    n = geometry.size
    yield grid_rows(hint.position, geometry)
    if told := [*rests_on(hint, n), *acts_in(hint, n), *links(hint, n)]:
        yield said(*told)
    if told := candidates(hint, n):
        yield said(*told)


def rests_on(hint: Hint, size: int) -> list[str]:
    """The cells on which a step rests, but for those in which it acts."""
    rests = sorted(set(hint.step.cells) - _acts(hint))
    return [item("Rests on", _names(rests, size))] if rests else []


def acts_in(hint: Hint, size: int) -> list[str]:
    """The cells in which a step acts."""
    acts = sorted(_acts(hint))
    return [item("Acts in", _names(acts, size))] if acts else []


def _acts(hint: Hint) -> set[int]:
    return {cell for cell, _ in (*hint.step.places, *hint.step.removes)}


def called(hint: Hint, size: int) -> list[str]:
    """``A: r1c2 r3c4``: the letters by which its words call some cells."""
    names = dict.fromkeys(letter for _, letter in hint.letters)
    return [item(n, _names((c for c, letter in hint.letters if letter == n), size)) for n in names]


def _names(cells: Iterable[int], size: int) -> list[str]:
    return [cell_name(cell, size) for cell in cells]


def links(hint: Hint, size: int) -> list[str]:
    """The nodes of a chain, from what is false to what is then true; the colours of a colouring."""
    nodes = hint.step.nodes
    if len(nodes) == 2:
        one, other = (_names(cells, size) for cells, _ in nodes)
        return [item("One colour", one), item("Other colour", other)]
    told = [
        f"{'' if k % 2 else 'not '}{SYMBOLS[digit]} in {' or '.join(_names(cells, size))}"
        for k, (cells, digit) in enumerate(nodes)
    ]
    return [item("Chain", [*(f"{one}," for one in told[:-1]), told[-1]])] if told else []


def candidates(hint: Hint, size: int) -> list[str]:
    """``r4c2: 3 5 7; strike 5`` for each cell of which it speaks of candidates."""
    told = ["Candidates that it speaks of:"] if hint.spoken else []
    for cell, digits in hint.spoken:
        values = [SYMBOLS[d] for d in digits]
        if struck := [SYMBOLS[d] for d in digits if (cell, d) in hint.step.removes]:
            values = [*values[:-1], f"{values[-1]};", "strike", *struck]
        told.append(item(cell_name(cell, size), values))
    return told
