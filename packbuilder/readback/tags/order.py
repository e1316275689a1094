"""Whether what is heard follows what is drawn: content in its order, links in their own words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from packbuilder.readback.links import Link
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import plain, runs_of
from packbuilder.readback.survey import Leaf
from packbuilder.readback.tags.heard import Heard
from packbuilder.readback.tags.tree import Content, Element, Tree


def check_order(tree: Tree, heard: Heard) -> Iterator[Finding]:
    """In each section, content is read in the order in which it is drawn.

    A table is one step of it: its cells are in rows, whatever is drawn first.
    """
    sections = {leaf.number: leaf.section for leaf in heard.leaves}
    for sect in tree.root.elements("Sect"):
        for before, after in pairwise(_steps(sect)):
            if before > after:
                yield Finding(
                    "tag",
                    f"{_words(heard, after)} would be heard after {_words(heard, before)}, and "
                    "stands before it",
                    after.page or None,
                )
                break
        name = next((sections.get(one.page, "") for one in sect.contents()), "")
        if sect.title and name and sect.title != name:
            yield Finding("tag-heading", f"the part for {name} is named {sect.title!r}")


def _steps(element: Element) -> Iterator[Content]:
    """The content of an element in reading order, the first one of each table."""
    for kid in element.kids:
        if isinstance(kid, Content):
            yield kid
        elif isinstance(kid, Element) and kid.role == "Table":
            first = min(kid.contents(), default=None)
            if first is not None:
                yield first
        elif isinstance(kid, Element):
            yield from _steps(kid)


def _words(heard: Heard, content: Content) -> str:
    text = "".join(g.text for g in heard.glyphs.get(content, ()))
    return repr(text[:40]) if text else "a drawing"


def check_links(links: Sequence[Link], leaves: Sequence[Leaf]) -> Iterator[Finding]:
    """What a link is called is what it covers in print, or the address that it leads to."""
    pages = {leaf.number: leaf for leaf in leaves}
    for link in links:
        if not link.words:
            continue  # then its text in the structure is heard
        due = link.uri if link.uri is not None else _covered(link, pages.get(link.page))
        if plain(link.words) != plain(due):
            yield Finding(
                "link", f"a link is called {link.words[:40]!r} and says {due[:40]!r}", link.page
            )


def _covered(link: Link, leaf: Leaf | None) -> str:
    """The text in a link's rectangle."""
    left, bottom, right, top = link.box
    glyphs = [
        g
        for g in (leaf.sheet.glyphs if leaf else ())
        if left - 1 <= (g.x0 + g.x1) / 2 <= right + 1 and bottom <= g.y <= top
    ]
    return " ".join(run.text for run in runs_of(glyphs))
