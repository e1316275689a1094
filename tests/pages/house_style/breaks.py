"""Breaks: what may stand at a page's foot, and what at the head of the next.

That no line of a paragraph stands alone, and no heading without its text, is common practice (the
Chicago Manual of Style, on widows and orphans; from memory); how far a last page is filled is the
house's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby, pairwise

from packbuilder.plan.items import Text
from tests.pages.house_style.measuring import Look, Mark, Printed, Told, inked

SHORT, FULL = 0.15, 0.8
"""Of the text's height: what the last page of a section has at least, where the one before is as
full as that."""


def _body(look: Look) -> list[Mark]:
    """All that leaves ink between the head and the foot of a page."""
    rims = (*look.head, *look.foot) if look.section != "Cover" else ()
    return [mark for mark in look.marks if mark not in rims]


def no_line_of_a_paragraph_stands_alone(p: Printed) -> Told:
    """Of a paragraph that is broken between pages two lines or more stand on either."""
    where: dict[int, dict[int, set[float]]] = {}
    for look in p.looks:
        for mark in look.lines:
            if isinstance(mark.item, Text) and mark.item.tag and mark.item.tag.role == "P":
                pages = where.setdefault(id(mark.item.tag), {})
                pages.setdefault(look.folio, set()).add(mark.item.y)
    for pages in where.values():
        for folio, lines in pages.items() if len(pages) > 1 else ():
            if len(lines) < 2:
                yield f"page {folio}: one line of a paragraph"


def no_heading_ends_a_page(p: Printed) -> Told:
    """Below the lowest heading of a page stands what it is the heading of."""
    for look in p.looks[1:]:
        body = [mark for mark in look.lines if mark not in (*look.head, *look.foot)]
        if not body:
            continue
        last = body[-1].item
        lowest = min(mark.box[1] for mark in _body(look))
        heading = isinstance(last, Text) and last.tag and last.tag.role in ("H1", "H2", "H3")
        if heading and lowest > last.y - last.size:
            yield f"page {look.folio} ends in the heading {last.text!r}"


def no_last_page_is_nearly_bare(p: Printed) -> Told:
    """The last page of a section is not one thing at its head, where the page before is full; but
    the last words of a third hint have a page to themselves."""
    for section, looks in _sections(p):
        if section in ("Cover", "Puzzles", "Primer"):  # which set their pages one by one
            continue
        for before, last in list(pairwise(looks))[-1:]:
            if section == "Third hints" and not last.grids:
                continue
            if _filled(p, before) > FULL and 0 < _filled(p, last) < SHORT:
                yield f"page {last.folio}, the last of {section}, is nearly bare"


def _sections(p: Printed) -> Iterator[tuple[str, list[Look]]]:
    return ((name, list(looks)) for name, looks in groupby(p.looks, key=lambda look: look.section))


def _filled(p: Printed, look: Look) -> float:
    """How far down the text's height its ink reaches."""
    body = _body(look)
    if not body:
        return 0.0
    margins = p.plan.height - look.head[0].item.y, look.foot[0].item.y  # about as wide as these
    high = p.plan.height - 1.3 * sum(margins)
    return (p.plan.height - 1.3 * margins[0] - inked(body)[1]) / high
