"""Drawing: outlines to fill and to stroke, and the way to them from the bytes of a file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from packbuilder.errors import InputError

Point = tuple[float, float]
Run = tuple[Point, ...]

MOST_BYTES = 4_000_000
"""The largest file that is read."""
MOST_POINTS = 40_000
"""Points of all outlines together: more is no drawing, but a photograph or noise."""
ENDING = {"png": b"\x89PNG\r\n\x1a\n", "svg": b""}
"""The kinds of pictures by the endings of their names, each with the bytes that it begins with."""


@dataclass(frozen=True)
class Shape:
    """Runs of straight pieces, filled together (even-odd, if there are several), stroked, or both.

    ``fill`` and ``stroke`` are True for black, False for white, None for neither; ``width`` is the
    stroke's.
    """

    runs: tuple[Run, ...]
    fill: bool | None = None
    stroke: bool | None = None
    width: float = 0.0
    closed: bool = True
    round_ends: bool = False
    round_joints: bool = False


@dataclass(frozen=True)
class Drawing:
    """Shapes in the order of painting, y upwards, in a box of ``width`` and ``height``.

    The longer side is 1.
    """

    width: float
    height: float
    shapes: tuple[Shape, ...]


class Faulty(Exception):
    """What is wrong with a picture, with its measure and how to mend it."""


@lru_cache(maxsize=8)  # a pack's picture is asked for by every edition
def read_drawing(data: bytes, name: str) -> Drawing:
    """The picture in a file's bytes; ``name`` tells what kind it is.

    Raises InputError where it cannot be printed, beginning with the name.
    """
    kind = name.rpartition(".")[2].lower()
    try:
        if kind not in ENDING:
            raise Faulty("is neither a .png nor an .svg; save the picture as one of these")
        if not data.startswith(ENDING[kind]):
            raise Faulty(f"is called .{kind} and is none; save it again as {kind.upper()}")
        if kind == "png":
            from packbuilder.artwork import png  # late: it loads numpy

            return fitted(png.outlines(data))
        from packbuilder.artwork import svg

        return fitted(svg.outlines(data))
    except Faulty as fault:
        raise InputError(f"{name}: {fault}") from None


def check_points(count: int) -> None:
    """Raise Faulty where outlines have more points than there is room for."""
    if count > MOST_POINTS:
        raise Faulty(
            f"has outlines of more than {MOST_POINTS} points, which is no drawing but a photograph "
            "or noise; give a drawing in plain black and white, without specks"
        )


def fitted(shapes: Iterable[Shape]) -> Drawing:
    """Shapes moved and scaled into their box, without white on which nothing lies.

    Raises Faulty where nothing is left.
    """
    found = list(shapes)
    while found and found[0].fill is not True and not found[0].stroke:
        del found[0]
    points = [(x, y, s.width / 2) for s in found for run in s.runs for x, y in run]
    check_points(len(points))
    left, bottom = (min((p[k] - p[2] for p in points), default=0.0) for k in (0, 1))
    right, top = (max((p[k] + p[2] for p in points), default=0.0) for k in (0, 1))
    side = max(right - left, top - bottom)
    if not side or min(right - left, top - bottom) < 0.05 * side:
        raise Faulty(
            f"nothing in it is dark and has a breadth and a height (it is {right - left:g} by "
            f"{top - bottom:g}); draw in black, or close to it"
        )

    def placed(shape: Shape) -> Shape:
        runs = tuple(tuple(((x - left) / side, (y - bottom) / side) for x, y in run)
                     for run in shape.runs)  # fmt: skip
        return replace(shape, runs=runs, width=shape.width / side)

    return Drawing((right - left) / side, (top - bottom) / side, tuple(map(placed, found)))
