"""Clues at the ends of rows and columns, outside the grid: how they are written, their lines."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from packbuilder.rules.contract import RuleFault, Solved
from packbuilder.rules.shapes import Outside, Shape, Side
from packbuilder.rules.tools.cells import NEITHER, mapping, text

NONE = NEITHER
"""What is written where a row or a column has no clue."""

_PLACES = {"top": "above", "bottom": "below", "left": "left of", "right": "right of"}


def sides(
    value: Any, allowed: Sequence[Side], size: int, written: str
) -> list[tuple[Side, int, str]]:
    """The clues of a value such as ``{top: "1 . 3"}``: side, index, text.

    ``written`` shows how such a value is written.
    """
    given = mapping(value, allowed, written)
    found: list[tuple[Side, int, str]] = []
    for side in allowed:
        if side not in given:
            continue
        clues = text(given[side], f'{side}: "1 . 3"', (side,)).split()
        if len(clues) != size:
            across = "column" if side in ("top", "bottom") else "row"
            s = "" if len(clues) == 1 else "s"
            raise RuleFault(
                f"{side} has {len(clues)} clue{s}",
                f"it needs {size}, one for each {across}, with blanks between them "
                f"({NONE!r} for a {across} without a clue)",
                (side,),
            )
        found += ((side, k, clue) for k, clue in enumerate(clues) if clue != NONE)
    if not found:
        raise RuleFault("there is no clue, only dots", f"write them like {written}")
    return found


def deal(
    grid: Solved, allowed: Sequence[Side], clue: Callable[[Sequence[int]], int]
) -> dict[str, str]:
    """The clues of all rows and columns of a solved grid, as they are written."""
    size = grid.geometry.size
    return {
        side: " ".join(
            str(clue([grid.values[cell] for cell in line(side, k, size)])) for k in range(size)
        )
        for side in allowed
    }


def fewer(value: dict[str, str]) -> list[Any]:
    """The value without each clue in turn, a side without any clue left out."""
    found = []
    for side, texts in value.items():
        clues = texts.split()
        for k, clue in enumerate(clues):
            if clue != NONE:
                left = [*clues[:k], NONE, *clues[k + 1 :]]
                kept = {side: " ".join(left)} if set(left) != {NONE} else {}
                found.append({s: t for s, t in (value | kept).items() if s != side or kept})
    return found if len(found) > 1 else []


def line(side: Side, index: int, size: int) -> tuple[int, ...]:
    """The cells of a clue's row or column, from the clue on."""
    span = range(size)
    if side in ("top", "bottom"):
        cells = tuple(r * size + index for r in span)
    else:
        cells = tuple(index * size + c for c in span)
    return cells if side in ("top", "left") else cells[::-1]


def line_name(side: Side, index: int) -> str:
    """``column 3``, ``row 2``."""
    return f"{'column' if side in ('top', 'bottom') else 'row'} {index + 1}"


def place(side: Side, index: int) -> str:
    """Where a clue stands: ``above column 3``, ``left of row 2``."""
    return f"{_PLACES[side]} {line_name(side, index)}"


def numbers(
    shapes: Iterable[Shape], allowed: Sequence[Side], size: int
) -> Iterator[tuple[Side, int, int]]:
    """The printed numbers about whole rows and columns: side, index, number."""
    for shape in shapes:
        if not isinstance(shape, Outside) or shape.towards is not None:
            continue
        if shape.side in allowed and 0 <= shape.index < size and shape.text.isdecimal():
            yield shape.side, shape.index, int(shape.text)


def schema(allowed: Sequence[Side]) -> dict[str, Any]:
    """JSON Schema of such a value."""
    clues = {"type": "string", "description": f"Clues with blanks between; {NONE!r} for none."}
    return {
        "type": "object",
        "properties": dict.fromkeys(allowed, clues),
        "additionalProperties": False,
        "minProperties": 1,
    }
