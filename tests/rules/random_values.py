"""Random values for the rules whose clues are no lines, true of a solved grid."""

from __future__ import annotations

import random
from typing import Any

from packbuilder.grid import Geometry, Values, cell_name


def cages(rng: random.Random, geometry: Geometry, values: Values) -> Any:
    """Cages over some or all of the grid, most with a sum, as a list or as a picture."""
    size, share = geometry.size, rng.choice((0.4, 0.9, 1.0))
    found = [c for c in partition(rng, values, size, rng.choice((2, 3, 5))) if rng.random() < share]
    if not found:
        return cages(rng, geometry, values)
    listed = []
    for cells in found:
        cage = {"cells": " ".join(cell_name(cell, size) for cell in cells)}
        if len(cells) == 1 or rng.random() < 0.9:
            cage["sum"] = str(sum(values[cell] for cell in cells))
        listed.append(cage)
    return listed if len(listed) > 26 or rng.random() < 0.5 else as_picture(listed, size)


def as_picture(listed: list[dict[str, str]], size: int) -> dict[str, Any]:
    """A list of cages as a picture with sums."""
    letters, sums = ["."] * size**2, {}
    for cage, letter in zip(listed, "abcdefghijklmnopqrstuvwxyz", strict=False):
        for name in cage["cells"].split():
            r, c = name.removeprefix("r").split("c")
            letters[(int(r) - 1) * size + int(c) - 1] = letter
        if "sum" in cage:
            sums[letter] = cage["sum"]
    rows = ["".join(letters[k : k + size]) for k in range(0, size**2, size)]
    return {"picture": "\n".join(rows)} | ({"sums": sums} if sums else {})


