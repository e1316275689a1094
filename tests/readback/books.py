"""Small books for the read-back's tests: proved puzzles of many geometries, with hints."""

from __future__ import annotations

import random
import tempfile
import textwrap
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from packbuilder.book.book import Book, Entry
from packbuilder.editions import PRINT
from packbuilder.grid import Geometry, Values, blocks, irregular, latin
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.step import Step
from packbuilder.manifest import load
from packbuilder.proof import sat
from packbuilder.proof.kernel import prove, random_solution
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.rules import kinds
from packbuilder.rules.contract import Solved
from packbuilder.rules.houses import with_houses

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
    return Book(pack, tuple(entries), PRINT)


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
def lone() -> Book:
    """One 9x9 grid and a hint: read fast."""
    return book([(blocks(3, 3), 28)])


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


# --- grids with rules -------------------------------------------------------------------------


def entry(number: int, puzzle: Puzzle, solution: Values, hints: int = 1) -> Entry:
    """A book's entry for a puzzle, with hints of the right shape."""
    told = tuple(
        hint(puzzle.geometry, puzzle.clues, solution, 10 * number + h) for h in range(hints)
    )
    return Entry(number, puzzle, solution, 2, "naked-single", 10.0, (), told)


def bound(entries: list[Entry]) -> Book:
    """A book of these entries."""
    puzzles = tuple(e.puzzle for e in entries)
    pack = Pack("harbour", Path(), "Harbour Lights", "2026-12", "Ada Quill", puzzles)
    return Book(pack, tuple(entries), PRINT)


@cache
def example(slug: str) -> tuple[Puzzle, Values]:
    """The example of a rule, as the manifest reads it, and its solution."""
    body = textwrap.indent(kinds()[slug].example.strip(), "    ").lstrip()
    head = "pack:\n  title: T\n  issue: 2026-12\n  byline: Ada Quill\npuzzles:\n  - "
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "manifest.yaml").write_text(head + body + "\n", encoding="utf-8")
        (puzzle,) = load(Path(folder)).puzzles
    solution = sat.prove(puzzle.geometry, puzzle.clues, puzzle.rules).first
    assert solution is not None
    return replace(puzzle, title=f"A Room of {puzzle.title}"), solution


def with_rules(geometry: Geometry, values: dict[str, Any], clues: Values, id_: str) -> Puzzle:
    """A puzzle with rules, each by its value in a manifest."""
    parts = [p for slug, v in values.items() for p in kinds()[slug].read(v, geometry)]
    whole = with_houses(geometry, parts)
    return Puzzle(id_, f"All of {id_}", "Ada Quill", whole, clues, rules=tuple(parts),
                  rule_names=tuple(values))  # fmt: skip


@cache
def ruled(*slugs: str) -> Book:
    """The examples of some rules, a hint each."""
    return bound([entry(k, *example(slug)) for k, slug in enumerate(slugs, start=1)])


@cache
def outside() -> Book:
    """Sandwiches and sightlines round one grid, at both ends of some rows, and a little sum."""
    geometry = blocks(2, 3)
    clues, solution = carve(geometry, 4, 14)
    grid = Solved(geometry, solution, frozenset(), random.random)
    sums, seen = (kinds()[slug].random_value(grid) for slug in ("sandwich", "sightlines"))
    left, top = sums["left"].split(), sums["top"].split()
    values: dict[str, Any] = {
        "sandwich": {"left": f"{left[0]} . {left[2]} . . .", "bottom": f"{top[0]} . . . . ."},
        "sightlines": {
            "left": f". {seen['left'].split()[1]} . . . .",
            "right": f"{seen['right'].split()[0]} . . . . .",
            "top": seen["top"],
        },
        "little-sums": [
            {"sum": str(sum(solution[c] for c in (33, 28, 23))), "from": "r6c4",
             "towards": "up-right"}
        ],
    }  # fmt: skip
    return bound([entry(1, with_rules(geometry, values, clues, "outside"), solution)])


@cache
def combined() -> Book:
    """A 9x9 and a 16x16 with many rules at once, which hold on their solutions by construction."""
    return bound([entry(1, *_many(blocks(3, 3), 1, 34)), entry(2, *_many(blocks(4, 4), 2, 160))])


def _many(geometry: Geometry, seed: int, keep: int) -> tuple[Puzzle, Values]:
    clues, solution = carve(geometry, seed, keep)
    n = geometry.size

    def at(row: int, column: int) -> int:
        return solution[row * n + column]

    def names(*cells: tuple[int, int]) -> str:
        return " ".join(f"r{r + 1}c{c + 1}" for r, c in cells)

    cage = ((0, 0), (0, 1), (1, 0), (1, 1), (2, 1))  # in one block
    far = ((n - 1, n - 2), (n - 1, n - 1), (n - 2, n - 1))
    twins = [((r, c), (r, c + 1)) for r in range(3, n) for c in range(n - 1)
             if at(r, c) == 2 * at(r, c + 1) or at(r, c + 1) == 2 * at(r, c)]  # fmt: skip
    pairs = [((r, c), (r, c + 1)) for r in range(3, n) for c in range(n - 1)]
    next_to = [p for p in pairs if abs(at(*p[0]) - at(*p[1])) == 1 and p not in twins]
    tens = [((r, c), (r + 1, c)) for r in range(2, n - 1) for c in range(n)
            if at(r, c) + at(r + 1, c) == 10]  # fmt: skip
    rise = [((r, c), (r + 1, c)) if at(r, c) < at(r + 1, c) else ((r + 1, c), (r, c))
            for r, c in ((0, n - 1), (1, 3))]  # fmt: skip
    climb = min(
        ((r, c), (r + 1, c + 1), (r + 2, c + 1))
        for r in range(2, n - 2)
        for c in range(n - 1)
        if at(r, c) < at(r + 1, c + 1) < at(r + 2, c + 1)
    )
    across = tuple((r, r + 2) for r in range(n - 2))
    values: dict[str, Any] = {
        "cages": [
            {"cells": names(*cage), "sum": str(sum(at(*c) for c in cage))},
            {"cells": names(*far), "sum": str(sum(at(*c) for c in far))},
        ],
        "dots": {"white": [names(*p) for p in next_to[:3]], "black": [names(*twins[0])]},
        "xv": {"x": [names(*p) for p in tens[:2]]},
        "inequalities": [f"{names(a)} < {names(b)}" for a, b in rise],
        "parity": {"even": names(*[c for c in ((0, 4), (2, 6), (4, 4)) if at(*c) % 2 == 0][:1]
                                 or [next((r, c) for r in range(n) for c in range(n)
                                          if at(r, c) % 2 == 0)])},
        "thermometers": [names(*climb)],
        "little-sums": [
            {"sum": str(sum(at(*c) for c in across)), "from": "r1c3", "towards": "down-right"}
        ],
    }  # fmt: skip
    puzzle = with_rules(geometry, values, clues, f"many-{n}")
    assert all(part.holds(solution, n) for part in puzzle.rules)
    return puzzle, solution
