"""Links: does each lead to the page that its words tell?"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence

from packbuilder.readback.report import Finding
from packbuilder.reader.marks import Box
from packbuilder.reader.navigation import Link
from packbuilder.reader.pages import SeenPage
from packbuilder.reader.text import ANSWERS, NOTES, PRIMER, PUZZLES, TIERS, Run

WITH_ITEMS = (PRIMER, PUZZLES, NOTES, ANSWERS, *TIERS)

_FOLIO = re.compile(r"(\d+)\W*$")
_REFERENCE = re.compile(r"\bpages? (\d+)\W*$")


def check_links(page: SeenPage, links: Sequence[Link], uris: Collection[str]) -> Iterator[Finding]:
    """Each link covers text that ends in the number of the page it leads to.

    ``uris`` are the outside addresses that the book has.
    """
    for link in links:
        told = _amiss(link, page, uris)
        if told:
            yield Finding("link", told, page.number)
    if page.section in WITH_ITEMS:
        yield from _check_references(page, links)


def _amiss(link: Link, page: SeenPage, uris: Collection[str]) -> str:
    if link.action:
        return f"a link runs {link.action}, which print cannot show"
    if link.uri is not None:
        known = link.uri in uris
        return "" if known else f"a link leads to {link.uri}, which the pack does not name"
    if link.page is None:
        return "a link leads to a page which is not in the file"
    text = text_under(link.box, page.runs)
    folio = _FOLIO.search(text)
    if not folio or int(folio[1]) != link.page:
        printed = "its printed text must end in that number"
        return f"the link {text[:40]!r} leads to page {link.page}: {printed}"
    return ""


def text_under(box: Box, runs: Iterable[Run]) -> str:
    """The printed text that a box covers."""
    x0, y0, x1, y1 = box
    covered = []
    near = (run for run in runs if run.x0 <= x1 and run.x1 >= x0)
    for run in sorted(near, key=lambda r: (-r.y, r.x0)):
        inside = [
            g for g in run.glyphs if x0 <= (g.x0 + g.x1) / 2 <= x1 and y0 <= (g.y0 + g.y1) / 2 <= y1
        ]
        if inside:
            covered.append(Run(tuple(inside)).text)
    return " ".join(covered)


def _check_references(page: SeenPage, links: Sequence[Link]) -> Iterator[Finding]:
    """Every printed ``page 24`` beside an item is a live link, so that its truth is checked."""
    for run in page.leads:
        if not _REFERENCE.search(run.text):
            continue
        last = run.glyphs[-1]
        x, y = (last.x0 + last.x1) / 2, (last.y0 + last.y1) / 2
        boxes = (link.box for link in links)
        if not any(x0 <= x <= x1 and y0 <= y <= y1 for x0, y0, x1, y1 in boxes):
            yield Finding("link-missing", f"{run.text[:40]!r} is not a live link", page.number)
