"""Whether the structure tells the book in order: sections, headings, items, as pages have them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from packbuilder.book.book import Book, Entry
from packbuilder.readback.match import due
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import ANSWERS, COVER, PUZZLES, TIERS, plain, says
from packbuilder.readback.survey import Item, Leaf
from packbuilder.readback.tags.heard import Heard
from packbuilder.readback.tags.tree import Element, Tree


def check_sections(tree: Tree, heard: Heard, book: Book) -> Iterator[Finding]:
    """One Sect a section, in order, each with its pages' content and its name for a heading."""
    names = list(dict.fromkeys(leaf.section for leaf in heard.leaves))
    sects = tree.root.elements()
    if [s.role for s in sects] != ["Sect"] * len(names):
        yield Finding(
            "tag",
            f"the structure has {len(sects)} parts, and {len(names)} sections need a Sect each",
        )
    sections = {leaf.number: leaf.section for leaf in heard.leaves}
    for name, sect in zip(names, sects, strict=False):
        first = next((n for n, section in sections.items() if section == name), None)
        pages = [one.page for one in sect.contents()]
        strange = [page for page in pages if sections.get(page) != name]
        if strange:
            yield Finding(
                "tag", f"the part for {name} has content of another section", strange[0] or None
            )
        if any(a > b for a, b in pairwise(pages)):
            yield Finding("tag", f"{name} is not read in the order of its pages", first)
        heads = [heard.text(e) for e in sect.walk() if e.role == "H1"]
        wanted = book.pack.title if name == COVER else name
        if [plain(h).casefold() for h in heads] != [plain(wanted).casefold()]:
            told = ", ".join(repr(h) for h in heads) or "none"
            yield Finding("tag-heading", f"the heading of {name} is told as {told}", first)


def check_captions(
    tree: Tree, heard: Heard, items: Sequence[Item], book: Book
) -> Iterator[Finding]:
    """Each item has a heading with its number and title, in the order of pages."""
    for section in (PUZZLES, *TIERS, ANSWERS):
        sect = sect_of(tree, heard.leaves, section)
        if sect is None:
            continue
        heads = [e for e in sect.walk() if e.role == "H2"]
        here = [i for i in items if i.section == section and due(book, i)]
        told = [heard.text(e) for e in heads]
        for item in here:
            match = due(book, item)
            assert match is not None
            label = label_of(item, match[0])
            if not any(_is(label, text, match[0], item) for text in told):
                yield Finding(
                    "tag-heading",
                    f"no heading in {section} tells {label!r}",
                    item.page,
                    (),
                    item.number,
                    match[0].puzzle.id,
                )
        numbers = [_number(text) for text in told]
        if numbers != sorted(numbers):
            yield Finding(
                "tag", f"the headings of {section} are not told in the order of their numbers"
            )
        if len(heads) != len(here):
            yield Finding(
                "tag-heading",
                f"{section} has {len(heads)} headings for {len(here)} items",
                here[0].page if here else None,
            )


def _number(text: str) -> tuple[int, int]:
    """The number (and which hint) with which a heading begins."""
    found = re.match(r"(?:Hint )?(\d+)(?:\.(\d+))?", text)
    return (int(found[1]), int(found[2] or 0)) if found else (0, 0)


def label_of(item: Item, entry: Entry) -> str:
    """What a caption begins with: the number, or the hint."""
    if item.section != TIERS[2]:
        return str(entry.number)
    return f"Hint {entry.number}" + (f".{item.part}" if item.part else "")


def _is(label: str, text: str, entry: Entry, item: Item) -> bool:
    """Whether a heading tells an item: its label, then its title, cut where that may be.

    The heading of a third hint need not have the title, as its caption need not.
    """
    if not text.startswith(label) or text[len(label) : len(label) + 1] not in ("", " "):
        return False
    title = text[len(label) :]
    bare = item.section == TIERS[2] and not title.strip()
    whole = bare or plain(title) == plain(entry.puzzle.title)
    return whole or (item.section != PUZZLES and says(title, entry.puzzle.title))


def sect_of(tree: Tree, leaves: Sequence[Leaf], section: str) -> Element | None:
    """The part of the tree that holds a section's pages."""
    pages = {leaf.number for leaf in leaves if leaf.section == section}
    for sect in tree.root.elements("Sect"):
        if any(one.page in pages for one in sect.contents()):
            return sect
    return None