def partition(rng: random.Random, values: Values, size: int, most: int) -> list[list[int]]:
    """The grid cut into cages that repeat no digit, each of touching cells."""
    left, found = set(range(size**2)), []
    while left:
        cage = [rng.choice(sorted(left))]
        length = rng.randint(1, most)
        while len(cage) < length:
            near = {
                n
                for cell in cage
                for n in (cell - size, cell + size, cell - 1, cell + 1)
                if n in left and (n // size == cell // size or n % size == cell % size)
            }
            near = {n for n in near if n not in cage and values[n] not in {values[c] for c in cage}}
            if not near:
                break
            cage.append(rng.choice(sorted(near)))
        left -= set(cage)
        found.append(sorted(cage))
    return found


def views(values: Values, size: int) -> dict[str, list[Values]]:
    """Rows and columns as they are seen from each side."""
    rows = [values[k : k + size] for k in range(0, size**2, size)]
    columns = [values[k::size] for k in range(size)]
    return {
        "top": columns,
        "bottom": [column[::-1] for column in columns],
        "left": rows,
        "right": [row[::-1] for row in rows],
    }


def seen(line: Values) -> int:
    """How many digits of a line are greater than all before."""
    return sum(d > max(line[:k], default=0) for k, d in enumerate(line))


def sightlines(rng: random.Random, geometry: Geometry, values: Values) -> dict[str, str]:
    """Some of the clues of some sides."""
    return _clues(rng, values, geometry.size, ("top", "bottom", "left", "right"), seen)


def filling(line: Values) -> int:
    """The sum between 1 and the highest digit of a line."""
    first, last = sorted((line.index(1), line.index(len(line))))
    return sum(line[first + 1 : last])


def sandwich(rng: random.Random, geometry: Geometry, values: Values) -> dict[str, str]:
    """Some of the clues of rows and columns, each at one of its ends."""
    found = _clues(rng, values, geometry.size, ("left", "top"), filling)
    for side, other in (("left", "right"), ("top", "bottom")):
        texts = found.pop(side, "").split()
        ends = [(side, other)[rng.random() < 0.3] for _ in texts]
        for end in (side, other):
            here = [text if at == end else "." for text, at in zip(texts, ends, strict=True)]
            if {*here} - {"."}:
                found[end] = " ".join(here)
    return found


def outside(rng: random.Random, geometry: Geometry, values: Values) -> dict[str, dict[str, str]]:
    """Sandwiches and sightlines in one puzzle: at every end of a line one of either, or none."""
    told = sightlines(rng, geometry, values)
    sums, free = sandwich(rng, geometry, values), {}
    for side, text in told.items():
        taken = sums.get(side, " ".join("." * geometry.size)).split()
        here = [a if b == "." else "." for a, b in zip(text.split(), taken, strict=True)]
        if {*here} - {"."}:
            free[side] = " ".join(here)
    return {"sandwich": sums, "sightlines": free} if free else outside(rng, geometry, values)


def _clues(
    rng: random.Random, values: Values, size: int, sides: tuple[str, ...], clue: Any
) -> dict[str, str]:
    share = rng.choice((0.3, 0.7, 1.0))
    found: dict[str, str] = {}
    for side in sides:
        texts = [
            str(clue(line)) if rng.random() < share else "." for line in views(values, size)[side]
        ]
        if set(texts) != {"."}:
            found[side] = " ".join(texts)
    return found or _clues(rng, values, size, sides, clue)


def little_sums(rng: random.Random, geometry: Geometry, values: Values) -> list[dict[str, str]]:
    """Some diagonals with their sums, each from one end."""
    size, share = geometry.size, rng.choice((0.2, 0.6))
    found = []
    for offset in range(2 - size, size - 1):
        falling = [(r, r + offset) for r in range(size) if r + offset in range(size)]
        rising = [(size - 1 - r, c) for r, c in falling]
        for cells, ways in (
            (falling, ("down-right", "up-left")),
            (rising, ("up-right", "down-left")),
        ):
            if rng.random() < share:
                end = rng.randrange(2)
                r, c = cells[-end]
                total = str(sum(values[r * size + c] for r, c in cells))
                start = f"r{r + 1}c{c + 1}"
                found.append({"sum": total, "from": start, "towards": ways[end]})
    return found or little_sums(rng, geometry, values)


def dots(rng: random.Random, geometry: Geometry, values: Values) -> dict[str, Any]:
    """Some dots that a solved grid allows, or all of them."""
    size, share = geometry.size, rng.choice((0.2, 0.6, 1.0))
    value: dict[str, Any] = {"white": [], "black": []}
    for a in range(geometry.cell_count):
        for b in [a + 1] * (a % size < size - 1) + [a + size] * (a // size < size - 1):
            low, high = sorted((values[a], values[b]))
            fits = ["white"] * (high == low + 1) + ["black"] * (high == 2 * low)
            if fits and rng.random() < share:
                pair = [cell_name(a, size), cell_name(b, size)]
                rng.shuffle(pair)
                value[rng.choice(fits)].append(" ".join(pair))
    value = {key: edges for key, edges in value.items() if edges}
    if share == 1.0 or not value:
        return all_dots(geometry, values) if share < 1.0 else {**value, "all-shown": "true"}
    return {**value, "all-shown": "false"} if rng.random() < 0.5 else value


def all_dots(geometry: Geometry, values: Values) -> dict[str, Any]:
    """Every dot of a solved grid."""

    class Always(random.Random):
        def choice(self, options: Any) -> Any:
            return options[-1]

    return dots(Always(0), geometry, values)


def xv(rng: random.Random, geometry: Geometry, values: Values) -> dict[str, Any]:
    """Some letters that a solved grid allows, or all of them."""
    size, share = geometry.size, rng.choice((0.5, 1.0))
    value: dict[str, Any] = {}
    for a in range(geometry.cell_count):
        for b in [a + 1] * (a % size < size - 1) + [a + size] * (a // size < size - 1):
            letter = {10: "x", 5: "v"}.get(values[a] + values[b])
            if letter and rng.random() < share:
                pair = [cell_name(a, size), cell_name(b, size)]
                rng.shuffle(pair)
                value.setdefault(letter, []).append(" ".join(pair))
    if share == 1.0:
        return {**value, "all-shown": "true"}
    return value or xv(rng, geometry, values)


def parity(rng: random.Random, geometry: Geometry, values: Values) -> dict[str, str]:
    """Some cells of a solved grid with their parity."""
    share, found = rng.choice((0.1, 0.5, 1.0)), {"even": [], "odd": []}
    for cell, value in enumerate(values):
        if rng.random() < share:
            found["odd" if value % 2 else "even"].append(cell_name(cell, geometry.size))
    kept = {key: " ".join(cells) for key, cells in found.items() if cells}
    return kept or parity(rng, geometry, values)


def inequalities(rng: random.Random, geometry: Geometry, values: Values) -> list[str]:
    """Some signs of a solved grid, or all of them."""
    size, share = geometry.size, rng.choice((0.1, 0.4, 1.0))
    value = []
    for a in range(geometry.cell_count):
        for b in [a + 1] * (a % size < size - 1) + [a + size] * (a // size < size - 1):
            if rng.random() < share:
                pair = [a, b]
                rng.shuffle(pair)
                sign = "<" if values[pair[0]] < values[pair[1]] else ">"
                value.append(f" {sign} ".join(cell_name(cell, size) for cell in pair))
    return value or inequalities(rng, geometry, values)


def extra_regions(rng: random.Random, geometry: Geometry, values: Values) -> str:
    """Up to three regions without a repeat, each grown from a cell or strewn about."""
    size, letters = geometry.size, ["."] * geometry.cell_count
    for letter in "abc"[: rng.randint(1, 3)]:
        free = [c for c in range(geometry.cell_count) if letters[c] == "."]
        cells = [rng.choice(free)]
        strewn = rng.random() < 0.4
        for _ in range(rng.randint(1, size - 1)):
            seen = {values[c] for c in cells}
            near = [
                c
                for c in free
                if values[c] not in seen
                and (
                    strewn
                    or any(
                        abs(c // size - o // size) + abs(c % size - o % size) == 1 for o in cells
                    )
                )
            ]
            if near:
                cells.append(rng.choice(near))
        if not any(set(cells) <= set(house.cells) for house in geometry.houses):
            for cell in cells:
                letters[cell] = letter
    if set(letters) == {"."}:
        return extra_regions(rng, geometry, values)
    return "\n".join("".join(letters[k : k + size]) for k in range(0, len(letters), size))
