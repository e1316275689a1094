"""Whether the structure is whole: all text in it once, or furniture; owners and order right."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator

from packbuilder.readback.document import FURNITURE, UNMARKED
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import HOW_TO_PLAY, PRIMER, plain
from packbuilder.readback.survey import Leaf
from packbuilder.readback.tags.heard import Heard
from packbuilder.readback.tags.tree import Content, Element, Object, Tree

_GRIDS = {"Table", "TR", "TH", "TD", "Form"}
ROLES = {"Document", "Sect", "H1", "H2", "H3", "P", "Span", "Link", "Figure", "Caption"} | _GRIDS
"""The roles that a pack's elements may have: standard ones (ISO 32000-1, 14.8.4)."""
LANGUAGE = "en"
TOLD = ("Figure", "TH")
"""Elements whose ActualText or Alt need not be the words that they print."""


def check_catalogue(tree: Tree) -> Iterator[Finding]:
    """The file says its language, that it is tagged, and that its title is to be shown."""
    if not tree.language:
        yield Finding("tag", "the file does not say its language")
    elif tree.language != LANGUAGE:
        yield Finding("tag", f"the file says that its language is {tree.language!r}")
    if not tree.marked:
        yield Finding("tag", "the file does not say that it is tagged")
    if not tree.titled:
        yield Finding("tag", "the file does not have its title shown in place of its name")
    for fault in tree.faults:
        yield Finding("tag", fault)


def check_contents(tree: Tree, heard: Heard) -> Iterator[Finding]:
    """Each piece of text is in the tree exactly once, or is furniture; so are lines and fills."""
    times = Counter(tree.root.contents())
    drawn = {(leaf.number, tag) for leaf in heard.leaves for tag in leaf.sheet.drawn}
    for content, count in times.items():
        if count > 1:
            words = _words(heard, content)
            yield Finding("tag", f"{words} stands in the tree {count} times", content.page or None)
        elif content not in heard.glyphs and content not in drawn:
            yield Finding("tag", "the tree names content that is not there", content.page or None)
    for content in heard.glyphs:
        if content not in times:
            yield Finding(
                "tag-text", f"{_words(heard, content)} is not in the structure", content.page
            )
    for leaf in heard.leaves:
        yield from _check_page(leaf)
    for content, words in heard.said.items():
        printed = "".join(g.text for g in heard.glyphs.get(content, ()))
        if plain(words) != plain(printed):
            yield Finding(
                "tag-text", f"{printed[:40]!r} would be heard as {words[:40]!r}", content.page
            )


def _words(heard: Heard, content: Content) -> str:
    glyphs = heard.glyphs.get(content, ())
    return repr("".join(g.text for g in glyphs)[:40]) if glyphs else "a drawing"


def _check_page(leaf: Leaf) -> Iterator[Finding]:
    """Nothing on a page is left unmarked; its folio and its running head are furniture."""
    text = "".join(g.text for g in leaf.sheet.glyphs if g.tag == UNMARKED and g.text.strip())
    if text:
        yield Finding(
            "tag-text",
            f"{text[:40]!r} is neither in the structure nor furniture",
            leaf.number,
        )
    if UNMARKED in leaf.sheet.drawn:
        yield Finding(
            "tag-text",
            "lines or fills are neither in the structure nor furniture",
            leaf.number,
        )
    if leaf.number > 1 and leaf.runs:
        foot = [r for r in leaf.runs if abs(r.y - leaf.runs[-1].y) <= 0.5]
        if any(g.tag != FURNITURE for r in foot for g in r.glyphs if g.text.strip()):
            yield Finding("tag-text", "the footer would be heard amid the text", leaf.number)
    for grid in leaf.grids:
        if any(g.tag not in (FURNITURE, UNMARKED) for g in grid.drawn.glyphs) and not _told(leaf):
            yield Finding(
                "tag-text", "numbers of rules would be heard amid a grid's digits", leaf.number
            )


def _told(leaf: Leaf) -> bool:
    """Whether a page's grids are figures, whose text is told by their alternative."""
    return leaf.section in (HOW_TO_PLAY, PRIMER)


def check_owners(tree: Tree) -> Iterator[Finding]:
    """The parent tree leads from each content and each annotation back to its element."""
    lost: Counter[int] = Counter()
    held: set[int] = set()
    for element in tree.root.walk():
        for kid in element.kids:
            if isinstance(kid, Content) and tree.owners.get(kid) != element.number:
                lost[kid.page] += 1
            elif isinstance(kid, Object):
                held.add(kid.number)
                if tree.owners.get(kid.number) != element.number:
                    lost[kid.page] += 1
                if {"Link": "Link", "Widget": "Form"}.get(kid.kind) != element.role:
                    yield Finding(
                        "tag", f"a {kid.kind} stands in a {element.role} of the tree", kid.page
                    )
        if element.role not in ROLES:
            yield Finding("tag", f"the tree has an element {element.role!r}, which readers do "
                          "not know")  # fmt: skip
    for page, count in lost.items():
        yield Finding(
            "tag", f"{count} parts of the page do not lead back to their element", page or None
        )
    for note in tree.annotations:
        if note.number not in held:
            yield Finding("tag", f"a {note.kind} is not in the structure", note.page)


def check_said(tree: Tree, heard: Heard, addresses: Collection[str]) -> Iterator[Finding]:
    """What is told in place of printed words is those words; pictures have alternatives.

    A link that covers a picture is called ``Link to`` and one of the ``addresses``.
    """
    pictured = {f"Link to {address}" for address in addresses}
    for element in tree.root.walk():
        if element.role == "Figure" and not element.alt.strip():
            page = next((one.page for one in element.contents()), None)
            yield Finding("tag-heading", "a figure has no alternative text", page)
        elif element.role == "Link" and element.alt in pictured and not heard.printed(element):
            address = element.alt.removeprefix("Link to ")
            for figure in element.elements("Figure"):
                if figure.alt != f"QR code of the link {address}":
                    page = next((one.page for one in figure.contents()), None)
                    told = f"the picture of a link would be heard as {figure.alt[:40]!r}"
                    yield Finding("tag-heading", told, page)
        elif element.role not in TOLD and (element.said is not None or element.alt):
            yield from _check_words(element, heard)
        elif element.role == "TH" and element.alt:
            yield Finding("tag-heading", f"a heading of a table is told as {element.alt[:40]!r}")


def _check_words(element: Element, heard: Heard) -> Iterator[Finding]:
    printed = heard.printed(element)
    for words in (element.said, element.alt or None):
        if words and not printed:
            told = f"a {element.role} without text would be heard as {words[:40]!r}"
            yield Finding("tag-heading", told)
        elif words is not None and printed and plain(words) != plain(printed):
            page = next((one.page for one in element.contents()), None)
            yield Finding("tag-heading", f"{printed[:40]!r} would be heard as {words[:40]!r}", page)
