"""The tests' press with the shapes of rules, to the letter of the house style, and no better.

``shapes`` may change what is drawn, ``say`` how it is said in PDF operators, ``named`` and
``title`` the names of rules in print.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import atan2, cos, hypot, radians, sin

from PIL import ImageFont

from packbuilder.book.book import Entry
from packbuilder.rules import kinds
from packbuilder.rules.shapes import (
    Box,
    Corner,
    Diagonal,
    Edge,
    Fence,
    Outside,
    Patch,
    Path,
    Ring,
    Shape,
)
from packbuilder.typography.fonts import font_file
from tests.readback.tiny_press import LEFT, TOP, Place, Press

Point = tuple[float, float]
REGULAR, SEMIBOLD = "SourceSansPro-Regular", "SourceSansPro-Semibold"


class RulePress(Press):
    """Prints a book whose puzzles have rules."""

    # --- what a test may change ---

    def shapes(self, section: str, entry: Entry, shapes: list[Shape]) -> list[Shape]:
        """The shapes of a grid, in the order of painting."""
        return shapes

    def say(self, place: Place, shape: Shape, operators: list[str]) -> list[str]:
        """The operators that draw a shape; one text for each path."""
        return operators

    def write(self, place: Place, shape: Shape, text: str) -> str:
        """The text that a shape carries."""
        return text

    def named(self, entry: Entry, names: list[str]) -> list[str]:
        """The names of rules beside a puzzle."""
        return names

    def title(self, title: str) -> str:
        """The title of a rule on the how-to-play page."""
        return title

    # --- pages ---

    def place_for(self, section: str, k: int) -> tuple[float, float, float]:
        if section == "Puzzles":
            return LEFT + 40, TOP - 60, 360
        if section == "Third hints" and not self.large:
            return LEFT + 30 + 260 * (k % 2), TOP - 30 - 340 * (k // 2), 170
        return super().place_for(section, k)

    def bands(self, section: str, entry: Entry, side: float) -> tuple[float, float]:
        outside = [s for s in self.due(section, entry) if isinstance(s, Outside)]
        room = 0.9 * side / entry.puzzle.size
        high = any(s.side == "top" or s.index < 0 for s in outside)
        low = any(s.side == "bottom" or s.index >= entry.puzzle.size for s in outside)
        return room * high, room * low

    def lattice(self, entry: Entry) -> tuple[float, float]:
        cornered = any(isinstance(s, Corner) for s in self.due("Puzzles", entry))
        return (0.31, 0.93) if cornered else (0.0, 1.0)

    def beside(self, entry: Entry, x: float) -> None:
        names = self.named(entry, [kinds()[slug].title for slug in entry.puzzle.rule_names])
        lines = [names[k : k + 4] for k in range(0, len(names), 4)]
        for k, line in enumerate(lines):
            more = "," if k + 1 < len(lines) else ""
            self.text(x, 150 - 12 * k, "Rules: " * (k == 0) + ", ".join(line) + more, 10)

    def taught(self) -> None:
        used = dict.fromkeys(slug for e in self.book.entries for slug in e.puzzle.rule_names)
        for k, slug in enumerate(used):
            self.text(LEFT, TOP - 60 - 14 * k, self.title(kinds()[slug].title), 11)

    # --- shapes ---

    @staticmethod
    def due(section: str, entry: Entry) -> list[Shape]:
        """The shapes that a grid has: answers have none that is text."""
        found = dict.fromkeys(s for part in entry.puzzle.rules for s in part.shapes())
        return [s for s in found if section != "Answers" or not isinstance(s, Corner | Outside)]

    def under(self, place: Place) -> None:
        order = (Patch, Box, Ring, Diagonal, Path)
        some = [s for s in self.all_shapes(place) if isinstance(s, order)]
        bulbs = {s.cell for s in some if isinstance(s, Ring) and s.solid}
        rings = frozenset(s.cell for s in some if isinstance(s, Ring) and not s.solid)
        ends = {c for s in some if isinstance(s, Path) and s.style == "broad"
                for c in (s.cells[0], s.cells[-1])}  # fmt: skip
        for shape in sorted(some, key=lambda s: order.index(type(s))):
            if isinstance(shape, Path):
                pen = Pen(place)
                first, *second = pen.path(shape, rings)
                mine = [Ring(c, solid=True) for c in (shape.cells[0], shape.cells[-1])
                        if c in bulbs and shape.style == "broad"]  # fmt: skip
                self.put(place, shape, [first], [])
                for bulb in mine:
                    self.put(place, bulb, pen.ring(bulb), [])
                self.put(place, shape, second, [])
            elif isinstance(shape, Ring) and shape.solid and shape.cell in ends:
                continue  # painted between the two strokes of its line
            else:
                self.put(place, shape, Pen(place).closed(shape), [])

    def over(self, place: Place) -> None:
        order = (Fence, Edge, Corner, Outside)
        some = [s for s in self.all_shapes(place) if isinstance(s, order)]
        for shape in sorted(some, key=lambda s: order.index(type(s))):
            pen = Pen(place)
            match shape:
                case Fence():
                    self.put(place, shape, pen.fence(shape), [])
                case Edge():
                    letter = [(shape.mark, *pen.edge(shape), max(0.32 * pen.u, 5.0), SEMIBOLD)]
                    self.put(place, shape, pen.mark(shape), letter * (shape.mark in "XV"))
                case Corner(cell, text):
                    self.corner(place, shape, cell, text)
                case Outside():
                    x, y, size, arrow = pen.outside(shape)
                    self.put(place, shape, arrow, [(shape.text, x, y, size, SEMIBOLD)])

    def all_shapes(self, place: Place) -> list[Shape]:
        return self.shapes(place.section, place.entry, self.due(place.section, place.entry))

    def put(
        self,
        place: Place,
        shape: Shape,
        operators: list[str],
        texts: Iterable[tuple[str, float, float, float, str]],
    ) -> None:
        for path in self.say(place, shape, operators):
            self.c._code.append(f"q {path} Q")
        for text, x, y, size, face in texts:
            self.centred(self.write(place, shape, text), x, y, size, face)

    def centred(self, text: str, x: float, y: float, size: float, face: str) -> None:
        """Text with the middle of its ink at a point."""
        if text:
            x0, y0, x1, y1 = ink(text, face)
            self.text(x - (x0 + x1) / 2 * size, y - (y0 + y1) / 2 * size, text, size, face)

    def corner(self, place: Place, shape: Shape, cell: int, text: str) -> None:
        n, u = place.entry.puzzle.size, place.pitch
        size, text = max(0.25 * u, 5.0), self.write(place, shape, text)
        if text:
            x = place.left + (cell % n + 0.14) * u - ink(text, REGULAR)[0] * size
            y = place.top - (cell // n + 0.13) * u - ink(text, REGULAR)[3] * size
            self.text(x, y, text, size, REGULAR)


def ink(text: str, face: str) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of a text's ink, in type sizes from its origin."""
    font = ImageFont.truetype(str(font_file(face)), 1000, layout_engine=ImageFont.Layout.BASIC)
    left, top, right, bottom = font.getbbox(text, anchor="ls")
    return left / 1000, -bottom / 1000, right / 1000, -top / 1000


