"""A plan as SVG: for charts, which are text and filled boxes, and strokes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from xml.sax.saxutils import escape

from packbuilder.plan.items import Figure, Fills, Item, Plan, Strokes, Text


def svg(plan: Plan) -> str:
    """The pages below one another. Raises ValueError for an item that no chart has."""
    high = plan.height * len(plan.pages)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(plan.width)}pt" height="{_n(high)}pt" '
        f'viewBox="0 0 {_n(plan.width)} {_n(high)}">',
        f"<title>{escape(plan.title)}</title>",
        f'<rect width="{_n(plan.width)}" height="{_n(high)}" fill="#fff"/>',
    ]
    for k, page in enumerate(plan.pages):
        foot = plan.height * (k + 1)
        lines += _drawn(page.items, foot, plan)
    return "\n".join([*lines, "</svg>"]) + "\n"


def _drawn(items: Iterable[Item], foot: float, plan: Plan) -> Iterator[str]:
    for item in items:
        if isinstance(item, Figure):
            yield f"<g><title>{escape(item.tag.alt)}</title>"
            yield from _drawn(item.items, foot, plan)
            yield "</g>"
        elif isinstance(item, Text):
            yield (
                f'<text x="{_n(item.x)}" y="{_n(foot - item.y)}" font-size="{_n(item.size)}" '
                f'{_face(item.face)} fill="{_grey(plan.inks[item.ink])}">{escape(item.text)}</text>'
            )
        elif isinstance(item, Fills):
            for x0, y0, x1, y1 in item.boxes:
                yield (
                    f'<rect x="{_n(x0)}" y="{_n(foot - y1)}" width="{_n(x1 - x0)}" '
                    f'height="{_n(y1 - y0)}" fill="{_grey(plan.inks[item.ink])}"/>'
                )
        elif isinstance(item, Strokes):
            for x0, y0, x1, y1 in item.segments:
                yield (
                    f'<path d="M{_n(x0)} {_n(foot - y0)}L{_n(x1)} {_n(foot - y1)}" '
                    f'stroke="{_grey(plan.inks[item.ink])}" stroke-width="{_n(item.width)}"/>'
                )


def _face(face: str) -> str:
    """A face of the house by its family, weight and style, with a common one in its place."""
    family, _, style = face.partition("-")
    name = "Source Sans Pro, sans-serif" if "Sans" in family else "Source Serif Pro, serif"
    weight = ' font-weight="600"' if "Semi" in style or "Bold" in style else ""
    slant = ' font-style="italic"' if "It" in style else ""
    return f'font-family="{name}"{weight}{slant}'


def _grey(ink: float) -> str:
    return "#" + f"{round(ink * 255):02x}" * 3


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
