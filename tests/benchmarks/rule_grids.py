"""Grids with rules to measure on: a random solved grid, random clues of the rule, then as few
digits as leave one solution. Values are written as in a manifest, so that any judge can read them.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import Any

from packbuilder import rules
from packbuilder.grid import SYMBOLS, Geometry, Values, blocks, cell_name, latin
from packbuilder.proof import kernel, sat
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import with_houses

Maker = Callable[[random.Random, Values, int], Any]

CONFLICTS = 3_000
"""What a solver may need for a grid that people could solve: `little-sums` goes far beyond."""


@dataclass(frozen=True)
class RuleGrid:
    """A puzzle with one solution: ``geometry`` has the houses of its parts."""

    slug: str
    value: Any
    geometry: Geometry
    parts: tuple[Part, ...]
    clues: Values


def make(slug: str, seed: int) -> RuleGrid:
    """The grid of a rule for a seed. The same every time."""
    draw = random.Random(f"{slug} {seed}")
    base = latin(8) if slug == "sightlines" else blocks(3, 3)
    kind = rules.kinds()[slug]
    for _ in range(1000):
        geometry, values = _solved(slug, base, draw)
        value = MAKERS[slug](draw, values, base.size)
        parts = kind.read(value, base)
        geometry = with_houses(geometry, parts)
        with sat.Prover(geometry, parts) as prover:
            if slug == "cages":
                clues: Values = (0,) * base.cell_count
                if prover.prove(clues).solutions != 1:
                    continue
            else:
                clues = _fewest(prover, values, draw)
        return RuleGrid(slug, value, geometry, parts, clues)
    raise AssertionError(f"no grid of {slug} found")


def _solved(slug: str, base: Geometry, draw: random.Random) -> tuple[Geometry, Values]:
    """A solved grid that keeps a rule without clues of its own, or any."""
    if slug in ("diagonals", "anti-knight", "anti-king"):
        base = with_houses(base, rules.kinds()[slug].read(None, base))
    if slug == "non-consecutive":
        parts = rules.kinds()[slug].read(None, base)
        while True:
            first = [0] * base.cell_count
            for cell in draw.sample(range(base.cell_count), 2):
                first[cell] = draw.randint(1, base.size)
            with sat.Prover(base, parts) as prover:
                found, _ = prover.explore(first, limit=1)
            if found:
                return base, found[0]
    return base, kernel.random_solution(base, draw.getrandbits(32))


def _fewest(prover: sat.Prover, values: Values, draw: random.Random) -> Values:
    """Digits left out in random order, as long as there is one solution, and not far to seek."""
    clues = list(values)
    for cell in draw.sample(range(len(values)), len(values)):
        clues[cell] = 0
        verdict = prover.prove(clues)
        if verdict.solutions != 1 or verdict.nodes > CONFLICTS:
            clues[cell] = values[cell]
    return tuple(clues)


# --- clues of each rule ------------------------------------------------------------------------


def _near(cell: int, size: int, *, corners: bool = True) -> list[int]:
    r, c = divmod(cell, size)
    return [
        a * size + b
        for a in range(max(r - 1, 0), min(r + 2, size))
        for b in range(max(c - 1, 0), min(c + 2, size))
        if (a, b) != (r, c) and (corners or a == r or b == c)
    ]


def _text(cells: Sequence[int], size: int) -> str:
    return " ".join(cell_name(cell, size) for cell in cells)


def _lines(
    draw: random.Random,
    size: int,
    count: int,
    lengths: Sequence[int],
    fits: Callable[[list[int]], bool],
) -> list[list[int]]:
    """Random lines that fit and do not cross, up to ``count``. ``fits`` sees unfinished ones."""
    found: list[list[int]] = []
    used: set[int] = set()
    for _ in range(4000):
        if len(found) == count:
            break
        length, line = draw.choice(lengths), [draw.randrange(size * size)]
        while line and len(line) < length:
            free = [n for n in _near(line[-1], size) if n not in line and fits([*line, n])]
            line = [*line, draw.choice(free)] if free else []
        if line and not used & set(line):
            found.append(line)
            used.update(line)
    return found


def _texts(lines: list[list[int]], size: int) -> list[str]:
    return [_text(line, size) for line in lines]


def _thermometers(draw: random.Random, values: Values, size: int) -> list[str]:
    rising = lambda line: all(values[a] < values[b] for a, b in pairwise(line))  # noqa: E731
    return _texts(_lines(draw, size, 9, (3, 4, 5, 6), rising), size)


def _arrows(draw: random.Random, values: Values, size: int) -> list[dict[str, str]]:
    def fits(line: list[int]) -> bool:
        return sum(values[c] for c in line[1:]) <= values[line[0]]

    found = _lines(draw, size, 60, (3, 4), fits)
    true = [x for x in found if sum(values[c] for c in x[1:]) == values[x[0]]][:10]
    return [{"circle": _text(x[:1], size), "shaft": _text(x[1:], size)} for x in true]


def _cages(draw: random.Random, values: Values, size: int) -> list[dict[str, str]]:
    """About 30 cages that cover the grid."""
    left, cages = set(range(size * size)), []
    while left:
        cage, length = [draw.choice(sorted(left))], draw.choice((2, 2, 3, 3, 3, 4))
        left.remove(cage[0])
        while len(cage) < length:
            held = {values[c] for c in cage}
            near = {n for c in cage for n in _near(c, size, corners=False)} & left
            fitting = sorted(n for n in near if values[n] not in held)
            if not fitting:
                break
            cage.append(draw.choice(fitting))
            left.remove(cage[-1])
        cages.append(cage)
    return [{"sum": str(sum(values[c] for c in x)), "cells": _text(sorted(x), size)} for x in cages]


def _edges(size: int) -> Iterator[tuple[int, int]]:
    for cell in range(size * size):
        yield from ((cell, n) for n in _near(cell, size, corners=False) if n > cell)


def _dots(draw: random.Random, values: Values, size: int) -> dict[str, Any]:
    low_high = {pair: sorted(values[c] for c in pair) for pair in _edges(size)}
    white = [_text(e, size) for e, (a, b) in low_high.items() if b - a == 1]
    black = [_text(e, size) for e, (a, b) in low_high.items() if b == 2 * a and a > 1]
    return {"white": white, "black": black, "all-shown": "false"}


def _xv(draw: random.Random, values: Values, size: int) -> dict[str, Any]:
    sums = {pair: values[pair[0]] + values[pair[1]] for pair in _edges(size)}
    return {
        "x": [_text(e, size) for e, s in sums.items() if s == 10],
        "v": [_text(e, size) for e, s in sums.items() if s == 5],
        "all-shown": "false",
    }


def _inequalities(draw: random.Random, values: Values, size: int) -> list[str]:
    edges = draw.sample(list(_edges(size)), 60)
    sign = {True: "<", False: ">"}
    return [f" {sign[values[a] < values[b]]} ".join(_texts([[a], [b]], size)) for a, b in edges]


def _parity(draw: random.Random, values: Values, size: int) -> dict[str, str]:
    cells = sorted(draw.sample(range(size * size), 36))
    return {
        "even": _text([c for c in cells if values[c] % 2 == 0], size),
        "odd": _text([c for c in cells if values[c] % 2], size),
    }


def _palindromes(draw: random.Random, values: Values, size: int) -> list[str]:
    """Each grown from its middle, a pair of equal cells at a time."""
    found = []
    for _ in range(3000):
        line = [draw.randrange(size * size)]
        for _ in range(draw.choice((1, 2, 2, 3))):
            pairs = [
                (a, b)
                for a in _near(line[0], size)
                for b in _near(line[-1], size)
                if a != b and values[a] == values[b] and not {a, b} & set(line)
            ]
            if pairs:
                a, b = draw.choice(pairs)
                line = [a, *line, b]
        if len(line) > 2:
            found.append(line)
    found.sort(key=len, reverse=True)
    return _texts(_apart(found)[:9], size)


def _renban(draw: random.Random, values: Values, size: int) -> list[str]:
    def fits(line: list[int]) -> bool:
        digits = {values[c] for c in line}
        return len(digits) == len(line) and max(digits) - min(digits) < 5

    found = [x for _ in range(60) for x in _lines(draw, size, 3, (3, 4, 5), fits)]
    true = [x for x in found if max(values[c] for c in x) - min(values[c] for c in x) == len(x) - 1]
    return _texts(_apart(true)[:9], size)


def _whispers(draw: random.Random, values: Values, size: int) -> list[str]:
    wide = lambda line: all(abs(values[a] - values[b]) >= 5 for a, b in pairwise(line))  # noqa: E731
    return _texts(_lines(draw, size, 7, (3, 4, 5, 6), wide), size)


def _between(draw: random.Random, values: Values, size: int) -> list[str]:
    found = [x for _ in range(60) for x in _lines(draw, size, 3, (4, 5), lambda _: True)]
    true = []
    for line in found:
        low, high = sorted((values[line[0]], values[line[-1]]))
        if all(low < values[c] < high for c in line[1:-1]):
            true.append(line)
    return _texts(_apart(true)[:8], size)


def _apart(lines: list[list[int]]) -> list[list[int]]:
    """Those lines that share no cell with an earlier one."""
    found: list[list[int]] = []
    for line in lines:
        if not any(set(line) & set(other) for other in found):
            found.append(line)
    return found


def _sightlines(draw: random.Random, values: Values, size: int) -> dict[str, str]:
    def seen(cells: Sequence[int]) -> str:
        return SYMBOLS[len(set(accumulate((values[c] for c in cells), max)))]

    rows, columns = _rows_columns(size)
    return {
        "top": " ".join(seen(x) for x in columns),
        "bottom": " ".join(seen(x[::-1]) for x in columns),
        "left": " ".join(seen(x) for x in rows),
        "right": " ".join(seen(x[::-1]) for x in rows),
    }


def _sandwich(draw: random.Random, values: Values, size: int) -> dict[str, str]:
    def inside(cells: Sequence[int]) -> str:
        digits = [values[c] for c in cells]
        a, b = sorted((digits.index(1), digits.index(size)))
        return str(sum(digits[a + 1 : b]))

    rows, columns = _rows_columns(size)
    return {"left": " ".join(map(inside, rows)), "top": " ".join(map(inside, columns))}


def _little_sums(draw: random.Random, values: Values, size: int) -> list[dict[str, str]]:
    """Twelve of the diagonals that begin in the top row, both ways, and in the left column."""
    starts = [(0, c, 1) for c in range(1, size - 1)] + [(0, c, -1) for c in range(1, size)]
    starts += [(r, 0, 1) for r in range(1, size - 1)]
    found = []
    for row, column, across in draw.sample(starts, 12):
        cells = [
            (row + k) * size + column + k * across
            for k in range(size)
            if row + k < size and 0 <= column + k * across < size
        ]
        if len(cells) > 1:
            found.append(
                {
                    "sum": str(sum(values[c] for c in cells)),
                    "from": cell_name(cells[0], size),
                    "towards": "down-right" if across > 0 else "down-left",
                }
            )
    return found


def _rows_columns(size: int) -> tuple[list[range], list[range]]:
    rows = [range(r * size, (r + 1) * size) for r in range(size)]
    return rows, [range(c, size * size, size) for c in range(size)]


def _bare(draw: random.Random, values: Values, size: int) -> None:
    return None


def _extra_regions(draw: random.Random, values: Values, size: int) -> str:
    """Two regions, grown from a cell so that no digit repeats, each over several blocks."""
    letters = ["."] * (size * size)
    for letter in "ab":
        for _ in range(400):
            cells = [draw.randrange(size * size)]
            while len(cells) < size:
                near = {n for c in cells for n in _near(c, size, corners=False)}
                held = {values[c] for c in cells}
                free = sorted(n for n in near if values[n] not in held and letters[n] == ".")
                if not free:
                    break
                cells.append(draw.choice(free))
            spread = {(c // size // 3, c % size // 3) for c in cells}
            if len(cells) == size and len(spread) > 1 and all(letters[c] == "." for c in cells):
                for cell in cells:
                    letters[cell] = letter
                break
    return "\n".join("".join(letters[k : k + size]) for k in range(0, size * size, size))


MAKERS: dict[str, Maker] = {
    "cages": _cages,
    "sightlines": _sightlines,
    "sandwich": _sandwich,
    "little-sums": _little_sums,
    "arrows": _arrows,
    "thermometers": _thermometers,
    "palindromes": _palindromes,
    "renban": _renban,
    "whispers": _whispers,
    "between-lines": _between,
    "dots": _dots,
    "xv": _xv,
    "inequalities": _inequalities,
    "parity": _parity,
    "non-consecutive": _bare,
    "anti-knight": _bare,
    "anti-king": _bare,
    "diagonals": _bare,
    "extra-regions": _extra_regions,
}