class Pen:
    """Says shapes in PDF operators, for one grid."""

    def __init__(self, place: Place) -> None:
        self.place = place
        self.u = place.pitch
        self.n = place.entry.puzzle.size
        self.line = 0.74 if place.section == "Answers" else 0.55

    def s(self, share: float, least: float, most: float) -> float:
        return min(max(share * self.u, least), most)

    @property
    def rim(self) -> float:
        return self.s(0.035, 0.5, 1.2)

    def at(self, x: float, y: float) -> str:
        """A point in cells, as the page has it."""
        return f"{self.place.left + x * self.u:.2f} {self.place.top - y * self.u:.2f}"

    def middle(self, cell: int) -> Point:
        return cell % self.n + 0.5, cell // self.n + 0.5

    def closed(self, shape: Shape) -> list[str]:
        match shape:
            case Patch(cells):
                runs = [self.run(points) + " h" for points in rims(cells, self.n, 0.06)]
                inks = f"{self.line} G 0.86 g {self.rim:.3f} w"
                return [f"{inks} {' '.join(runs)} B*"]
            case Box(cell, solid):
                x, y = self.middle(cell)
                side = 0.74 * self.u
                box = f"{self.at(x - 0.37, y + 0.37)} {side:.3f} {side:.3f} re"
                inks = f"{self.line} G 0.86 g {self.rim if solid else self.s(0.06, 0.8, 2.2):.3f} w"
                return [f"{inks} {box} {'B' if solid else 'S'}"]
            case Ring():
                return self.ring(shape)
            case Diagonal(slope):
                ends = [(0.0, 0.0), (float(self.n), float(self.n))]
                if slope == "up":
                    ends = [(0.0, float(self.n)), (float(self.n), 0.0)]
                return [f"{self.line} G {self.s(0.05, 0.7, 1.8):.3f} w {self.run(ends)} S"]
        raise AssertionError(shape)

    def ring(self, ring: Ring) -> list[str]:
        radius, width = (0.36, self.rim) if ring.solid else (0.38, self.s(0.06, 0.8, 2.2))
        inks = f"{self.line} G 0.86 g {width:.3f} w"
        return [
            f"{inks} {self.circle(*self.middle(ring.cell), radius)} {'B' if ring.solid else 'S'}"
        ]

    def circle(self, x: float, y: float, r: float) -> str:
        k = 0.5523 * r
        curves = [
            ((x + r, y + k), (x + k, y + r), (x, y + r)),
            ((x - k, y + r), (x - r, y + k), (x - r, y)),
            ((x - r, y - k), (x - k, y - r), (x, y - r)),
            ((x + k, y - r), (x + r, y - k), (x + r, y)),
        ]
        said = [" ".join(self.at(*p) for p in curve) + " c" for curve in curves]
        return f"{self.at(x + r, y)} m {' '.join(said)} h"

    def run(self, points: Sequence[Point]) -> str:
        first, *rest = points
        return " ".join([f"{self.at(*first)} m", *(f"{self.at(*p)} l" for p in rest)])

    def path(self, path: Path, rings: frozenset[int]) -> list[str]:
        points = [self.middle(c) for c in path.cells]
        if path.cells[0] in rings:
            points[0] = towards(points[0], points[1], 0.38)
        if path.head:
            points[-1] = towards(points[-1], points[-2], -0.2)
        elif path.cells[-1] in rings:
            points[-1] = towards(points[-1], points[-2], 0.38)
        run, u, line = self.run(points), self.u, f"{self.line} G"
        match path.style:
            case "broad":
                inner = 0.42 * u - 2 * self.rim
                ends = "1 J 1 j"
                return [f"{line} {ends} {0.42 * u:.3f} w {run} S",
                        f"0.86 G {ends} {inner:.3f} w {run} S"]  # fmt: skip
            case "double":
                inner = 0.22 * u - 2 * self.s(0.05, 0.7, 1.8)
                return [f"{line} 0 J 1 j {0.22 * u:.3f} w {run} S",
                        f"1 G 0 J 1 j {inner:.3f} w {run} S"]  # fmt: skip
            case "dashed":
                dash = f"0 J [{0.2 * u:.3f} {0.12 * u:.3f}] 0 d"
                return [f"{line} {dash} {self.s(0.1, 1.3, 3.4):.3f} w {run} S"]
            case "dotted":
                long = sum(hypot(a - c, b - d) for (a, b), (c, d) in pairwise(points))
                between = long / max(round(long / 0.25), 1) - 0.01
                dash = f"1 J [{0.01 * u:.3f} {between * u:.4f}] {0.005 * u:.4f} d"
                return [f"{line} {dash} {self.s(0.15, 2.0, 5.0):.3f} w {run} S"]
        head = self.run(arms(points[-2], points[-1])) if path.head else ""
        return [f"{line} 1 J 1 j {self.s(0.07, 0.9, 2.6):.3f} w {run} {head} S"]

    def fence(self, fence: Fence) -> list[str]:
        runs = [self.run(points) + " h" for points in rims(fence.cells, self.n, 0.1)]
        dash = f"0 J [{0.12 * self.u:.3f} {0.08 * self.u:.3f}] {0.06 * self.u:.3f} d"
        return [f"0 G {self.s(0.025, 0.4, 0.9):.3f} w {dash} {' '.join(runs)} S"]

    def edge(self, edge: Edge) -> Point:
        """The middle of an edge on the page."""
        x, y = self.edge_cells(edge)
        return self.place.left + x * self.u, self.place.top - y * self.u

    def edge_cells(self, edge: Edge) -> Point:
        (ax, ay), (bx, by) = (self.middle(c) for c in edge.cells)
        return (ax + bx) / 2, (ay + by) / 2

    def mark(self, edge: Edge) -> list[str]:
        x, y = self.edge_cells(edge)
        if edge.mark in ("white", "black"):
            circle = self.circle(x, y, 0.13)
            return [
                f"0 G 1 g {self.rim:.3f} w {circle} B"
                if edge.mark == "white"
                else f"0 g {circle} f"
            ]
        ground = f"1 g {self.circle(x, y, 0.16)} f"
        if edge.mark in "XV":
            return [ground]
        way = -1 if edge.mark == "<" else 1  # the point looks to the smaller cell
        points = [(-way * 0.09, -0.12), (way * 0.09, 0.0), (-way * 0.09, 0.12)]
        if edge.cells[1] - edge.cells[0] > 1:
            points = [(b, a) for a, b in points]
        sign = self.run([(x + a, y + b) for a, b in points])
        return [ground, f"0 G 0 J {self.s(0.05, 0.7, 1.8):.3f} w {sign} S"]

    def outside(self, clue: Outside) -> tuple[float, float, float, list[str]]:
        """The middle of a clue's text on the page, its size, and its arrow."""
        n, k = self.n, clue.index + 0.5

        def spot(out: float, off: float) -> Point:
            return {"top": (k + off, -out), "bottom": (k + off, n + out),
                    "left": (-out, k + off), "right": (n + out, k + off)}[clue.side]  # fmt: skip

        if clue.towards is None:
            (x, y), size, arrow = spot(0.45, 0), max(0.46 * self.u, 9.0), []
        else:
            on = {"top": "right", "bottom": "right"}.get(clue.side, "down")
            way = 1 if on in clue.towards.split("-") else -1
            (x, y), size = spot(0.6, way * 0.25), max(0.34 * self.u, 8.0)
            shaft = [spot(0.32, way * 0.21), spot(0.11, way * 0.42)]
            head = arms(shaft[0], shaft[1], 0.12)
            arrow = [f"0 G {self.rim:.3f} w {self.run(shaft)} {self.run(head)} S"]
        return self.place.left + x * self.u, self.place.top - y * self.u, size, arrow


