"""Pictures that cannot work, refused before anybody searches; and why.

Nothing here is a guess: each reason rules out every grid with these clues. A picture that passes
may have none all the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from packbuilder.errors import InputError
from packbuilder.grid import SYMBOLS, Geometry, cell_name
from packbuilder.phrases import listed
from packbuilder.proof import kernel, sat
from packbuilder.setting.picture import Picture
from packbuilder.setting.solved_grids import Meaning

FEWEST = {(2, 2): 4, (2, 3): 8, (3, 2): 8, (2, 4): 14, (4, 2): 14, (3, 3): 17}
"""The fewest clues that any grid with blocks of a shape has, one solution given. 17: McGuire,
Tugemann and Civario, "There is no 16-clue Sudoku" (2014); the others are known from exhaustive
search (all from memory)."""

SECONDS = 20.0
"""For the proof that a design can be kept at all."""


def check_picture(
    picture: Picture, meaning: Meaning, clues: tuple[int, int], *, houses_only: bool = True
) -> None:
    """Raise InputError, with the reason, where no grid with one solution has such clues.

    ``meaning`` has the houses of the grid and its rules; ``clues`` are the fewest and the most that
    are asked for. Not ``houses_only``: rules say more, or will.
    """
    for reason in _reasons(picture, meaning, clues, houses_only):
        raise InputError(f"the picture cannot be: {reason}")


def _reasons(
    picture: Picture, meaning: Meaning, clues: tuple[int, int], houses_only: bool
) -> Iterator[str]:
    geometry = meaning.geometry
    if picture.size != geometry.size:
        side = f"{geometry.size}x{geometry.size}"
        yield f"it has {picture.size} rows, and the grid is {side}; draw it as large, or set --size"
        return
    yield from _wrong_number(picture, clues)
    yield from _clashes(picture, geometry)
    if not houses_only:
        yield from _clashing_rules(picture, meaning)
        return
    if not meaning.parts:
        yield from _too_few(picture, geometry)
        yield from _alike_lines(picture, geometry)
    yield from _missing_digits(picture, geometry)
    if picture.fixed:
        solutions = kernel.prove(geometry, fixed_clues(picture)).solutions
        if solutions == 0:
            yield "no grid at all has its fixed digits"
        if solutions == 2 and not picture.drawn and not picture.optional:
            yield "all its digits are fixed, and they leave more than one solution"


def _clashing_rules(picture: Picture, meaning: Meaning) -> Iterator[str]:
    """Rules and digits that nothing keeps, told by the fewest of them that contradict."""
    clues = fixed_clues(picture)
    if sat.prove(meaning.geometry, clues, meaning.parts, time_limit=SECONDS).solutions != 0:
        return
    cells, parts = sat.clash_with_rules(meaning.geometry, clues, meaning.parts, time_limit=SECONDS)
    told = [part.name(picture.size) for part in parts]
    told += [f"{SYMBOLS[clues[c]]} at {cell_name(c, picture.size)}" for c in cells]
    yield f"nothing keeps {listed(told)}" if told else "nothing fits its regions"


def _too_few(picture: Picture, geometry: Geometry) -> Iterator[str]:
    most = picture.span[1]
    fewest = FEWEST.get(geometry.shape or (0, 0), geometry.size - 1)
    if most < fewest:
        yield (
            f"it has room for {most} clues, and a grid of {geometry.name()} with one solution has "
            f"at least {fewest}"
        )


def _wrong_number(picture: Picture, clues: tuple[int, int]) -> Iterator[str]:
    least, most = picture.span
    if least == picture.size**2:
        yield "every cell has a clue, and none is left to solve"
    if clues[1] < least or clues[0] > most:
        span = f"{least}" if least == most else f"{least} to {most}"
        yield f"it has {span} clues, and {clues[0]} to {clues[1]} are asked for"


def _alike_lines(picture: Picture, geometry: Geometry) -> Iterator[str]:
    """Two lines without clues that may change places: then every solution has a twin."""
    size, shape = geometry.size, geometry.shape or (1, 1)
    if geometry.shape is None and geometry.regions is not None:
        return
    for kind, height in (("row", shape[0]), ("column", shape[1])):
        lines = [
            line
            for line in range(size)
            if all(
                picture.signs[line * size + k if kind == "row" else k * size + line] == "."
                for k in range(size)
            )
        ]
        for a, b in combinations(lines, 2):
            if a // height == b // height or height == 1:
                band = {"row": "band", "column": "stack"}[kind]
                where = f" of one {band}" if height > 1 else ""
                yield (
                    f"{kind}s {a + 1} and {b + 1}{where} have no clue, so they may change places "
                    "in every solution; put a clue into one of them"
                )


def _clashes(picture: Picture, geometry: Geometry) -> Iterator[str]:
    fixed = picture.fixed
    for a, b in combinations(fixed, 2):
        if fixed[a] == fixed[b] and b in geometry.peers[a]:
            names = f"{cell_name(a, picture.size)} and {cell_name(b, picture.size)}"
            yield f"the digit {SYMBOLS[fixed[a]]} is fixed at {names}, which see each other"


def _missing_digits(picture: Picture, geometry: Geometry) -> Iterator[str]:
    """Two digits without a clue: then they may change places in every solution."""
    free = [*picture.drawn, *picture.optional]
    missing = [d for d in range(1, picture.size + 1) if d not in picture.fixed.values()]
    seen = {
        cell: {picture.fixed[peer] for peer in geometry.peers[cell] if peer in picture.fixed}
        for cell in free
    }
    placed = _matched(missing, {d: [c for c in free if d not in seen[c]] for d in missing})
    without = [SYMBOLS[d] for d in missing if d not in placed]
    if len(without) > 1:
        yield (
            f"it leaves no room for the digits {listed(without)}, so two of them may change places "
            "in every solution"
        )


def _matched(digits: Sequence[int], places: dict[int, list[int]]) -> dict[int, int]:
    """A cell for as many digits as can have one each (augmenting paths, Kuhn 1955)."""
    holder: dict[int, int] = {}

    def settle(digit: int, asked: set[int]) -> bool:
        for cell in places[digit]:
            if cell not in asked:
                asked.add(cell)
                if cell not in holder or settle(holder[cell], asked):
                    holder[cell] = digit
                    return True
        return False

    for digit in digits:
        settle(digit, set())
    return {digit: cell for cell, digit in holder.items()}


def fixed_clues(picture: Picture) -> tuple[int, ...]:
    """The clues that are fixed, 0 for every other cell."""
    return tuple(picture.fixed.get(cell, 0) for cell in range(picture.size**2))
