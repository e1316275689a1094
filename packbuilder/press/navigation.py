"""Signposts of a file: its named places, its outline, the labels of its pages."""

from __future__ import annotations

from collections.abc import Mapping

from packbuilder.plan.items import Bookmark, Plan
from packbuilder.press.pdf_file import PdfFile, text_string


def destinations(file: PdfFile, places: Mapping[str, str]) -> int:
    """The named places as a name tree, which is in the order of its bytes; gives its number."""
    pairs = " ".join(f"{text_string(name)}{places[name]}" for name in sorted(places))
    return file.add(f"<</Names[{pairs}]>>")


def labels(file: PdfFile) -> int:
    """The first page is the cover, all others are known by their folios."""
    return file.add("<</Nums[0<</P(Cover)>>1<</S/D/St 2>>]>>")


def outline(file: PdfFile, plan: Plan, places: Mapping[str, str]) -> int:
    """The outline in two levels: sections, closed, and under them what they hold."""
    root = file.reserve()
    sections: list[tuple[Bookmark, list[Bookmark]]] = []
    for mark in plan.bookmarks:
        if mark.level == 0:
            sections.append((mark, []))
        else:
            sections[-1][1].append(mark)
    numbers = [file.reserve() for _ in sections]
    for number, (mark, below), links in zip(numbers, sections, _chain(numbers), strict=True):
        inner = [file.reserve() for _ in below]
        more = f"/First {inner[0]} 0 R/Last {inner[-1]} 0 R/Count {-len(inner)}" if inner else ""
        file.put(number, _entry(mark, root, places, links + more))
        for one, under, chain in zip(inner, below, _chain(inner), strict=True):
            file.put(one, _entry(under, number, places, chain))
    ends = f"/First {numbers[0]} 0 R/Last {numbers[-1]} 0 R"
    file.put(root, f"<</Type/Outlines{ends}/Count {len(numbers)}>>")
    return root


def _chain(numbers: list[int]) -> list[str]:
    """For each entry of a level, the one before it and the one after it."""
    found = []
    for k in range(len(numbers)):
        before = f"/Prev {numbers[k - 1]} 0 R" if k else ""
        after = f"/Next {numbers[k + 1]} 0 R" if k + 1 < len(numbers) else ""
        found.append(before + after)
    return found


def _entry(mark: Bookmark, parent: int, places: Mapping[str, str], more: str) -> str:
    return f"<</Title{text_string(mark.title)}/Parent {parent} 0 R/Dest{places[mark.to]}{more}>>"
