"""Rules of clues at the ends of rows and columns, outside the grid.

What a clue says of its line, and so all that it forbids, stands in the rule's own file.
"""

from __future__ import annotations

import re
from abc import abstractmethod
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from packbuilder.grid import Geometry, Values
from packbuilder.rules.contract import OPEN, Kind, Part, RuleFault, Solved, Told
from packbuilder.rules.shapes import Outside, Shape, Side
from packbuilder.rules.tools.cells import NEITHER, mapping, text
from packbuilder.rules.tools.clue_words import labelled, parted

NONE = NEITHER
"""What is written where a row or a column has no clue."""

_PLACES = {"top": "above", "bottom": "below", "left": "left of", "right": "right of"}
OTHER_END: dict[Side, Side] = {"top": "bottom", "bottom": "top", "left": "right", "right": "left"}
"""For each side, the one at the other end of its lines."""


@dataclass(frozen=True)
class OutsideClue(Part):
    """A number about a row or column; ``cells`` are those of the line, from the number on."""

    cells: tuple[int, ...]
    side: Side
    index: int
    number: int
    reckons = True

    word: ClassVar[str]
    """What such a clue is called: ``sightline``."""
    ringed: ClassVar[bool] = False
    """How it is told in print from the clues of the other such rule."""

    @property
    def line(self) -> str:
        """``column 3``, ``row 2``."""
        return f"{'column' if self.side in ('top', 'bottom') else 'row'} {self.index + 1}"

    @property
    def place(self) -> str:
        """Where it stands: ``above column 3``, ``left of row 2``."""
        return f"{_PLACES[self.side]} {self.line}"

    def name(self, size: int) -> str:
        """``sightline 3 above column 2``."""
        return f"{self.word} {self.number} {self.place}"

    def shapes(self) -> tuple[Shape, ...]:
        """A number outside the grid."""
        return (Outside(self.side, self.index, str(self.number), ringed=self.ringed),)


