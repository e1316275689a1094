"""Lines: what the rules share whose value is a list of lines of touching cells."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations, pairwise
from typing import Any, ClassVar, Literal, Self

from packbuilder.grid import Geometry, cell_name
from packbuilder.rules.contract import Kind, Part, Row, RuleFault, Solved, Told
from packbuilder.rules.shapes import Path, Ring, Shape
from packbuilder.rules.tools.cells import Where, check_line, items, line
from packbuilder.rules.tools.clue_words import clue, numbered
from packbuilder.rules.tools.random_clues import LineSpace, growing_line, random_lines, written

Style = Literal["broad", "thin", "double", "dashed", "dotted"]

TURNS = "lines may turn and run diagonally: each cell touches the next by a side or a corner"
"""What a cell list of a line means; said in the schema."""


Caution = tuple[str, tuple[int, ...]]
"""What may puzzle a reader, and the cells that it is about."""


@dataclass(frozen=True)
class Line(Part):
    """A line that reads the same from either end; it is kept from its end earlier in the grid."""

    cells: tuple[int, ...]
    closed: bool = False
    """Whether the first cell follows the last again."""

    word: ClassVar[str]
    """What a line of the rule is called in a sentence: ``whisper line``."""
    style: ClassVar[Style]

    @classmethod
    def of(cls, way: tuple[int, ...]) -> Self:
        """The line that goes through these cells, a loop where it comes back to the first."""
        way = either_way(way)
        return cls(way[:-1], closed=True) if is_loop(way) else cls(way)

    @property
    def way(self) -> tuple[int, ...]:
        """The cells as it goes through them: of a loop, the first at the end again."""
        return (*self.cells, self.cells[0]) if self.closed else self.cells

    def name(self, size: int) -> str:
        """``whisper line from r1c1 to r1c5``, ``closed whisper line through r1c1``."""
        if self.closed:
            return f"closed {self.word} through {cell_name(self.cells[0], size)}"
        first, last = cell_name(self.cells[0], size), cell_name(self.cells[-1], size)
        return f"{self.word} from {first} to {last}"

    def shapes(self) -> tuple[Shape, ...]:
        """One path."""
        return (Path(self.way, self.style),)


class LineKind(Kind):
    """A rule whose value is a list of lines, each a text of cells in order."""

    least: ClassVar[int] = 2
    """Cells of the shortest line that says something."""
    listing: ClassVar[str] = '["r1c1 r1c2 r2c3"]'
    lengths: ClassVar[tuple[int, int]] = (3, 5)
    """Cells of the shortest and the longest of random lines."""
    no_loop: ClassVar[str] = ""
    """Why no line of the rule comes back to its first cell; empty where one may."""

    @abstractmethod
    def line(self, cells: tuple[int, ...], geometry: Geometry, path: Where) -> Part:
        """The part that a line makes. Raises RuleFault for a line that can never hold."""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The lines, in the order in which they are written. Raises RuleFault."""
        parts: list[Part] = []
        for k, text in enumerate(items(value, self.listing)):
            cells = line(text, geometry.size, (k,), at_least=self.least)
            if self.no_loop and is_loop(cells):
                first = cell_name(cells[0], geometry.size)
                told = f"the line comes back to its first cell {first}, but {self.no_loop}"
                raise RuleFault(told, "end it one cell earlier", (k,))
            parts.append(self.line(cells, geometry, (k,)))
            no_twin(parts, (k,))
        return tuple(parts)

    def random_value(self, grid: Solved) -> Any:
        """Lines of the rule, on almost half of the free cells."""
        size = grid.geometry.size

        def holds(cells: tuple[int, ...]) -> bool:
            try:
                return self.line(cells, grid.geometry, ()).holds(grid.values, size)
            except RuleFault:
                return False

        found = random_lines(grid, self.lengths, partial(self.grow, size), holds)
        return [written(cells, size) for cells in found] or None

    def grow(self, size: int, space: LineSpace, length: int) -> tuple[int, ...]:
        """A line that may hold, of a length or less: it goes on while `begins` is true."""
        return growing_line(space, length, lambda digits: self.begins(digits, size))

    def begins(self, digits: Sequence[int], size: int) -> bool:
        """Whether a line may begin with these digits."""
        return True

    def schema(self) -> dict[str, Any]:
        """A list of texts such as ``r1c1 r1c2 r2c3``."""
        return {"type": "array", "minItems": 1, "items": cell_list(self.least)}

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """``1: r1c1 r1c2 r2c3``."""
        return tuple(
            clue(str(k), part.cells, geometry.size) for k, part in enumerate(parts, start=1)
        )

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """Numbered lines of cells."""
        return self.read(numbered(told), geometry)


