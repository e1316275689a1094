"""Examples of rules: the small puzzle of each rule file, solved, and one thing that it shows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from packbuilder import rules
from packbuilder.grid import Geometry, Values, cell_name, parse_grid, read_blocks
from packbuilder.rules.contract import Kind, Part
from packbuilder.rules.houses import with_houses
from packbuilder.rules.shapes import Shape


@dataclass(frozen=True)
class RuleExample:
    """A solved grid; the ``shaded`` cells are what ``words`` speak of. Words may be empty."""

    geometry: Geometry
    clues: Values
    solution: Values
    shapes: tuple[Shape, ...]
    shaded: tuple[int, ...]
    words: str


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
    shaded, words = _a_way_in(kind, geometry, clues, parts)
    if not shapes and not shaded:
        shaded, words = _seen_in_addition(bare, geometry)
    return RuleExample(bare, clues, solution, shapes, shaded, words)


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


def _seen_in_addition(bare: Geometry, geometry: Geometry) -> tuple[tuple[int, ...], str]:
    """The cells that a cell sees by the rule alone, for the first cell that sees most of them."""
    more = [seen - plain for seen, plain in zip(geometry.peers, bare.peers, strict=True)]
    cell = max(range(len(more)), key=lambda k: len(more[k]))
    if not more[cell]:
        return (), ""
    name = cell_name(cell, bare.size)
    return tuple(sorted(more[cell])), f"In the example no shaded cell may hold the digit of {name}."


def _lowered(sentence: str) -> str:
    """A sentence after a colon: its first word small, but for X and V."""
    first, second = sentence[:1], sentence[1:2]
    return first.lower() + sentence[1:] if second.islower() else sentence
