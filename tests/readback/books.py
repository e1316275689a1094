"""Small books for the read-back's tests: proved puzzles of many geometries, with hints."""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path

from packbuilder.book import Book, Entry
from packbuilder.grid import Geometry, Values, blocks, irregular, latin
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.step import Step
from packbuilder.proof.kernel import prove, random_solution
from packbuilder.puzzle import Pack, Puzzle

CROOKED = """
aaabb
adabb
cddbe
cddee
cccee
"""  # five regions of five cells, drawn by hand

TITLES = ("The Lamp Room", "Low Water", "Gulls", "Rope — and Tar", "A Fine “Catch”", "Breakwater",
          "Foghorn", "Kelp", "Ebb", "Flood", "Spring Tide", "Neap", "Buoys", "Slipway", "Groyne",
          "Harbour Master")  # fmt: skip


def carve(geometry: Geometry, seed: int, keep: int) -> tuple[Values, Values]:
    """A puzzle with one solution, by taking clues away while it stays so, and that solution."""
    solution = tuple(random_solution(geometry, seed))
    clues = list(solution)
    cells = list(range(len(clues)))
    random.Random(seed).shuffle(cells)
    for cell in cells:
        if sum(map(bool, clues)) <= keep:
            break
        held, clues[cell] = clues[cell], 0
        if prove(geometry, tuple(clues)).solutions != 1:
            clues[cell] = held
    return tuple(clues), solution


def hint(geometry: Geometry, clues: Values, solution: Values, seed: int) -> Hint:
    """A hint of the right shape: a position between clues and solution, candidates, one struck."""
    rng = random.Random(seed)
    n = geometry.size
    open_cells = [c for c, v in enumerate(clues) if not v]
    rng.shuffle(open_cells)
    noted, placed = sorted(open_cells[:3]), open_cells[3 : 3 + len(open_cells) // 3]
    position = tuple(solution[c] if v or c in placed else 0 for c, v in enumerate(clues))
    shown = tuple(
        (c, tuple(sorted({solution[c], *(rng.randint(1, n) for _ in range(3))}))) for c in noted
    )
    struck = tuple((c, v) for c, values in shown for v in values if v != solution[c])[:1]
    step = Step("naked-pair", 4, (), struck, tuple(noted), (), ())
    return Hint(
        where=f"Look at the middle rows of grid {seed}.",
        idea="Two cells share the same two digits.",
        told="In these two cells only two digits are left, so no other cell of the row holds them.",
        step=step,
        position=position,
        shown=shown,
        struck=struck,
    )


def book(kinds: list[tuple[Geometry, int]], *, hints: int = 1) -> Book:
    """A book of one puzzle a (geometry, clues to keep), each with so many hints."""
    entries = []
    for k, (geometry, keep) in enumerate(kinds, start=1):
        clues, solution = carve(geometry, k, keep)
        puzzle = Puzzle(f"p{k}", TITLES[(k - 1) % 16], "Ada Quill", geometry, clues)
        told = tuple(hint(geometry, clues, solution, 10 * k + h) for h in range(hints))
        entries.append(Entry(k, puzzle, solution, 2, "naked-single", 10.0, (), told))
    pack = Pack("harbour", Path(), "Harbour Lights", "2026-12", "Ada Quill",
                tuple(e.puzzle for e in entries))  # fmt: skip
    return Book(pack, tuple(entries))


@cache
def mixed() -> Book:
    """4x4, 6x6, 9x9, irregular 5x5 and Latin 5x5, each with two hints."""
    return book(
        [(blocks(2, 2), 5), (blocks(2, 3), 11), (blocks(3, 3), 30), (irregular(CROOKED), 8),
         (latin(5), 9)],
        hints=2,
    )  # fmt: skip


@cache
def plain() -> Book:
    """Three 9x9 grids, a hint each: what most faults are tried on."""
    return book([(blocks(3, 3), 28)] * 3)


@cache
def large() -> Book:
    """One 16x16 grid, with letters."""
    return book([(blocks(4, 4), 150)])


@cache
def sixteen() -> Book:
    """A month's pack of sixteen 9x9 grids, two hints each."""
    return book([(blocks(3, 3), 28)] * 16, hints=2)


@cache
def single() -> Book:
    """One 9x9 grid and no hints: the shortest book."""
    return book([(blocks(3, 3), 28)], hints=0)
