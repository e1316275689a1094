"""Is it one puzzle? Findings on what both engines say of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from packbuilder import symmetry
from packbuilder.gate.report import Finding
from packbuilder.grid import SYMBOLS, Values, cell_name, format_grid
from packbuilder.phrases import first_few, listed
from packbuilder.proof.certify import Proof
from packbuilder.puzzle import Puzzle

MOST_NAMED = 12
"""How many cells a message names; the rest are counted."""


def cell_names(cells: Iterable[int], size: int) -> str:
    """``r1c1, r1c2 and r3c4``; the first few, where they are many."""
    return first_few((cell_name(c, size) for c in cells), MOST_NAMED, noun="cell")


def clue_names(cells: Iterable[int], puzzle: Puzzle) -> list[str]:
    """``9 at r2c9`` for each."""
    return [f"{SYMBOLS[puzzle.clues[c]]} at {cell_name(c, puzzle.size)}" for c in cells]


def clue_clashes(puzzle: Puzzle) -> Iterator[Finding]:
    """Equal clues in one house: nothing needs proving to see that."""
    seen: set[tuple[int, ...]] = set()
    for house in puzzle.geometry.houses:
        by_digit: dict[int, list[int]] = defaultdict(list)
        for cell in house.cells:
            if puzzle.clues[cell]:
                by_digit[puzzle.clues[cell]].append(cell)
        for digit, cells in by_digit.items():
            if len(cells) > 1 and tuple(cells) not in seen:
                seen.add(tuple(cells))
                times = "twice" if len(cells) == 2 else f"{len(cells)} times"
                yield Finding(
                    "clue-clash",
                    f"{house.label} has the clue {SYMBOLS[digit]} {times}, "
                    f"at {cell_names(cells, puzzle.size)}",
                    "compare these cells with the setter's original and correct the wrong one",
                    tuple(cells),
                )


def proof_findings(puzzle: Puzzle, proof: Proof) -> Iterator[Finding]:
    """What the engines found: more than one solution, none, or no answer in time."""
    verdict = proof.verdict
    if not proof.agree:
        yield Finding(
            "engines-disagree", "the two proof engines disagree on how many solutions this grid has"
        )
    elif verdict.solutions is None:
        yield Finding(
            "undecided",
            "the limit ran out before the number of solutions was known: " + proof.undecided,
            "raise the limits with --node-limit and --time-limit",
        )
    elif verdict.solutions == 0:
        yield no_solution(puzzle, proof)
    elif verdict.solutions == 2 and verdict.first and verdict.second:
        yield Finding(
            "not-unique",
            "the grid has more than one solution; two of them differ in "
            f"{cell_names(proof.differing, puzzle.size)}: {format_grid(verdict.first)} and "
            f"{format_grid(verdict.second)}",
            _mend_words(proof, puzzle),
            proof.differing,
        )


def no_solution(puzzle: Puzzle, proof: Proof) -> Finding:
    """A grid without solution: the clues, and the parts of rules, that contradict one another."""
    cells, parts, clues = proof.clash, proof.clash_parts, clue_names(proof.clash, puzzle)
    if parts:
        pieces = [part.name(puzzle.size) for part in parts]
        told = _cannot_hold([*pieces, *(f"the clue {clue}" for clue in clues)])
        some = {c for part in parts if len(part.cells) < len(puzzle.clues) for c in part.cells}
        cells = tuple(sorted({*cells, *some}))
    elif cells:
        told = "these clues already contradict one another: " + ", ".join(clues)
    else:
        return Finding(
            "no-solution",
            "the grid has no solution; no grid at all fits its regions",
            "draw other regions under `blocks:`",
        )
    if corrected := _corrections(puzzle, proof):
        here = cell_names(dict.fromkeys(cell for cell, _ in proof.corrections), puzzle.size)
        mend = f"compare {here} with the setter's original, and then the rest of what is named"
        return Finding("no-solution", f"the grid has no solution; {corrected}; {told}", mend, cells)
    these = "these" if parts else "these clues"
    return Finding(
        "no-solution",
        f"the grid has no solution; {told}",
        f"compare {these} with the setter's original; at least one of them must change",
        cells,
    )


def _corrections(puzzle: Puzzle, proof: Proof) -> str:
    """``r4c5: 6 for 9 would leave one solution``; "" where no other digit would."""
    told = [
        f"{cell_name(cell, puzzle.size)}: {SYMBOLS[digit]} for {SYMBOLS[puzzle.clues[cell]]}"
        for cell, digit in proof.corrections
    ]
    return f"{listed(told, 'or')} would leave one solution" if told else ""


def _cannot_hold(pieces: list[str]) -> str:
    """``cage 23 at r4c5 and the clue 4 at r1c1 cannot both hold``."""
    if len(pieces) == 1:
        return f"{pieces[0]} cannot hold in this grid"
    return f"{listed(pieces)} cannot {'both' if len(pieces) == 2 else 'all'} hold"


def _mend_words(proof: Proof, puzzle: Puzzle) -> str:
    clues = (proof.mend,) if proof.mend else proof.pair or ()
    told = [f"a clue {SYMBOLS[d]} at {cell_name(cell, puzzle.size)}" for cell, d in clues]
    if not told:
        return (
            "no added clue, nor two of them, were found that make it unique; add clues among the "
            "cells that differ"
        )
    another = "another, add that clue" if proof.mend else "others, add those clues"
    none, name = "" if proof.mend else "; no single clue would", puzzle.promise.symmetry or "none"
    cells = {cell for cell, _ in clues}
    after = [int(cell in cells) or clue for cell, clue in enumerate(puzzle.clues)]
    if none and name != "none" and symmetry.holds(name, after, puzzle.size):
        none += f" and keep the {name} symmetry"
    return f"{listed(told)} would leave one solution{none}; if the setter meant {another} instead"


def given_solution(puzzle: Puzzle, proved: Values) -> Iterator[Finding]:
    """The solution that the manifest gives must be the proved one."""
    if puzzle.solution is None or puzzle.solution == proved:
        return
    cells = tuple(i for i, (a, b) in enumerate(zip(puzzle.solution, proved, strict=True)) if a != b)
    yield Finding(
        "wrong-solution",
        "the solution in the manifest differs from the proved one in "
        f"{cell_names(cells, puzzle.size)}",
        f"the proved solution is {format_grid(proved)}; correct the solution or the clues",
        cells,
    )


def nothing_to_solve(puzzle: Puzzle) -> Iterator[Finding]:
    """A full grid is an answer, not a puzzle."""
    if 0 not in puzzle.clues:
        yield Finding("nothing-to-solve", "every cell has its digit already")
