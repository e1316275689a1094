"""Taking: a grid out of a text as people send it.

Eighty-one characters in a line; rows with rules drawn by hyphens, bars or box-drawing signs; cells
parted by blanks, commas, semicolons or tabs; blanks for empty cells, so that the text is a picture.
A text may hold the solution too. It is read in each way that makes sense, and where two ways give
different grids nothing is guessed.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from packbuilder.grid import MAX_SIZE, MIN_SIZE, SYMBOLS, Values, cell_name
from packbuilder.phrases import counted

_ALL_BARS = str.maketrans(dict.fromkeys("│┃║¦!", "|"))
_EMPTY = ".0*_?xX·•□-–"
_RULE = re.compile(r"[\s\-–—=+_~:|.'`│┃║─━═┄┈┼╋╬┬┴├┤╦╩╠╣┌┐└┘╔╗╚╝╭╮╰╯┠┨┯┷┿╂]*")
_DRAWN = re.compile(r"[-–—=+_~─━═┄┈]{2}|[┼╋╬]")
_FIELDS = (",", ";", "\t", "|")
_SIDES = tuple(range(MIN_SIZE, MAX_SIZE + 1))


_PICTURED = (4, 6, 9, 12, 16)
"""Sides of grids that a picture may be: where rows or columns at its ends are bare, the text has
too few of them, and would make a grid of another side."""


class TakeFault(ValueError):
    """Why no grid can be taken from a text, and how to mend it."""


@dataclass(frozen=True)
class Taken:
    """A grid, and its solution where the text has one."""

    size: int
    clues: Values
    solution: Values | None


def take(text: str) -> Taken:
    """The puzzle of a text, and its solution where a filled grid stands there too.

    Raises TakeFault.
    """
    grids = _read(text)
    puzzles = [one for one in grids if 0 in one]
    solved = [one for one in grids if 0 not in one]
    if not puzzles:
        what = "only a filled grid" if solved else _nearly(text)
        raise TakeFault(f"{what}; send the clues, with a dot for each empty cell")
    if len(puzzles) > 1:
        raise TakeFault(f"holds {len(puzzles)} puzzles; take them one at a time, a file each")
    if len(solved) > 1:
        raise TakeFault(f"holds {len(solved)} filled grids; leave the one that is its solution")
    clues, solution = puzzles[0], solved[0] if solved else None
    check_slips(clues, solution)
    return Taken(round(len(clues) ** 0.5), clues, solution)


def take_solution(text: str) -> Values:
    """The one filled grid of a text. Raises TakeFault."""
    filled = [one for one in _read(text) if 0 not in one]
    if len(filled) != 1:
        raise TakeFault(f"the solution: {len(filled) or 'no'} filled grids; give one")
    return filled[0]


def check_slips(clues: Values, solution: Values | None) -> None:
    """Raise TakeFault where clues and solution differ, cell by cell."""
    if solution is None:
        return
    if len(clues) != len(solution):
        raise TakeFault(f"the grid has {len(clues)} cells, and the solution {len(solution)}")
    size = round(len(clues) ** 0.5)
    pairs = enumerate(zip(clues, solution, strict=True))
    found = ((cell_name(k, size), a, b) for k, (a, b) in pairs if a not in (0, b))
    told = ", ".join(f"{name} is {SYMBOLS[a]} and {SYMBOLS[b]}" for name, a, b in found)
    if told:
        raise TakeFault(f"the clues and the solution differ: {told}; ask the setter which is meant")


def _read(text: str) -> list[Values]:
    text = unicodedata.normalize("NFKC", text).replace("\ufeff", "").translate(_ALL_BARS)
    return _grids(_unquoted([line.rstrip(" ") for line in text.splitlines()]))


def _unquoted(lines: list[str]) -> list[str]:
    """The lines without the signs of a mail that was sent on or answered (RFC 3676, 4.5).

    The blank behind a sign is the mail program's where each quoted line has it.
    """
    while quoted := [line for line in lines if line.startswith(">")]:
        width = 2 if all(line[1:2] in ("", " ") for line in quoted) else 1
        lines = [line[width:] if line.startswith(">") else line for line in lines]
    return lines


def _grids(lines: Sequence[str]) -> list[Values]:
    """The grids of a text in their order: all of it as one, or what blank lines and words part."""
    if found := _one(lines):
        return [found]
    grids, parts = [], _parts(lines)
    for part in parts:
        singles = [one for line in part if (one := _one([line]))]
        if len(singles) == len(part):
            grids += singles
        elif found := _one(part):
            grids.append(found)
    if not grids and len(parts) > 1:  # blank lines between bands of rows
        whole = _one([line for part in parts for line in part])
        return [whole] if whole else []
    return grids


def _parts(lines: Sequence[str]) -> list[list[str]]:
    parts: list[list[str]] = [[]]
    for line in lines:
        if not line.strip(" ") or _is_words(line):
            parts.append([])
        else:
            parts[-1].append(line)
    return [part for part in parts if part]


def _is_words(line: str) -> bool:
    """Whether a line is prose: such as a title, or ``Solution:``."""
    return bool(re.search(r"[^\W\d_]{2}", line) and re.search(r"[^\W\d_A-GXa-gx]", line))


def _one(lines: Sequence[str]) -> Values | None:
    """The one grid that the lines are. Raises TakeFault where they could be two different ones."""
    lines = _without_ends([line for line in lines if not _is_words(line)])
    ways: list[Callable[[Sequence[str]], Iterator[list[list[int]]]]] = [
        _by_signs, _by_fields, _by_columns,
    ]  # fmt: skip
    for way in ways:
        squares = [rows for rows in way(lines) if _square(rows)]
        found = dict.fromkeys(tuple(v for row in rows for v in row) for rows in squares)
        if len(found) > 1:
            raise TakeFault(
                "can be read in two ways; write a dot for each empty cell, and nothing between rows"
            )
        for values in found:
            return values
    return None


def _without_ends(lines: Sequence[str]) -> list[str]:
    """The lines from the first that is not blank to the last."""
    kept = [k for k, line in enumerate(lines) if line.strip(" ")]
    return list(lines[kept[0] : kept[-1] + 1]) if kept else []


def _square(rows: Sequence[Sequence[int]]) -> bool:
    size = len(rows)
    return (
        size in _SIDES
        and all(len(row) == size for row in rows)
        and all(value <= size for row in rows for value in row)
        and any(value for row in rows for value in row)
    )


# --- the ways of reading -------------------------------------------------------------------------


def _by_signs(lines: Sequence[str]) -> Iterator[list[list[int]]]:
    """A sign a cell, blanks and bars passed over; hyphens are empty cells, or draw rules."""
    full = [line for line in lines if line.strip(" ")]
    for rows in ([line for line in full if not _is_rule(line)], full):
        signs = [re.sub(r"[\s,;|]", "", row) for row in rows]
        values = [[_sign(sign) for sign in row] for row in signs]
        if all(v is not None for row in values for v in row):
            sound = [[v for v in row if v is not None] for row in values]
            yield sound
            side = round(len(sound[0]) ** 0.5) if len(sound) == 1 else 0
            if side and side * side == len(sound[0]):
                yield [sound[0][k : k + side] for k in range(0, side * side, side)]


def _by_fields(lines: Sequence[str]) -> Iterator[list[list[int]]]:
    """Numbers or nothing between commas, semicolons, tabs or bars."""
    rows = [line for line in lines if line.strip(" ") and not _is_rule(line)]
    for sign in _FIELDS:
        if all(sign in row for row in rows):
            split = [_split(row, sign) for row in rows]
            values = [[_number(cell) for cell in row] for row in split]
            if all(v is not None for row in values for v in row):
                yield [[v for v in row if v is not None] for row in values]


def _split(row: str, sign: str) -> list[str]:
    if sign == "|":
        row = row.strip()
        row = row.removeprefix("|").removesuffix("|")
    return [cell.strip().strip("\"'") for cell in row.split(sign)]


def _by_columns(lines: Sequence[str]) -> Iterator[list[list[int]]]:
    """A picture: each sign in its place, blanks for empty cells.

    Columns are where signs stand; where some column has none, they are evenly spaced.
    """
    rows = [line for line in lines if not _is_rule(line) or not line.strip(" ")]
    for some in (rows, [row for row in rows if row.strip(" ")]):
        size = len(some)
        if size not in _PICTURED:
            continue
        for drawn in _drawings(some):
            places = sorted({k for row in drawn for k, sign in enumerate(row) if sign != " "})
            for columns in _columns(places, size):
                cells = [[row[k] if k < len(row) else " " for k in columns] for row in drawn]
                values = [[0 if sign == " " else _sign(sign) for sign in row] for row in cells]
                if all(v is not None for row in values for v in row):
                    yield [[v for v in row if v is not None] for row in values]


def _drawings(rows: Sequence[str]) -> Iterator[list[str]]:
    """The rows without their bars: each bar taken for a blank, or taken out with its column."""
    if not any("|" in row for row in rows):
        yield list(rows)
        return
    places = {k for row in rows for k, sign in enumerate(row) if sign == "|"}
    yield ["".join(s for k, s in enumerate(row) if k not in places) for row in rows]
    if not any(re.search(r"[^ ]\||\|[^ ]", row.strip("|")) for row in rows):
        yield [re.sub(r"\| ?", "", row) for row in rows]


def _columns(places: Sequence[int], size: int) -> Iterator[Sequence[int]]:
    """So many evenly spaced columns: those that have signs, or from the first place on."""
    if len(places) == size:
        if len({b - a for a, b in pairwise(places)}) == 1:
            yield places
        return
    for pitch in (1, 2):
        evenly = range(places[0] % pitch if places else 0, size * pitch, pitch)
        if set(places) <= set(evenly):
            yield evenly
            return


def _is_rule(line: str) -> bool:
    """Whether a line draws a rule between rows: it has no digit, and strokes side by side."""
    return bool(_RULE.fullmatch(line) and _DRAWN.search(line))


def _sign(sign: str) -> int | None:
    if sign in _EMPTY:
        return 0
    place = SYMBOLS.find(sign.upper())
    return place if place > 0 else None


def _number(cell: str) -> int | None:
    if cell in ("", *_EMPTY):
        return 0
    if cell.isascii() and cell.isdecimal() and int(cell) <= MAX_SIZE:
        return int(cell)
    return _sign(cell) if len(cell) == 1 else None


def _nearly(text: str) -> str:
    """What a text has in the place of a grid."""
    digits = sum(sign.isdigit() for sign in text)
    lines = sum(bool(line.strip(" ")) for line in text.splitlines())
    return (
        f"holds no grid that can be read ({counted(digits, 'digit')} on {counted(lines, 'line')})"
    )
