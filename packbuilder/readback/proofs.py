"""Proof from the print: each puzzle proved again from the digits, borders and rules found there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from packbuilder.book.book import Book, Entry
from packbuilder.grid import Geometry, Values, irregular, latin
from packbuilder.proof.verdict import Verdict
from packbuilder.puzzle import Puzzle
from packbuilder.readback.match import due
from packbuilder.readback.primer import clue_values
from packbuilder.readback.report import Finding
from packbuilder.readback.rule_checks import recover
from packbuilder.readback.rule_names import names_beside
from packbuilder.readback.sections import ANSWERS, PRIMER, PUZZLES, plain
from packbuilder.readback.survey import Item, Leaf
from packbuilder.rules import kinds, parts_of
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import with_houses

Prove = Callable[[Geometry, Values, Sequence[Part]], Verdict]

PROVED = (PUZZLES, PRIMER)
"""The sections whose grids are proved."""
SEARCH_TIME, SOLVER_TIME = 5.0, 60.0
"""Seconds for a grid with rules: by the search, and by the SAT solver where that is not enough."""


def by_engines(geometry: Geometry, clues: Values, parts: Sequence[Part]) -> Verdict:
    """The proof by the engines, loaded only when a print is proved.

    The kernel where there are only houses (those of ``parts`` are in ``geometry``), else the
    search for grids with rules and, if need be, the SAT solver.
    """
    beyond = [part for part in parts if not part.houses_only]
    if not beyond:
        from packbuilder.proof import kernel

        return kernel.prove(geometry, clues)
    from packbuilder.proof import rule_search, sat

    found = rule_search.prove(geometry, clues, beyond, time_limit=SEARCH_TIME)
    if found.solutions is None:
        found = sat.prove(geometry, clues, beyond, time_limit=SOLVER_TIME)
    return found


def check_proofs(
    items: Sequence[Item], leaves: Sequence[Leaf], book: Book, prove: Prove
) -> Iterator[Finding]:
    """Each puzzle, as its digits, borders and rules stand in print, has one solution: its answer's.
    So has each example of the primer, by its clues, and the digits placed since are that one's.

    The parts of rules are those that its shapes mean; those that have no shape count where the
    name of their rule is printed beside it.
    """
    answers = {
        i.number: i.filled.values(i.lattice.size)
        for i in items
        if i.section == ANSWERS and i.lattice and i.filled
    }
    for item in items:
        match = due(book, item) if item.section in PROVED else None
        if not match or not item.lattice or not item.filled:
            continue
        entry = match[0]
        if item.lattice.size != entry.puzzle.size:
            continue  # told already

        def wrong(code: str, message: str, item: Item = item, entry: Entry = entry) -> Finding:
            return Finding(code, message, item.page, number=item.number, puzzle=entry.puzzle.id)

        geometry = printed_geometry(item.lattice.size, item.lattice.regions)
        if geometry is None:
            yield wrong("not-proved", "the borders do not part the grid into regions of its size")
            continue
        parts = printed_parts(item, leaves[item.page - 1], entry.puzzle, geometry)
        values = item.filled.values(item.lattice.size)
        clues = values if item.section == PUZZLES else clue_values(item.filled, item.lattice.size)
        try:
            whole = with_houses(geometry, parts)
            verdict = prove(whole, clues, parts)
        except ValueError:  # parts that no manifest could hold: what is wrong is told elsewhere
            yield wrong("not-proved", "the rules as printed cannot be proved")
            continue
        if verdict.solutions is None:
            yield wrong("not-proved", "the proof of the printed grid ran into its limit")
        elif verdict.solutions != 1:
            many = "two or more solutions" if verdict.solutions else "no solution"
            yield wrong("not-unique", f"as printed it has {many}")
        elif item.number in answers and verdict.first != answers[item.number]:
            yield wrong("not-unique", "its only solution as printed is not the printed answer")
        elif not _agrees(values, verdict.first):
            yield wrong("not-unique", "digits of its position are not those of its only solution")


def _agrees(values: Values, solution: Values | None) -> bool:
    """Whether every digit of a position is that of a solution."""
    return solution is None or all(not v or v == s for v, s in zip(values, solution, strict=True))


def printed_parts(item: Item, leaf: Leaf, puzzle: Puzzle, geometry: Geometry) -> tuple[Part, ...]:
    """The parts of rules that a puzzle has as it is printed."""
    assert item.drawn is not None
    shaped = recover(puzzle.rule_names, item.drawn.shapes, geometry)
    printed = {plain(name) for name in names_beside(item, leaf) or ()}
    told = [kind for name, kind in kinds().items() if name in puzzle.rule_names]
    told = [kind for kind in told if plain(kind.title) in printed]
    silent = (p for kind in told for p in parts_of(kind, puzzle.rules) if not p.shapes())
    return (*shaped, *silent)


def printed_geometry(size: int, regions: Sequence[int] | None) -> Geometry | None:
    """The geometry that borders in print mean; None where a region has the wrong size."""
    if regions is None:
        return latin(size)
    if any(regions.count(k) != size for k in set(regions)):
        return None
    rows = (regions[k : k + size] for k in range(0, size * size, size))
    return irregular("\n".join("".join(chr(ord("A") + k) for k in row) for row in rows))
