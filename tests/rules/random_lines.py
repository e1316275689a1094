"""Random lines on solved grids, for the tests of the rules that are drawn as lines."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

from packbuilder.grid import (
    SYMBOLS,
    Geometry,
    Values,
    blocks,
    cell_name,
    default_shape,
    latin,
    parse_cell,
)
from packbuilder.rules import arrows, between_lines, palindromes, renban, thermometers, whispers
from packbuilder.rules.contract import Kind, Part, RuleFault, Sight
from packbuilder.rules.houses import with_houses

KINDS: dict[str, Kind] = {
    module.KIND.slug: module.KIND
    for module in (arrows, between_lines, palindromes, renban, thermometers, whispers)
}


def grid_of(size: int) -> Geometry:
    shape = default_shape(size)
    return blocks(*shape) if shape else latin(size)


def shuffled(geometry: Geometry, rng: random.Random) -> Values:
    """A solved grid by the classic shift pattern, its digits, bands, rows and columns mixed.

    A Latin square where the geometry has no blocks. Source: common practice, no source.
    """
    size = geometry.size
    down, across = geometry.shape or (1, size)
    digits = rng.sample(range(1, size + 1), size)
    rows = [
        band * down + row
        for band in rng.sample(range(size // down), size // down)
        for row in rng.sample(range(down), down)
    ]
    columns = [
        stack * across + column
        for stack in rng.sample(range(size // across), size // across)
        for column in rng.sample(range(across), across)
    ]
    values = tuple(
        digits[(r % down * across + r // down + c) % size] for r in rows for c in columns
    )
    assert geometry.holds(values)
    return values


def walk(size: int, length: int, rng: random.Random) -> tuple[int, ...]:
    """Different cells, each touching the next by a side or a corner; shorter in a dead end."""
    cells = [rng.randrange(size * size)]
    while len(cells) < length:
        r, c = divmod(cells[-1], size)
        near = [
            a * size + b
            for a in range(max(r - 1, 0), min(r + 2, size))
            for b in range(max(c - 1, 0), min(c + 2, size))
            if a * size + b not in cells
        ]
        if not near:
            break
        cells.append(rng.choice(near))
    return tuple(cells)


def written(slug: str, cells: tuple[int, ...], size: int) -> Any:
    """One line of a rule as the manifest has it."""
    names = [cell_name(cell, size) for cell in cells]
    if slug == "arrows":
        return {"circle": names[0], "shaft": " ".join(names[1:])}
    return " ".join(names)


def any_part(slug: str, geometry: Geometry, length: int, rng: random.Random) -> Part:
    """A part that the rule can read, whether or not some grid keeps it."""
    while True:
        cells = walk(geometry.size, length, rng)
        try:
            return KINDS[slug].read([written(slug, cells, geometry.size)], geometry)[0]
        except RuleFault:
            length = max(length - rng.randrange(2), 2 if slug != "between-lines" else 3)


def held_parts(
    slug: str,
    geometry: Geometry,
    values: Values,
    count: int,
    rng: random.Random,
    lengths: tuple[int, ...] = (2, 3, 4, 5),
    keep: Callable[[tuple[int, ...]], bool] = lambda _: True,
    tries: int = 4000,
) -> tuple[Part, ...]:
    """Up to ``count`` different parts that hold on a solved grid."""
    found: dict[Part, None] = {}
    for _ in range(tries):
        if len(found) == count:
            break
        cells = walk(geometry.size, rng.choice(lengths), rng)
        try:
            part = KINDS[slug].read([written(slug, cells, geometry.size)], geometry)[0]
        except RuleFault:
            continue
        if part.holds(values, geometry.size) and keep(part.cells):
            found[part] = None
    return tuple(found)


# Positions set up by hand.


def told(
    slug: str,
    value: Any,
    size: int = 9,
    given: dict[str, str] | None = None,
    *,
    ways: bool = False,
) -> list[tuple[str, str, str]]:
    """What the first part of a value deduces: (technique, what goes, words).

    ``given`` are cells with the digits that they may be; all others may be anything. What goes is
    written like ``r1c1 789, r1c2 89``. Either the trying of all ways to fill a line, or the rest.
    """
    geometry = grid_of(size)
    parts = KINDS[slug].read(value, geometry)
    masks = [(1 << size) - 1] * (size * size)
    for name, digits in (given or {}).items():
        masks[parse_cell(name, size)] = sum(1 << (SYMBOLS.index(d) - 1) for d in digits)
    found = []
    for one in parts[0].deduce(Sight(with_houses(geometry, parts), tuple(masks))):
        if one.technique.endswith("-ways") != ways:
            continue
        lost: dict[int, str] = {}
        for cell, digit in one.removes:
            lost[cell] = lost.get(cell, "") + SYMBOLS[digit]
        goes = ", ".join(f"{cell_name(cell, size)} {digits}" for cell, digits in lost.items())
        found.append((one.technique, goes, one.words()))
    return found


def refusal(slug: str, value: Any, size: int = 9) -> tuple[str, tuple[str | int, ...]]:
    """The sentence with which a value is refused, and the way to the fault."""
    try:
        KINDS[slug].read(value, grid_of(size))
    except RuleFault as fault:
        return str(fault), fault.path
    raise AssertionError(f"{slug} takes {value!r}")
