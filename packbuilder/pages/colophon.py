"""Credits: who set the puzzles, with whose leave, under which licence, and how it was made."""

from __future__ import annotations

from packbuilder import __version__
from packbuilder.book.book import Book
from packbuilder.book.wording import numerals
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, paragraph, stack
from packbuilder.pages.draft import Draft
from packbuilder.pages.faults import HOUSE, Source
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.pairs import pair
from packbuilder.pages.prose import checked

_PROOF = (
    "Every grid in this pack was proved to have exactly one solution by two engines that share no "
    "code, and then read back from this very file, lines, digits and ink, to see that what is "
    "printed is what was proved."
)
_TYPE = (
    "Set in Source Serif Pro and Source Sans Pro, both under the SIL Open Font License, "
    "version 1.1."
)
_PERMISSION = (
    "Every guest gave permission for the puzzles under their name to be printed in this pack; the "
    "puzzles stay their own."
)


def credits(draft: Draft, book: Book) -> None:
    """Plan the last pages; in a sampler, what stands under the answers."""
    if not book.whole:
        draft.begin("Credits", "")
    sheet, pack = draft.sheet, book.pack
    setters: dict[str, list[int]] = {}
    for entry in book.entries:
        setters.setdefault(entry.puzzle.setter, []).append(entry.number)
    parts = [("Setters", stack([_setter(sheet, book, s, n) for s, n in setters.items()]))]
    if any(entry.puzzle.setter != pack.byline for entry in book.entries):
        parts.append(("Permission", _text(sheet, _PERMISSION, HOUSE)))
    if pack.licence:
        parts.append(("Licence", _text(sheet, pack.licence, Source("pack: licence"))))
    parts += [
        ("Proof", _text(sheet, _PROOF, HOUSE)),
        ("Type", _text(sheet, _TYPE, HOUSE)),
        ("Press", _text(sheet, f"Made with packbuilder {__version__}.", HOUSE)),
    ]
    blocks: list[Block] = [gap(10 * MM)] if book.whole else []
    for heading, body in parts:
        label = paragraph(heading, sheet.faces.strong, sheet.type.prose, sheet.side)
        blocks += [pair(sheet, label, body), gap(6 * MM)]
    draft.flow(blocks)


def _setter(sheet: PageDesign, book: Book, setter: str, numbers: list[int]) -> Block:
    first = next(entry.puzzle for entry in book.entries if entry.puzzle.setter == setter)
    which = "puzzle" if len(numbers) == 1 else "puzzles"
    return _text(sheet, f"{setter}, {which} {numerals(numbers)}", Source.of(first, "setter"))


def _text(sheet: PageDesign, text: str, source: Source) -> Block:
    text = checked(text, sheet.faces.prose, source)
    quoted = source is not HOUSE
    return paragraph(text, sheet.faces.prose, sheet.type.prose, sheet.main, quoted=quoted)
