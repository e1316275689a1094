"""The legend of the third hints: each sign that their grids have, and no other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.book.book import Entry
from packbuilder.ladder.hints import Hint
from packbuilder.pages.chain_links import CHAINS, COLOURS
from packbuilder.pages.evidence_marks import closed, evidence_marks
from packbuilder.pages.facts import shapes_of
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import hint_grid
from packbuilder.pages.page_design import PageDesign
from packbuilder.plan.items import Bow, Disc, Item, Strokes, Trace


def legend(sheet: PageDesign, entries: Sequence[Entry], cell: float) -> str:
    """What the signs over the hints' grids mean; ``cell`` is the usual size of their cells."""
    hints = [hint for entry in entries for hint in entry.hints]
    marks = [mark for entry in entries for mark in _evidence(entry, cell)]
    told = [*_of_steps(hints), *_of_evidence(hints, marks)]
    if any(len(hint.step.nodes) == 2 and hint.shown for hint in hints):
        told.append(COLOURS)
    if any(_has_arrows(sheet, entry, cell) for entry in entries):
        told.append(CHAINS)
    return " ".join(told)


def _of_steps(hints: Sequence[Hint]) -> Iterator[str]:
    """The digit to write; grey and striped cells; candidates."""
    steps = "Steps"
    if any(hint.pictured != hint.position for hint in hints):
        steps = "Other steps"
        last = any(hint.settled for hint in hints)
        more = ": it may be what a step leaves of a cell's candidates" if last else ""
        yield f"A digit in a heavy frame is the one to write{more}."
    grey = any({*hint.step.cells} - _acts(hint) for hint in hints)
    striped = any(hint.loses for hint in hints)
    if grey or striped:
        parts = ["rest on the grey cells"] * grey + ["act in the striped ones"] * striped
        told = " and ".join(parts) if grey else "act in the striped cells"
        yield f"{steps} {told}."
    if any(hint.shown for hint in hints):
        struck = ", and one with a cross goes" if any(hint.struck for hint in hints) else ""
        yield f"Small digits are the candidates that they speak of{struck}."


def _of_evidence(hints: Sequence[Hint], marks: Sequence[Item]) -> Iterator[str]:
    """Ringed digits, dots and crosses."""
    if any(isinstance(mark, Disc) for mark in marks):
        dots = any(isinstance(mark, Trace) for mark in marks)
        yield f"Ringed digits are evidence{': dots lead to the cells that they close' * dots}."
    if any(isinstance(mark, Strokes) for mark in marks):
        more = "; the words tell what closes those that no dots reach"
        yield f"A large cross stands in a closed cell{more * any(map(_closed_in_words, hints))}."


def _acts(hint: Hint) -> set[int]:
    return {cell for cell, _ in (*hint.step.places, *hint.step.removes)}


def _closed_in_words(hint: Hint) -> bool:
    """Whether something else than a digit closes a cell with a cross."""
    seen = {cell for one in hint.because if one.kind == "digit" for cell in one.closes}
    return not seen.issuperset(closed(hint))


def _evidence(entry: Entry, cell: float) -> Iterator[Item]:
    place = GridPlace(0, 0, cell, entry.puzzle.size)
    for hint in entry.hints:
        yield from evidence_marks(place, entry.puzzle.geometry, hint)


def _has_arrows(sheet: PageDesign, entry: Entry, cell: float) -> bool:
    """Whether a chain is drawn: one that finds no clear way is not."""
    puzzle = entry.puzzle
    place, shapes = GridPlace(0, 0, cell, puzzle.size), shapes_of(puzzle)
    return any(
        isinstance(item, Bow)
        for hint in entry.hints
        if len(hint.step.nodes) > 2
        for item in hint_grid(sheet, puzzle.geometry, place, puzzle.clues, hint, shapes)
    )
