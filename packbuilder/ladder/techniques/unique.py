"""Deductions that take the puzzle to have one solution. They stand apart, off unless asked for.

A *rectangle* is four cells, two and two in two rows and in two columns, in which two digits could
change places without any house noticing. If the four held nothing but those two, there would be a
second solution: so one of them holds something else.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

from packbuilder.grid import Geometry
from packbuilder.ladder.bit_layout import BitLayout, cells_in, mask_of
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digit, digits, labels, out_of
from packbuilder.ladder.find import Find, keys_of
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques.strong_links import digits_left, seen_by_all


class _Case(NamedTuple):
    """A rectangle and a pair that stands in all its cells: ``floor`` cells hold nothing else."""

    floor: tuple[int, ...]
    roof: tuple[int, ...]
    pair: tuple[int, int]
    extra: int
    """The roof's other digits, as a mask."""


def rectangle_1(board: Board) -> Iterator[Find]:
    """Three cells hold the pair alone: the fourth holds neither digit."""
    for case in board.once(_cases):
        if len(case.floor) == 3:
            mask = mask_of(case.roof)
            removes = keys_of(mask, case.pair, board.planes(), board.fields.size)
            yield Find(case.floor + case.roof, case.pair, (), removes)


def rectangle_2(board: Board) -> Iterator[Find]:
    """The other two cells have one digit more, the same: one of them holds it."""
    size = board.fields.size
    for case in board.once(_cases):
        if len(case.floor) != 2 or case.extra.bit_count() != 1:
            continue
        if all(board.digits_of(cell).bit_count() == 3 for cell in case.roof):
            z = case.extra.bit_length()
            if removes := keys_of(seen_by_all(board, case.roof), (z,), board.planes(), size):
                yield Find(case.floor + case.roof, (*case.pair, z), (), removes)


def rectangle_3(board: Board) -> Iterator[Find]:
    """The roof's other digits make a naked set with one or two cells of a house of both."""
    fields, planes = board.fields, board.planes()
    for case in board.once(_cases):
        for house in _common(fields, case.roof) if len(case.floor) == 2 else ():
            inside = fields.house_masks[house] & board.open & ~mask_of(case.roof)
            others = [(cell, board.digits_of(cell)) for cell in cells_in(inside)]
            for n in (1, 2):
                for group in combinations(others, n):
                    union = case.extra
                    for _, mask in group:
                        union |= mask
                    if union.bit_count() != n + 1:
                        continue
                    chosen = tuple(cell for cell, _ in group)
                    clear = inside & ~mask_of(chosen)
                    ds = tuple(d + 1 for d in cells_in(union))
                    if removes := keys_of(clear, ds, planes, fields.size):
                        where = case.floor + case.roof + chosen
                        yield Find(where, case.pair + ds, (house,), removes)


def rectangle_4(board: Board) -> Iterator[Find]:
    """A house of both roof cells needs one digit of the pair there: neither holds the other."""
    fields, planes = board.fields, board.planes()
    for case in board.once(_cases):
        for house in _common(fields, case.roof) if len(case.floor) == 2 else ():
            if house not in fields.house_bits:
                continue
            roof = mask_of(case.roof)
            for kept, gone in (case.pair, case.pair[::-1]):
                if planes[kept] & fields.house_masks[house] == roof:
                    removes = keys_of(roof, (gone,), planes, fields.size)
                    yield Find(case.floor + case.roof, (kept, gone), (house,), removes)


def grave(board: Board) -> Iterator[Find]:
    """Two candidates in every cell but one, two places for each in every house but that cell's."""
    fields, planes = board.fields, board.planes()
    three = digits_left(board, 3)
    if len(three) != 1 or len(digits_left(board, 2)) != board.open.bit_count() - 1:
        return
    ((cell, mask),) = three.items()
    for z in (d + 1 for d in cells_in(mask)):
        rest = [plane & ~(1 << cell) if d == z else plane for d, plane in enumerate(planes)]
        if all((plane & h).bit_count() in (0, 2) for plane in rest for h in fields.house_masks):
            others = [d + 1 for d in cells_in(mask) if d + 1 != z]
            yield Find((cell,), (z,), (), keys_of(1 << cell, others, planes, fields.size))


def _cases(board: Board) -> list[_Case]:
    found = []
    for corners in _rectangles(board.fields):
        masks = [board.digits_of(cell) for cell in corners]
        shared = masks[0] & masks[1] & masks[2] & masks[3]
        for one, other in combinations(cells_in(shared), 2):
            pair = 1 << one | 1 << other
            floor = tuple(c for c, mask in zip(corners, masks, strict=True) if mask == pair)
            if len(floor) in (2, 3):
                roof = tuple(c for c in corners if c not in floor)
                extra = 0
                for mask in masks:
                    extra |= mask & ~pair
                found.append(_Case(floor, roof, (one + 1, other + 1), extra))
    return found


@lru_cache(maxsize=64)
def _rectangles(fields: BitLayout) -> tuple[tuple[int, ...], ...]:
    """Every rectangle: a house with a cell of one diagonal has one of the other, and no more.

    In such cells two digits may change places.
    """
    size, found = fields.size, []
    for r, q in combinations(range(size), 2):
        for c, k in combinations(range(size), 2):
            corners = (r * size + c, r * size + k, q * size + c, q * size + k)
            one, other = 1 << corners[0] | 1 << corners[3], 1 << corners[1] | 1 << corners[2]
            if all(
                (mask & one).bit_count() == (mask & other).bit_count() <= 1
                for mask in fields.house_masks
            ):
                found.append(corners)
    return tuple(found)


def _common(fields: BitLayout, group: tuple[int, ...]) -> list[int]:
    mask = mask_of(group)
    return [h for h, house in enumerate(fields.house_masks) if not mask & ~house]


def tell_rectangle(step: Step, geometry: Geometry) -> str:
    """The words of a unique rectangle of any type."""
    size = geometry.size
    four, (x, y) = step.cells[:4], map(digit, sorted(step.digits[:2]))
    head = (
        f"If {cells(sorted(four), size)} held {x} and {y} alone, the two could change places and "
        "the puzzle would have two solutions. "
    )
    kind = step.technique[-1]
    roof = step.cells[2:4]
    if kind == "1":
        return f"{head}So {cells(step.cells[3:4], size)} is neither. {out_of(step, size)}"
    if kind == "2":
        z = digit(step.digits[2])
        return f"{head}So {cells(roof, size, 'or')} is {z}. {out_of(step, size)}"
    where = labels(step.houses, geometry)
    if kind == "3":
        ds, more = digits(step.digits[2:]), cells(step.cells[4:], size)
        return (
            f"{head}So one of {cells(roof, size)} holds another digit, and with {more} takes up "
            f"{ds} in {where}. {out_of(step, size)}"
        )
    kept, gone = map(digit, step.digits)
    return (
        f"{head}In {where}, one of {cells(roof, size)} is {kept}; so neither is {gone}. "
        f"{out_of(step, size)}"
    )


def tell_grave(step: Step, geometry: Geometry) -> str:
    """The words of a bivalue universal grave."""
    size, z = geometry.size, digit(step.digits[0])
    cell = cells(step.cells, size)
    return (
        f"Without the {z} in {cell}, each open cell would have two candidates and each digit two "
        f"places in each house, and the puzzle two solutions. So {cell} is {z}. "
        f"{out_of(step, size)}"
    )
