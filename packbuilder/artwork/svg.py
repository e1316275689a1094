"""SVG: paths, plain shapes and groups, filled and stroked. Everything else is refused by name.

Read by the standard library's parser, which fetches nothing; entities are refused. The paths'
grammar (SVG 1.1, 8.3) is fontTools'.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from types import SimpleNamespace
from typing import Any
from xml.parsers import expat

from fontTools.misc.transform import Identity, Transform
from fontTools.pens.basePen import BasePen
from fontTools.svgLib.path.parser import parse_path
from fontTools.svgLib.path.shapes import PathBuilder
from PIL import ImageColor

from packbuilder.artwork.drawing import Faulty, Run, Shape, check_points

SPACE = "http://www.w3.org/2000/svg"
SHAPES = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon")
PASSED = ("title", "desc", "metadata", "defs")
"""Elements that draw nothing by themselves."""
INHERITED = {
    "fill": "black", "stroke": "none", "stroke-width": "1", "stroke-linecap": "butt",
    "stroke-linejoin": "miter", "fill-rule": "nonzero",
}  # fmt: skip
"""What a shape takes from the groups round it, as it is where nobody says it (SVG 1.1, 11)."""
UNPRINTED = {
    "opacity": "1", "fill-opacity": "1", "stroke-opacity": "1", "clip-path": "none",
    "mask": "none", "filter": "none", "stroke-dasharray": "none",
}  # fmt: skip
"""What is refused where it is not as it is by itself."""
DEEPEST, FAR = 40, 1e6
PIECES = 12
"""Straight pieces that a curve is drawn in."""

Look = Mapping[str, str]


def outlines(data: bytes) -> list[Shape]:
    """The shapes of the picture, y upwards. Raises Faulty where it holds what cannot be printed."""
    reading = _Reading()
    try:
        reading.parser.Parse(data, True)
    except expat.ExpatError as fault:
        raise Faulty(f"is no sound XML ({fault}); save it again as SVG") from None
    if not reading.begun:
        raise Faulty("has no <svg>; save it again as SVG")
    return reading.shapes


class _Reading:
    """One way through a file, from its first element to its last."""

    def __init__(self) -> None:
        self.shapes: list[Shape] = []
        self.begun = False
        self._looks: list[tuple[Look, Transform]] = [(INHERITED, Identity.scale(1, -1))]
        self._passed, self._points = 0, 0
        self.parser = parser = expat.ParserCreate(namespace_separator=" ")
        parser.StartElementHandler, parser.EndElementHandler = self._start, self._end
        parser.EntityDeclHandler = self._entity

    def _fault(self, told: str) -> Faulty:
        return Faulty(f"line {self.parser.CurrentLineNumber}: {told}")

    def _entity(self, name: str, *_: object) -> None:
        raise self._fault(f"declares the entity {name!r}; save it as plain SVG, without entities")

    def _start(self, name: str, said: dict[str, str]) -> None:
        space, _, tag = name.rpartition(" ")
        if not self.begun and (tag != "svg" or space not in (SPACE, "")):
            raise self._fault(f"begins with <{tag}>, not <svg>; save it again as SVG")
        self.begun = True
        if self._passed or space not in (SPACE, "") or tag in PASSED:
            self._passed += 1
            return
        if len(self._looks) > DEEPEST:
            raise self._fault(f"groups lie {DEEPEST} deep in one another; ungroup them")
        if tag not in (*SHAPES, "g", "svg"):
            raise self._fault(
                f"<{tag}> cannot be printed; turn it into paths, and save it as plain SVG"
            )
        outer, before = self._looks[-1]
        look = {**outer, **self._said(said)}
        place = before.transform(self._transform(said.get("transform", "")))
        self._looks.append((look, place))
        if tag in SHAPES:
            self._shape(tag, said, look, place)

    def _end(self, _name: str) -> None:
        if self._passed:
            self._passed -= 1
        else:
            self._looks.pop()

    def _said(self, said: Mapping[str, str]) -> dict[str, str]:
        """The look that an element asks for, by attributes and by its style, which goes first."""
        if "class" in said:
            raise self._fault("has a style sheet's `class`; save it as plain SVG, without one")
        style = (one.partition(":") for one in said.get("style", "").split(";"))
        asked = {**said, **{name.strip(): value.strip() for name, _, value in style}}
        for name, plain in UNPRINTED.items():
            if asked.get(name, plain) not in (plain, f"{plain}.0"):
                raise self._fault(
                    f"`{name}` cannot be printed; take it out, or turn what it makes into paths"
                )
        return {name: asked[name] for name in INHERITED if name in asked}

    def _shape(self, tag: str, said: Mapping[str, str], look: Look, place: Transform) -> None:
        fill, stroke = self._dark(look["fill"]), self._dark(look["stroke"])
        if fill is None and stroke is None:
            return
        pen = _Pen(place, self._points)
        try:
            builder = PathBuilder()
            builder.add_path_from_element(
                SimpleNamespace(tag=tag, attrib={k: v for k, v in said.items() if k != "transform"})
            )
            for path in builder.paths:
                parse_path(path, pen)
            width = float(re.sub("px$", "", look["stroke-width"])) * math.sqrt(
                abs(place[0] * place[3] - place[1] * place[2])
            )
        except Faulty as fault:
            raise self._fault(str(fault)) from None
        except (ArithmeticError, ValueError, TypeError, LookupError, AttributeError):
            raise self._fault(f"the numbers of this <{tag}> make no shape; draw it again") from None
        self._points = pen.points
        for closed in (True, False):  # all are filled, and those that are closed joined all round
            runs = tuple(run for run, whole in pen.runs if whole is closed or stroke is None)
            ends = look["stroke-linecap"] == "round", look["stroke-linejoin"] == "round"
            for some in _parted(runs, look["fill-rule"]):
                self.shapes.append(Shape(some, fill, stroke, width if stroke is not None else 0.0,
                                         closed or stroke is None, *ends))  # fmt: skip
            if stroke is None:
                break

    def _dark(self, paint: str) -> bool | None:
        """Whether a paint prints black or white; None for none."""
        if paint == "none":
            return None
        try:
            red, green, blue = ImageColor.getrgb("black" if paint == "currentColor" else paint)[:3]
        except ValueError:
            raise self._fault(f"`{paint[:40]}` is no plain colour; fill with black") from None
        return 0.299 * red + 0.587 * green + 0.114 * blue < 128

    def _transform(self, text: str) -> Transform:
        made, rest = Identity, text
        while found := re.match(r"[\s,]*(\w+)\s*\(([^()]*)\)", rest):
            rest = rest[found.end() :]
            try:
                numbers = [float(n) for n in re.split(r"[\s,]+", found[2].strip())]
                made = made.transform(_TRANSFORMS[found[1]](*numbers))
            except (ValueError, TypeError, KeyError):
                rest = "?"
        if rest.strip():
            raise self._fault(f"the transform `{text[:40]}` is none of SVG's; write it anew")
        return made


def _turn(angle: float, x: float = 0.0, y: float = 0.0) -> Transform:
    return Identity.translate(x, y).rotate(math.radians(angle)).translate(-x, -y)


_TRANSFORMS: dict[str, Callable[..., Any]] = {
    "matrix": lambda a, b, c, d, e, f: Transform(a, b, c, d, e, f),
    "translate": lambda x, y=0.0: Identity.translate(x, y),
    "scale": lambda x, y=None: Identity.scale(x, x if y is None else y),
    "rotate": _turn,
    "skewX": lambda a: Identity.skew(math.radians(a)),
    "skewY": lambda a: Identity.skew(0, math.radians(a)),
}


def _parted(runs: tuple[Run, ...], rule: str) -> list[tuple[Run, ...]]:
    """Runs that are filled together. Where winding counts, runs that turn one way are a union."""
    turns = {sum(a * d - b * c for (a, b), (c, d) in zip(run, run[1:] + run[:1], strict=True)) > 0
             for run in runs}  # fmt: skip
    if rule != "evenodd" and len(turns) == 1:
        return [(run,) for run in runs]
    return [runs] if runs else []


class _Pen(BasePen):  # type: ignore[misc]
    """Takes a path down as runs of straight pieces, each with whether it was closed."""

    def __init__(self, place: Transform, points: int) -> None:
        super().__init__(None)
        self.runs: list[tuple[Run, bool]] = []
        self.points = points
        self._place, self._run = place, list[tuple[float, float]]()

    def _add(self, point: tuple[float, float]) -> None:
        x, y = self._place.transformPoint(point)
        if not (abs(x) < FAR and abs(y) < FAR):
            raise Faulty(f"a point lies {FAR:g} or more from the middle; draw it smaller")
        self.points += 1
        check_points(self.points)
        self._run.append((x, y))

    def _moveTo(self, pt: tuple[float, float]) -> None:  # noqa: N802
        self._run = []
        self._add(pt)

    def _lineTo(self, pt: tuple[float, float]) -> None:  # noqa: N802
        self._add(pt)

    def _curveToOne(self, a: Any, b: Any, c: Any) -> None:  # noqa: N802
        start = self._getCurrentPoint()
        for k in range(1, PIECES + 1):
            t = k / PIECES
            weights = ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3)
            x, y = (sum(w * p[i] for w, p in zip(weights, (start, a, b, c), strict=True))
                    for i in (0, 1))  # fmt: skip
            self._add((x, y))

    def _closePath(self) -> None:  # noqa: N802
        self._end(closed=True)

    def _endPath(self) -> None:  # noqa: N802
        self._end(closed=False)

    def _end(self, *, closed: bool) -> None:
        if len(self._run) > 1:
            self.runs.append((tuple(self._run), closed))
        self._run = []