class OutsideKind(Kind):
    """A rule of such clues, in the manifest a text for each side."""

    part: ClassVar[type[OutsideClue]]
    sides: ClassVar[tuple[Side, ...]]
    """The sides on which its clues stand."""
    from_either_end: ClassVar[bool] = False
    """Whether a clue says the same at both ends of its line, so that it stands at one of them."""
    example_value: ClassVar[str]
    """How the value is written, for messages."""

    @abstractmethod
    def number(self, clue: str, size: int, what: str, side: Side) -> int:
        """The number that a clue is; ``what`` is its name. Raises RuleFault where none can be."""

    @abstractmethod
    def number_of(self, digits: Sequence[int]) -> int:
        """The clue of a line with these digits, seen from its side."""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The clues, side by side. Raises RuleFault."""
        size = geometry.size
        found: list[OutsideClue] = []
        for side, index, clue in self._clues(value, size):
            part = self.part(line_cells(side, index, size), side, index, 0)
            if self.from_either_end and any(one.line == part.line for one in found):
                what = f"{part.line} has a number at both ends, which say the same"
                raise RuleFault(what, "leave one out", (side,))
            number = self.number(clue, size, f"the clue {part.place}", side)
            found.append(self.part(part.cells, side, index, number))
        return tuple(found)

    def _clues(self, value: Any, size: int) -> list[tuple[Side, int, str]]:
        """The clues of a value such as ``{top: "1 . 3"}``: side, index, text."""
        given = mapping(value, self.sides, self.example_value)
        found: list[tuple[Side, int, str]] = []
        for side in self.sides:
            if side not in given:
                continue
            clues = text(given[side], f'{side}: "1 . 3"', (side,)).split()
            if len(clues) != size:
                across = "column" if side in ("top", "bottom") else "row"
                raise RuleFault(
                    f"{side} has {len(clues)} clue{'' if len(clues) == 1 else 's'}",
                    f"it needs {size}, one for each {across}, with blanks between them "
                    f"({NONE!r} for a {across} without a clue)",
                    (side,),
                )
            found += ((side, k, clue) for k, clue in enumerate(clues) if clue != NONE)
        if not found:
            raise RuleFault("there is no clue, only dots", f"write them like {self.example_value}")
        return found

    def schema(self) -> dict[str, Any]:
        """Clues for some of the sides."""
        clues = {"type": "string", "description": f"Clues with blanks between; {NONE!r} for none."}
        return {
            "type": "object",
            "properties": dict.fromkeys(self.sides, clues),
            "additionalProperties": False,
            "minProperties": 1,
        }

    def random_value(self, grid: Solved) -> Any:
        """The clues of all its places that are free; of two that say the same, the first."""
        size, value = grid.geometry.size, dict[str, str]()
        taken = set(grid.taken)
        for side in self.sides:
            clues = [NONE] * size
            for k in range(size):
                if (side, k) not in taken:
                    line = line_cells(side, k, size)
                    clues[k] = str(self.number_of([grid.values[cell] for cell in line]))
                    taken |= {(OTHER_END[side], k)} if self.from_either_end else set()
            if set(clues) != {NONE}:
                value[side] = " ".join(clues)
        return value or None

    def fewer(self, value: Any) -> list[Any]:
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

    def filled(self, value: Any, values: Values | None, geometry: Geometry) -> Any:
        """The numbers of its sides."""
        if not isinstance(value, dict):
            return value
        size, found = geometry.size, {}
        for side, told in value.items():
            clues = told.split() if isinstance(told, str) and side in self.sides else []
            for k, clue in enumerate(clues if len(clues) == size else ()):
                if clue == OPEN:
                    line = line_cells(side, k, size)
                    clues[k] = str(self.number_of([values[c] for c in line])) if values else NONE
            if OPEN not in str(told).split():
                found[side] = told
            elif set(clues) != {NONE}:
                found[side] = " ".join(clues)
        return found or None

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """``above: c1 2, c3 4``: the clues of a side, each with its row or column."""
        clues = [part for part in parts if isinstance(part, OutsideClue)]
        told: list[Told] = []
        for side, (label, line) in _LABELS.items():
            here = [f"{line}{part.index + 1} {part.number}" for part in clues if part.side == side]
            told += parted(label, here)
        return tuple(told)

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """A text for each side that is told, with full stops where no clue stands."""
        given = labelled(told, [label for label, _ in _LABELS.values()])
        value: dict[str, str] = {}
        for side, (label, line) in _LABELS.items():
            texts = [NONE] * geometry.size
            for clue in given[label].split(", ") if label in given else ():
                found = re.fullmatch(rf"{line}(\d{{1,2}}) (\d+)", clue)
                index = int(found[1]) - 1 if found else -1
                if not found or not 0 <= index < len(texts) or texts[index] != NONE:
                    what = f"{clue!r} is no clue {label} the grid"
                    raise RuleFault(what, f"write it like {line}1 5")
                texts[index] = found[2]
            if label in given:
                value[side] = " ".join(texts)
        return self.read(value, geometry)

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The printed numbers about whole rows and columns."""
        return tuple(self._drawn(shapes, geometry.size))

    def _drawn(self, shapes: Sequence[Shape], size: int) -> Iterator[OutsideClue]:
        for shape in shapes:
            if isinstance(shape, Outside) and shape.towards is None and shape.side in self.sides:
                side, index = shape.side, shape.index
                mine = shape.ringed is self.part.ringed and shape.text.isdecimal()
                if mine and 0 <= index < size:
                    yield self.part(line_cells(side, index, size), side, index, int(shape.text))


_LABELS: dict[Side, tuple[str, str]] = {
    "top": ("above", "c"),
    "bottom": ("below", "c"),
    "left": ("left", "r"),
    "right": ("right", "r"),
}
"""For each side, its label in words and the letter of its rows or columns."""


def belonging(parts: Sequence[Part]) -> str:
    """Whose the numbers are where they are told in words, as far as the parts stand there."""
    sides = {part.side for part in parts if isinstance(part, OutsideClue)}
    above = "above and below" if "bottom" in sides else "above"
    left = "the left and right" if "right" in sides else "the left"
    return f"Numbers {above} belong to columns, c1 and so on, those at {left} to rows."


def on_one_another(parts: Iterable[Part]) -> Iterator[tuple[Part, Part]]:
    """Parts whose numbers would stand at one place outside the grid.

    Two with arrows have room there beside each other.
    """
    standing: dict[tuple[Side, int], list[tuple[Part, Outside]]] = {}
    for part in parts:
        for shape in part.shapes():
            if isinstance(shape, Outside):
                here = standing.setdefault((shape.side, shape.index), [])
                yield from ((one, part) for one, other in here
                            if None in (other.towards, shape.towards))  # fmt: skip
                here.append((part, shape))


def line_cells(side: Side, index: int, size: int) -> tuple[int, ...]:
    """The cells of a clue's row or column, from the clue on."""
    span = range(size)
    if side in ("top", "bottom"):
        cells = tuple(r * size + index for r in span)
    else:
        cells = tuple(index * size + c for c in span)
    return cells if side in ("top", "left") else cells[::-1]