class PlainLineKind(LineKind):
    """A rule of lines that have one look and nothing at their ends."""

    part: ClassVar[type[Line]]

    def line(self, cells: tuple[int, ...], geometry: Geometry, path: Where) -> Part:
        """One line."""
        return self.part.of(cells)

    def warnings(self, parts: Sequence[Part], size: int) -> list[Caution]:
        """Lines that a reader cannot tell apart, and loops."""
        lines = [part for part in parts if isinstance(part, Line)]
        found = run_together(lines, self.part.word, size)
        for part in lines:
            if part.closed:
                what = f"the {part.name(size)} has no ends: its last cell is the first again"
                found.append((what, part.cells))
        return found

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """``1: r1c1 r1c2 r2c3``; of a loop, the first cell at the end again."""
        lines = [part for part in parts if isinstance(part, Line)]
        return tuple(clue(str(k), p.way, geometry.size) for k, p in enumerate(lines, start=1))

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The paths of its look."""
        found = paths(shapes, self.part.style, geometry.size, loops=not self.no_loop)
        return tuple(dict.fromkeys(self.part.of(path.cells) for path in found))


def loops_told(parts: Sequence[Part]) -> str:
    """What a reader without pictures is told of loops, where there are any."""
    closed = any(isinstance(part, Line) and part.closed for part in parts)
    return "A line told with its first cell again at its end is closed." if closed else ""


def ways_row(slug: str, word: str, weight: float) -> Row:
    """The technique of a line, called ``whisper line``, that can be filled in few ways."""
    a = f"{'an' if word[0] in 'aeiou' else 'a'} {word}"
    return Row(
        slug, slug.replace("-", " ").capitalize(), 5, weight,
        f"{a.capitalize()} can be filled in a dozen ways or fewer; what none of them has goes, and "
        "elsewhere what all of them rule out.",
        f"{a.capitalize()} that can be filled in few ways.",
    )  # fmt: skip


def no_longer(cells: Sequence[int], size: int, word: str, path: Where) -> None:
    """Raise RuleFault where a line of differing digits is longer than there are digits."""
    if len(cells) > size:
        what = f"a {word} of {len(cells)} cells in a grid of {size} digits"
        raise RuleFault(what, f"shorten it to {size} cells or fewer", path)


def no_twin(parts: Sequence[Part], path: Where) -> None:
    """Raise RuleFault where the last part is an earlier one again."""
    if parts[-1] in parts[:-1]:
        earlier = parts.index(parts[-1]) + 1
        raise RuleFault(f"this is number {earlier} again", "leave one of the two out", path)


def run_together(parts: Sequence[Line], word: str, size: int) -> list[Caution]:
    """Lines without a mark at their ends that meet end to end, or of which one covers another."""
    found: list[Caution] = []
    for one, other in combinations(parts, 2):
        for end in sorted(_ends(one) & _ends(other)):
            what = f"two {word}s meet at {cell_name(end, size)} and look like one line in print"
            found.append((what, tuple(dict.fromkeys((*one.cells, *other.cells)))))
        short, long = sorted((one, other), key=lambda part: len(part.cells))
        if _steps(short) <= _steps(long):
            what = f"the {short.name(size)} cannot be seen in print: another one covers it"
            found.append((what, short.cells))
    return found


def _ends(part: Line) -> set[int]:
    return set() if part.closed else {part.cells[0], part.cells[-1]}


def _steps(part: Line) -> set[frozenset[int]]:
    return {frozenset(step) for step in pairwise(part.way)}


def cell_list(least: int) -> dict[str, Any]:
    """JSON Schema of a text that names ``least`` or more cells of a line."""
    cell = r"r[0-9]{1,2}c[0-9]{1,2}"
    return {
        "type": "string",
        "pattern": rf"^\s*{cell}([\s,]+{cell}){{{least - 1},}}\s*$",
        "description": TURNS,
    }


def either_way(cells: tuple[int, ...]) -> tuple[int, ...]:
    """A line that reads the same from either end, from the end earlier in the grid.

    A loop begins at its first cell in the grid, and goes on to the earlier of its neighbours.
    """
    if not is_loop(cells):
        return cells if cells[0] <= cells[-1] else cells[::-1]
    start = cells.index(min(cells))
    ring = (*cells[start:-1], *cells[:start])
    return (*min(ring, (ring[0], *ring[:0:-1])), ring[0])


def is_loop(cells: Sequence[int]) -> bool:
    """Whether a way through three cells or more ends where it began."""
    return len(cells) > 3 and cells[0] == cells[-1]


def paths(
    shapes: Iterable[Shape], style: Style, size: int, *, head: bool = False, loops: bool = False
) -> list[Path]:
    """The printed paths of one look, each once. Paths that no manifest could hold are left out."""
    found = dict.fromkeys(
        shape
        for shape in shapes
        if isinstance(shape, Path) and shape.style == style and shape.head == head
    )
    return [path for path in found if _could_be_read(path.cells, size, loops)]


def _could_be_read(cells: tuple[int, ...], size: int, loops: bool) -> bool:
    if len(cells) < 2 or len(set(cells)) < len(cells) - (loops and is_loop(cells)):
        return False
    try:
        check_line(cells, size)
    except RuleFault:
        return False
    return True


def rings(shapes: Iterable[Shape], *, solid: bool) -> frozenset[int]:
    """The cells with a printed disc (``solid``) or an outlined ring."""
    return frozenset(
        shape.cell for shape in shapes if isinstance(shape, Ring) and shape.solid == solid
    )
