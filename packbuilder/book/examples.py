"""Examples on how-to-play pages: a small grid for each kind of grid, and for each rule its own.

The example of a rule is the small puzzle of its file, solved, with one thing that it shows.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from packbuilder import grid, rules
from packbuilder.grid import Geometry, Values, cell_name, parse_grid, read_blocks
from packbuilder.rules.contract import Kind, Part, Wording
from packbuilder.rules.houses import with_houses
from packbuilder.rules.shapes import Shape
from packbuilder.rules.tools.houses_only import HousesOnly


@dataclass(frozen=True)
class GridExample:
    """A small grid in which one digit can be written, and why."""

    geometry: Geometry
    clues: Values
    cell: int
    digit: int
    why: str


_SMALL = "The example is 4 × 4, with digits from 1 to 4. Its shaded cell must be"

GRID_EXAMPLES = {
    "blocks": GridExample(
        grid.blocks(2, 2),
        parse_grid("1..43.....4..3.1", 4),
        grid.parse_cell("r2c3", 4),
        1,
        f"{_SMALL} 1: the block at the top right needs a 1, and row 1 and column 4 have theirs "
        "already.",
    ),
    "latin": GridExample(
        grid.latin(4),
        parse_grid(".2..3..2..4....1", 4),
        grid.parse_cell("r2c3", 4),
        1,
        f"{_SMALL} 1: its row holds 2 and 3 already, its column 4.",
    ),
    "irregular": GridExample(
        grid.irregular("AAAB\nCABB\nCCDB\nCDDD"),
        parse_grid("1.3.2......2...1", 4),
        grid.parse_cell("r2c2", 4),
        4,
        f"{_SMALL} 4: its region holds 1 and 3 already, its row 2.",
    ),
}
"""One for each kind of grid, of the smallest size, so that they stay beside their text."""


def family(geometry: Geometry) -> str:
    """The kind of grid that a geometry is: ``blocks``, ``latin`` or ``irregular``."""
    if geometry.regions is None:
        return "latin"
    return "blocks" if geometry.shape else "irregular"


@dataclass(frozen=True)
class RuleExample:
    """A solved grid; the ``shaded`` cells are what ``words`` speak of. Words may be empty.

    ``wording`` is what the rule means there, ``centre`` the cell from which the shaded ones are
    seen, if they are.
    """

    geometry: Geometry
    clues: Values
    solution: Values
    shapes: tuple[Shape, ...]
    shaded: tuple[int, ...]
    words: str
    wording: Wording
    centre: int | None = None

    def said_with(self, wording: Wording) -> list[str]:
        """What is said of the example, below what the rule means in some puzzles.

        First what it means in the example and is not said there: the example may be of another
        size, or have marks that those puzzles lack.
        """
        said = _sentences(wording.said("page"))
        more = [one for one in _sentences(self.wording.said("page")) if one not in said]
        size = self.geometry.size
        start = f"In the example, of {size} × {size} cells: "
        return [words for words in (start + _lowered(" ".join(more)) if more else "", self.words)
                if words]  # fmt: skip


@cache
def rule_example(slug: str) -> RuleExample:
    """The example of a rule."""
    from packbuilder.proof.sat import prove  # late: packs without rules need no solver here

    kind = rules.kinds()[slug]
    bare, clues, parts = _read(kind)
    geometry = with_houses(bare, parts)
    solution = prove(geometry, clues, parts).first
    assert solution is not None  # every rule's example is tested to have one
    shapes = tuple(shape for part in parts for shape in part.shapes())
    (shaded, words), centre = _a_way_in(kind, geometry, clues, parts), None
    if not shapes and not shaded:
        centre, shaded, words = _star(parts, bare.size)
    wording = kind.wording(rules.parts_of(kind, parts), bare.size)
    return RuleExample(bare, clues, solution, shapes, shaded, words, wording, centre)


def _read(kind: Kind) -> tuple[Geometry, Values, tuple[Part, ...]]:
    import yaml

    data: dict[str, Any] = yaml.load(kind.example, yaml.BaseLoader)  # every value is text
    size = int(data.get("size", "9"))
    geometry = read_blocks(data.get("blocks"), size)
    parts: list[Part] = []
    for entry in data["rules"]:
        slug, value = (entry, None) if isinstance(entry, str) else next(iter(entry.items()))
        parts += rules.kinds()[slug].read(value, geometry)
    return geometry, parse_grid(data["grid"], size), tuple(parts)


def _a_way_in(
    kind: Kind, geometry: Geometry, clues: Values, parts: tuple[Part, ...]
) -> tuple[tuple[int, ...], str]:
    """The cells and the words of the first step by the rule that rests on nothing but digits."""
    from packbuilder.ladder.path import walk
    from packbuilder.ladder.puzzle_ladder import with_rules
    from packbuilder.ladder.table import DEFAULT

    own = {row.slug for row in kind.techniques}
    for step in walk(geometry, clues, ladder=with_rules(DEFAULT, parts)).steps:
        if step.technique in own:
            cells = {*step.cells, *(cell for cell, _ in (*step.places, *step.removes))}
            return tuple(sorted(cells)), f"A way into the example: {_lowered(step.told)}"
        if step.removes:
            break
    return (), ""


def _star(parts: Iterable[Part], size: int) -> tuple[int | None, tuple[int, ...], str]:
    """A cell from which a rule has most cells in view, and those, whatever else sees them too."""
    view: dict[int, set[int]] = {}
    for part in parts:
        for group in part.groups(size) if isinstance(part, HousesOnly) else ():
            for cell in group:
                view.setdefault(cell, set()).update(set(group) - {cell})
    if not view:
        return None, (), ""
    centre = max(view, key=lambda cell: len(view[cell]))
    told = f"In the example no shaded cell may hold the digit of {cell_name(centre, size)}, in the "
    return centre, tuple(sorted(view[centre])), f"{told}ring."


def _sentences(text: str) -> list[str]:
    return re.split(r"(?<=\.) ", text)


def _lowered(sentence: str) -> str:
    """A sentence after a colon: its first word small, but for X and V."""
    first = sentence.partition(" ")[0]
    small = first == "A" or first[1:2].islower()
    return first[:1].lower() + sentence[1:] if small else sentence
