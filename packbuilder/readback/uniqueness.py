"""Proof from the print: each puzzle proved again from the digits, borders and rules found there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from packbuilder.grid import Geometry, Values, irregular, latin
from packbuilder.proof.verdict import Verdict
from packbuilder.readback.lessons import clue_values
from packbuilder.readback.match import Match
from packbuilder.readback.report import Finding
from packbuilder.readback.rules import recover
from packbuilder.readback.words import names_beside
from packbuilder.reader.pages import SeenPage
from packbuilder.reader.text import PRIMER, PUZZLES, plain
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


def check_proof(match: Match, page: SeenPage, prove: Prove) -> Iterator[Finding]:
    """A puzzle, as its digits, borders and rules stand in print, has one solution: the book's.
    So has an example of the primer, by its clues, and the digits placed since are that one's; and a
    grid to try.

    The parts of rules are those that its shapes mean; those that have no shape count where the
    name of their rule is printed beside it.
    """
    grid, section = match.grid, match.item.section
    if grid is None or section not in PROVED:
        return
    n = match.entry.puzzle.size
    geometry = printed_geometry(n, grid.lattice.regions)
    if geometry is None:
        words = "the borders do not part the grid into regions of its size"
        yield match.finding("not-proved", words)
        return
    parts, values = printed_parts(match, page, geometry), grid.filled.values(n)
    clues = values if section == PUZZLES else clue_values(grid.filled, n)
    try:
        verdict = prove(with_houses(geometry, parts), clues, parts)
    except ValueError:  # parts that no manifest could hold: what is wrong is told elsewhere
        yield match.finding("not-proved", "the rules as printed cannot be proved")
        return
    if verdict.solutions is None:
        yield match.finding("not-proved", "the proof of the printed grid ran into its limit")
    elif verdict.solutions != 1:
        many = "two or more solutions" if verdict.solutions else "no solution"
        yield match.finding("not-unique", f"as printed it has {many}")
    elif match.entry.solution and verdict.first != match.entry.solution:
        yield match.finding("not-unique", "its only solution as printed is not the book's")
    elif not _agrees(values, verdict.first):
        words = "digits of its position are not those of its only solution"
        yield match.finding("not-unique", words)


def _agrees(values: Values, solution: Values | None) -> bool:
    """Whether every digit of a position is that of a solution."""
    return solution is None or all(not v or v == s for v, s in zip(values, solution, strict=True))


def printed_parts(match: Match, page: SeenPage, geometry: Geometry) -> tuple[Part, ...]:
    """The parts of rules that a puzzle has as it is printed."""
    assert match.grid is not None
    puzzle = match.entry.puzzle
    shaped = recover(puzzle.rule_names, match.grid.drawn.shapes, geometry)
    printed = {plain(name) for name in names_beside(match.item, page)}
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