def towards(a: Point, b: Point, length: float) -> Point:
    """The point so far from a on the way to b."""
    whole = hypot(b[0] - a[0], b[1] - a[1])
    return a[0] + (b[0] - a[0]) / whole * length, a[1] + (b[1] - a[1]) / whole * length


def arms(start: Point, tip: Point, length: float = 0.22) -> list[Point]:
    """The head of an arrow: two arms 35 degrees off the shaft."""
    back = atan2(start[1] - tip[1], start[0] - tip[0])
    one, other = (
        (tip[0] + length * cos(back + turn), tip[1] + length * sin(back + turn))
        for turn in (radians(-35), radians(35))
    )
    return [one, tip, other]


def rims(cells: Iterable[int], n: int, inset: float) -> list[list[Point]]:
    """The outlines of cells, each a closed run, all sides an inset inside the cells' border."""
    held = {divmod(c, n) for c in cells}
    sides: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for r, c in held:  # the cell is on the right hand of each of its sides
        for (dr, dc), start, end in (((-1, 0), (r, c), (r, c + 1)),
                                     ((0, 1), (r, c + 1), (r + 1, c + 1)),
                                     ((1, 0), (r + 1, c + 1), (r + 1, c)),
                                     ((0, -1), (r + 1, c), (r, c))):  # fmt: skip
            if (r + dr, c + dc) not in held:
                sides.setdefault(start, []).append(end)
    found = []
    while sides:
        start = at = min(sides)  # no cell lies above it, so cells do not touch there by a corner
        way = (0, 0)
        ways: list[tuple[tuple[int, int], tuple[int, int]]] = []
        while not ways or at != start:
            end = sides[at].pop(sides[at].index(_rightmost(at, way, sides[at])))
            if not sides[at]:
                del sides[at]
            way = (end[0] - at[0], end[1] - at[1])
            ways.append((at, way))
            at = end
        found.append(
            [
                (c - inset * (before[0] + after[0]), r + inset * (before[1] + after[1]))
                for (_, before), ((r, c), after) in zip([ways[-1], *ways], ways, strict=False)
                if before != after
            ]
        )
    return found


def _rightmost(
    at: tuple[int, int], way: tuple[int, int], ends: list[tuple[int, int]]
) -> tuple[int, int]:
    """The end to go on to: where two cells touch by a corner, round the same cell."""
    return max(ends, key=lambda e: way[1] * (e[0] - at[0]) - way[0] * (e[1] - at[1]))
