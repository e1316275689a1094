"""The key of signs at the head of hints: each sign that their grids have, and no other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from packbuilder.grid import SYMBOLS, Geometry
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.links import Links
from packbuilder.pages.blocks import Block
from packbuilder.pages.candidates import CANDIDATE
from packbuilder.pages.evidence_marks import closed, closing, cross, dots, reaches, ring
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import CLUE
from packbuilder.pages.hint_grids import Signs, outlines, signs_of
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.rails import lettered, rails, tiles
from packbuilder.plan.items import Figure, Glyphs, Item, Tag, Text
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import width

_CELL = 1.9  # of a label's type size: the cells of the signs
_DIGIT = 9
_NONE = Links()


class Sign(NamedTuple):
    """A sign: how it looks to a screen reader and what it means, and how it is drawn.

    ``cells`` is how many it takes side by side.
    """

    look: str
    means: str
    draw: Callable[[GridPlace], list[Item]]
    cells: int = 1


def key(sheet: PageDesign, used: Sequence[Sign], measure: float) -> Block:
    """The signs in a line, or in as many as they need, each with what it means."""
    size, face = sheet.type.label, sheet.faces.label
    cell, gap, between = _CELL * size, 0.4 * size, 1.1 * size
    rows: list[list[tuple[float, Sign]]] = []
    x = measure + 1
    for sign in used:
        wide = sign.cells * cell + gap + width(sign.means, face, size)
        if x + wide > measure:
            rows.append([])
            x = 0.0
        rows[-1].append((x, sign))
        x += wide + between
    leading = cell * 1.18

    def draw(left: float, top: float) -> list[Item]:
        items: list[Item] = []
        for k, row in enumerate(rows):
            for x, sign in row:
                place = GridPlace(left + x, top - k * leading, cell, max(2, sign.cells))
                y = top - k * leading - cell / 2 - FIGURE_HEIGHT * size / 2
                items.append(Figure(Tag("Figure", alt=sign.look), tuple(sign.draw(place))))
                told = left + x + sign.cells * cell + gap
                items.append(Text(told, y, sign.means, face, size, tag=Tag("P")))
        return items

    return Block(len(rows) * leading, draw)


def signs(hints: Sequence[tuple[Hint, Geometry]]) -> tuple[Sign, ...]:
    """The signs that the grids of some hints have, in the order in which they are explained."""
    found = {name for hint, geometry in hints for name in _in(hint, geometry)}
    return tuple(sign for name, sign in _SIGNS.items() if name in found)


def _in(hint: Hint, geometry: Geometry) -> Iterator[str]:
    """The names of the signs in the grid of a hint."""
    own = signs_of(hint, geometry)
    yield from (
        name
        for name, has in {
            "ring": closing(hint),
            "reach": any(reaches(hint)) or own.links.reach,
            "cross": closed(hint),
            "tile": own.tiles,
            "held": own.held,
            "frame": own.frames,
            "rails": own.links.strong,
            "weak": own.links.weak,
            "letters": hint.letters,
        }.items()
        if has
    )


def _digit(place: GridPlace, share: float, face: str, cell: int = 0) -> Item:
    size, letter = share * place.cell, SYMBOLS[_DIGIT]
    x, y = place.middle(cell)
    left = x - width(letter, face, size) / 2
    return Glyphs(face, size, ((left, y - FIGURE_HEIGHT * size / 2, letter),))


def _ring(place: GridPlace) -> list[Item]:
    return [ring(place, 0), _digit(place, 0.56, CLUE)]


def _reach(place: GridPlace) -> list[Item]:
    (left, y), (right, _) = place.at(0, 0.5), place.at(2, 0.5)
    return [dots(place, ((left, y), (right, y)))]


def _outlined(place: GridPlace, **some: tuple[int, ...]) -> list[Item]:
    frames, held, boxes = (some.get(name, ()) for name in ("frames", "held", "boxes"))
    return outlines(place, Signs((), frames, held, boxes, _NONE))


def _tile(place: GridPlace) -> list[Item]:
    written = ((0, _DIGIT),)
    own = Signs(written, (), (), (), _NONE)
    return [*outlines(place, own), *tiles(place, written, 0.74 * place.cell)]


def _frame(place: GridPlace) -> list[Item]:
    digit = _digit(place, 0.54, CANDIDATE)
    x, y = place.at(0.71, 0.36)
    return [*_outlined(place, frames=(0,)), digit, cross(place, [(x, y)], 0.07)]


def _two(place: GridPlace) -> list[Item]:
    ones = [_digit(place, 0.54, CANDIDATE, cell) for cell in (0, 2)]
    return [*_outlined(place, boxes=(0, 2)), *ones]


_SIGNS = {
    "ring": Sign("A ringed digit", "closes", _ring),
    "reach": Sign("A row of dots", "its reach", _reach, 2),
    "cross": Sign("A cross of two strokes", "closed to it",
                  lambda place: [cross(place, [place.middle(0)], 0.125)]),
    "tile": Sign("A white digit on black", "write it", _tile),
    "held": Sign("A round outline", "the step rests on it",
                 lambda place: _outlined(place, held=(0,))),
    "frame": Sign("A heavy frame", "loses what has a cross", _frame),
    "rails": Sign("Two boxes joined by two lines", "one of the two, no third",
                  lambda place: [*_two(place), *rails(place, ((0, 2),), (), ())], 3),
    "weak": Sign("Two boxes joined by dots", "not both",
                 lambda place: [*_two(place),
                                dots(place, (place.at(0.92, 0.5), place.at(2.08, 0.5)))], 3),
    "letters": Sign("White letters on black", "so called in the words",
                    lambda place: lettered(place, ((0, "A"), (1, "B")), at=(0.5, 0.5)), 2),
}  # fmt: skip
"""Each sign by its name."""
