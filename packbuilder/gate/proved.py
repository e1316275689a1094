"""Is it one puzzle? Findings on what both engines say of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from packbuilder.gate.report import Finding
from packbuilder.gate.words import clue_list, names
from packbuilder.grid import SYMBOLS, Values, cell_name, format_grid
from packbuilder.proof.certify import Proof
from packbuilder.puzzle import Puzzle


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
                yield Finding(
                    "refuse",
                    "clue-clash",
                    f"{house.label} has the clue {SYMBOLS[digit]} "
                    f"{'twice' if len(cells) == 2 else f'{len(cells)} times'}, "
                    f"at {names(cells, puzzle.size)}",
                    "compare these cells with the setter's original and correct the wrong one",
                    tuple(cells),
                )


def proof_findings(puzzle: Puzzle, proof: Proof) -> Iterator[Finding]:
    """What the engines found: more than one solution, none, or no answer in time."""
    verdict, size = proof.verdict, puzzle.size
    if not proof.agree:
        yield Finding(
            "refuse",
            "engines-disagree",
            "the two proof engines disagree on how many solutions this grid has",
            "this is a fault of packbuilder: report it with the grid; nothing is released",
        )
    elif verdict.solutions is None:
        yield Finding(
            "refuse",
            "undecided",
            "the limit ran out before the number of solutions was known: " + proof.undecided,
            "add clues, or raise the limits with --node-limit and --time-limit",
        )
    elif verdict.solutions == 0:
        yield no_solution(puzzle, proof)
    elif verdict.solutions == 2 and verdict.first and verdict.second:
        yield Finding(
            "refuse",
            "not-unique",
            f"the grid has more than one solution; two of them differ in "
            f"{names(proof.differing, size)}: {format_grid(verdict.first)} and "
            f"{format_grid(verdict.second)}",
            _mend_words(proof, puzzle),
            proof.differing,
        )


def no_solution(puzzle: Puzzle, proof: Proof) -> Finding:
    """A grid without solution: the clues, and the parts of rules, that contradict one another."""
    cells, parts = proof.clash, proof.clash_parts
    message = "the grid has no solution; "
    if parts:
        pieces = [part.name(puzzle.size) for part in parts]
        pieces += [f"the clue {clue}" for clue in clue_list(cells, puzzle).split(", ") if clue]
        message += _cannot_hold(pieces)
        some = {c for part in parts if len(part.cells) < len(puzzle.clues) for c in part.cells}
        cells = tuple(sorted({*cells, *some}))
    elif cells:
        message += "these clues already contradict one another: " + clue_list(cells, puzzle)
    else:
        return Finding(
            "refuse",
            "no-solution",
            message + "no grid at all fits its regions",
            "draw other regions under `blocks:`",
        )
    these = "these with" if parts else "these clues with"
    return Finding(
        "refuse",
        "no-solution",
        message,
        f"compare {these} the setter's original; at least one of them must change",
        cells,
    )


def _cannot_hold(pieces: list[str]) -> str:
    """``cage 23 at r4c5 and the clue 4 at r1c1 cannot both hold``."""
    if len(pieces) == 1:
        return f"{pieces[0]} cannot hold in this grid"
    both = "both" if len(pieces) == 2 else "all"
    return f"{', '.join(pieces[:-1])} and {pieces[-1]} cannot {both} hold"


def _mend_words(proof: Proof, puzzle: Puzzle) -> str:
    if proof.mend is None:
        return (
            "no single added clue makes it unique (or none was found within the limits); "
            "add clues among the cells that differ"
        )
    cell, digit = proof.mend
    return (
        f"a clue {SYMBOLS[digit]} at {cell_name(cell, puzzle.size)} would leave one solution; "
        "if the setter meant another, add that clue instead"
    )


def given_solution(puzzle: Puzzle, proved: Values) -> Iterator[Finding]:
    """The solution that the manifest gives must be the proved one."""
    if puzzle.solution is None or puzzle.solution == proved:
        return
    cells = tuple(i for i, (a, b) in enumerate(zip(puzzle.solution, proved, strict=True)) if a != b)
    yield Finding(
        "refuse",
        "wrong-solution",
        f"the solution in the manifest differs from the proved one in {names(cells, puzzle.size)}",
        f"the proved solution is {format_grid(proved)}; correct the solution or the clues",
        cells,
    )
