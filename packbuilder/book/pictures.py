"""Pictures on the pages that teach: a whole grid that says what rows, columns and blocks are, and
of each rule a case that is right and one that is wrong.

A picture is a corner of a grid, from its upper left cell on. Its cells are counted row by row in
the picture itself, and so are those of its shapes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Literal

from packbuilder.book.wording import in_a_line
from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name, parse_cell
from packbuilder.phrases import listed
from packbuilder.rules.cases import Case, Cases, Star
from packbuilder.rules.contract import Clue, Kind
from packbuilder.rules.shapes import Diagonal, Outside, Shape

Verdict = Literal["right", "wrong", ""]

Borders = tuple[tuple[bool, ...], ...]
Label = tuple[str, int, Literal["right", "below"]]

_LEAST_ROWS, _LEAST_COLUMNS = 2, 4


@dataclass(frozen=True)
class Picture:
    """A corner of a grid of ``size``, and what is to be seen in it.

    ``across[k][c]`` says whether line k from the top is heavy over column c, ``down[k][r]`` the
    same of line k from the left beside row r. ``grey`` cells are spoken of; ``labels`` are words
    outside the grid, each in line with a cell: at its right, or below it. ``ringed``, ``crossed``
    and ``leap`` are cells, ``clues`` those of the rule in words.
    """

    size: int
    rows: int
    columns: int
    across: Borders
    down: Borders
    digits: Values
    words: str
    verdict: Verdict = ""
    shapes: tuple[Shape, ...] = ()
    grey: tuple[int, ...] = ()
    ringed: tuple[int, ...] = ()
    crossed: tuple[int, ...] = ()
    leap: tuple[int, ...] = ()
    labels: tuple[Label, ...] = ()
    clues: str = ""

    @property
    def told(self) -> list[str]:
        """What it shows, for those who do not see it: its digits, its clues, what is said of it."""
        by_digit: dict[int, list[str]] = {}
        for cell, digit in enumerate(self.digits):
            if digit:
                by_digit.setdefault(digit, []).append(cell_name(cell, self.columns))
        placed = (f"{SYMBOLS[d]} in {listed(cells)}" for d, cells in sorted(by_digit.items()))
        verdict = f"{self.verdict.capitalize()}: " if self.verdict else ""
        closed = " ".join(cell_name(cell, self.columns) for cell in self.crossed)
        more = (self.clues, f"Closed: {closed}" if closed else "", self.words)
        return [f"{verdict}{'; '.join(placed)}.", *(one for one in more if one)]


# --- of a rule -----------------------------------------------------------------------------------


def pictures(kind: Kind, cases: Cases, geometry: Geometry) -> tuple[Picture, ...]:
    """The pictures of a rule's cases: its star, if it has one, what is right, what is wrong.

    Right and wrong have the same room.
    """
    size = geometry.size
    parts = [kind.read(case.value, geometry) for case in (cases.right, cases.wrong)]
    shapes = [tuple(shape for part in some for shape in part.shapes()) for some in parts]
    told = kind.write(parts[0], geometry)  # whether all marks are shown is for puzzles to say
    clues = in_a_line((c for c in told if not isinstance(c, Clue) or c.label != "shown"), size)
    spots = [parse_cell(name, size) for case in (cases.right, cases.wrong) for name in case.digits]
    spots += [cell for some in shapes for shape in some for cell in _cells_of(shape, size)]
    room = _room(spots, size, 1)
    right, wrong = (
        replace(_case(case, verdict, some, geometry, room), clues=clues)
        for case, verdict, some in zip(
            (cases.right, cases.wrong), ("right", "wrong"), shapes, strict=True
        )
    )
    star = [_star(cases.aside, cases, size)] if isinstance(cases.aside, Star) else []
    return (*star, right, wrong)


def _case(
    case: Case, verdict: Any, shapes: Sequence[Shape], geometry: Geometry, room: tuple[int, int]
) -> Picture:
    size, (rows, columns) = geometry.size, room
    kept = [_renumbered(cell, size, columns) for cell in _named(case.ringed, size)]
    return Picture(
        size,
        rows,
        columns,
        *_borders(geometry, room),
        _digits(case.digits.items(), size, room),
        case.words,
        verdict,
        tuple(_in_corner(shape, size, columns) for shape in shapes),
        ringed=tuple(sorted(kept)),
        leap=tuple(_renumbered(cell, size, columns) for cell in _named(case.leap, size)),
    )


def _star(star: Star, cases: Cases, size: int) -> Picture:
    """A digit and the cells that it is kept out of."""
    digit = next(iter(cases.right.digits.values()))
    centre, closed = parse_cell(star.centre, size), [parse_cell(c, size) for c in star.closed]
    room = rows, columns = _room([centre, *closed], size, 0)
    middle = _renumbered(centre, size, columns)
    return Picture(
        size,
        rows,
        columns,
        ((False,) * columns,) * (rows + 1),
        ((False,) * rows,) * (columns + 1),
        _digits([(star.centre, digit)], size, room),
        star.words,
        grey=(middle,),
        crossed=tuple(sorted(_renumbered(cell, size, columns) for cell in closed)),
        leap=tuple(_renumbered(cell, size, columns) for cell in _named(star.leap, size)),
    )


def _named(names: str, size: int) -> list[int]:
    return [parse_cell(name, size) for name in names.split()]


def _room(cells: Iterable[int], size: int, more: int) -> tuple[int, int]:
    """Rows and columns that hold the cells and ``more`` beyond them, as far as there are any.

    There are no more rows than columns.
    """
    spots = [divmod(cell, size) for cell in cells]
    rows = max(_LEAST_ROWS, max(r for r, _ in spots) + 1 + more)
    columns = max(_LEAST_COLUMNS, rows, max(c for _, c in spots) + 1 + more)
    return min(rows, size), min(columns, size)


def _borders(geometry: Geometry, room: tuple[int, int]) -> tuple[Borders, Borders]:
    """Which pieces of the level and of the upright lines are a frame, or part two regions."""
    size, regions, (rows, columns) = geometry.size, geometry.regions, room

    def heavy(one: tuple[int, int], other: tuple[int, int]) -> bool:
        (r, c), (q, k) = one, other
        if min(r, c) < 0 or max(q, k) == size:
            return True
        return regions is not None and regions[r * size + c] != regions[q * size + k]

    across = [[heavy((k - 1, c), (k, c)) for c in range(columns)] for k in range(rows + 1)]
    down = [[heavy((r, k - 1), (r, k)) for r in range(rows)] for k in range(columns + 1)]
    return tuple(map(tuple, across)), tuple(map(tuple, down))


def _digits(placed: Iterable[tuple[str, int]], size: int, room: tuple[int, int]) -> Values:
    rows, columns = room
    found = [0] * (rows * columns)
    for name, digit in placed:
        found[_renumbered(parse_cell(name, size), size, columns)] = digit
    return tuple(found)


def _renumbered(cell: int, size: int, columns: int) -> int:
    row, column = divmod(cell, size)
    return row * columns + column


def _cells_of(shape: Shape, size: int) -> Iterable[int]:
    """The cells that a shape lies on; all for a diagonal and for a number outside."""
    if isinstance(shape, Diagonal):
        return range(size * size)
    if isinstance(shape, Outside):
        return ()
    return shape.cells if hasattr(shape, "cells") else (shape.cell,)


def _in_corner(shape: Shape, size: int, columns: int) -> Shape:
    """A shape with its cells counted in rows of so many."""
    changed: dict[str, Any] = {}
    for field in fields(shape):
        value = getattr(shape, field.name)
        if field.name == "cell":
            changed["cell"] = _renumbered(value, size, columns)
        elif field.name == "cells":
            changed["cells"] = tuple(_renumbered(cell, size, columns) for cell in value)
    return replace(shape, **changed)


# --- of a grid -----------------------------------------------------------------------------------


def whole_grid(geometry: Geometry) -> Picture:
    """A grid with a row, a column and, where there are any, a block or a region full of digits."""
    size, area = geometry.size, ""
    digits = _full(geometry)
    row = set(range(size, 2 * size))
    column = set(range(1, size * size, size))
    labels: list[Label] = [
        ("row", 2 * size - 1, "right"),
        ("column", size * size - size + 1, "below"),
    ]
    grey = row | column
    if geometry.regions is not None:
        area = "block" if geometry.shape else "region"
        last = [cell for cell, k in enumerate(geometry.regions) if k == geometry.regions[-1]]
        grey |= {*last}
        rows = sorted({cell // size for cell in last} - {1})
        labels.append((area, rows[len(rows) // 2] * size + size - 1, "right"))
    named = f"a column and a {area}" if area else "and a column"
    what = "a row, " if area else "a row "
    return Picture(
        size,
        size,
        size,
        *_borders(geometry, (size, size)),
        tuple(digit if cell in grey else 0 for cell, digit in enumerate(digits)),
        f"In grey {what}{named}: each has every digit once.",
        grey=tuple(sorted(grey)),
        labels=tuple(labels),
    )


def _full(geometry: Geometry) -> Values:
    """A full grid: the plainest there is, with digits that do not run in order."""
    size = geometry.size
    order = [k for start in (0, 1) for k in range(start, size, 2)]
    if geometry.shape:
        high, wide = geometry.shape
        places = [(r % high * wide + r // high, c) for r in range(size) for c in range(size)]
        return tuple(order[(start + c) % size] + 1 for start, c in places)
    if geometry.regions is None:
        return tuple(order[(r + c) % size] + 1 for r in range(size) for c in range(size))
    from packbuilder.proof.sat import prove  # late: only a pack without any plain grid needs it

    found = prove(geometry, (0,) * geometry.cell_count, ()).first
    assert found is not None  # puzzles of the pack have these regions, and a solution
    return found


def family(geometry: Geometry) -> str:
    """The kind of grid that a geometry is: ``blocks``, ``latin`` or ``irregular``."""
    if geometry.regions is None:
        return "latin"
    return "blocks" if geometry.shape else "irregular"
