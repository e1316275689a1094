"""Comparing: a file against a plan, part by part, page by page; nothing is kept but findings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby, islice
from typing import Any

from packbuilder.plan.imposition import Side, sides
from packbuilder.plan.items import Destination, Plan
from packbuilder.readback.as_planned import entries
from packbuilder.readback.as_planned.content import Reader
from packbuilder.readback.as_planned.file import File
from packbuilder.readback.as_planned.fonts import Font, read_font
from packbuilder.readback.as_planned.marks import Planned
from packbuilder.readback.as_planned.notes import Note, look, look_of, planned_notes
from packbuilder.readback.as_planned.pages import marks_unlike
from packbuilder.readback.as_planned.syntax import Damaged, Ref, unlike
from packbuilder.readback.as_planned.tags import Live, Structure
from packbuilder.readback.report import Finding

CODES = {
    "file-damaged": "the file is not, byte for byte, built as this program builds files",
    "not-as-planned": "a page shows more, less or something else than planned, or elsewhere",
    "page-entries": "the boxes of a page, or what belongs to it beside its marks, are not as planned",
    "font": "a font is not the house's own, letter by letter, or does not say which letters it shows",
    "tag": "what a screen reader is told is not what is planned",
    "link": "a link is not where it must be, or does not lead where it must",
    "field": "a field to type in is not where it must be, or not named and made as it must be",
    "bookmark": "bookmarks, labels of pages or named places are not those that are planned",
    "metadata": "what the file says of itself is not what is planned",
}
"""The codes of these findings. A file that has one is not to be mended: it is built again."""

_TOLD = 3
"""How many findings of a kind are told of one page; the rest are counted."""


def differences(data: bytes, plan: Plan) -> Iterator[Finding]:
    """All that a file does not share with the plan that it was printed from; nothing for nothing.

    A file of another version of packbuilder is not to be asked: see `made_by`.
    """
    try:
        yield from _Comparison(data, plan).findings()
    except Damaged as damage:
        yield Finding("file-damaged", f"this is not the file as it was made: {damage}")


def _few(code: str, words: Iterable[str], page: int | None = None) -> Iterator[Finding]:
    """A finding for each of the first few words, and one that counts the rest."""
    rest = iter(words)
    yield from (Finding(code, one, page) for one in islice(rest, _TOLD))
    if more := sum(1 for _ in rest):
        yield Finding(code, f"and {more} more of this kind", page)


class _Comparison:
    def __init__(self, data: bytes, plan: Plan) -> None:
        self._plan, self._edition, self._sides = plan, plan.edition, sides(plan)
        self._file = File(data, len(self._sides))
        self._root = self._file.dictionary(self._file.root)
        self._resources: object = None
        self._fonts: dict[bytes, Font] = {}
        self._reader = Reader(self._fonts)
        self._structure = Structure()
        self._lives: list[list[Live]] = []
        self._fields: list[object] = []

    def findings(self) -> Iterator[Finding]:
        """All of them. Raises Damaged."""
        count = 0
        for finding in self._all():
            count += 1
            yield finding
        rest = self._file.rest()
        if rest and not count:
            raise Damaged(f"it holds {rest} objects that nothing leads to")

    def _all(self) -> Iterator[Finding]:
        file, plan, root = self._file, self._plan, self._root
        yield from _few("metadata", entries.catalogue_faults(root, plan))
        yield from _few("metadata", entries.information_faults(file.take(file.info), plan))
        more, packet = file.stream(root.get("Metadata"))
        yield from _few("metadata", unlike(more, {"Type": "Metadata", "Subtype": "XML"}, "packet"))
        yield from _few("metadata", entries.packet_faults(packet, plan))
        tree = file.dictionary(root.get("Pages"))
        pages, count = tree.get("Kids"), len(self._sides)
        planned = {"Type": "Pages", "Count": count, "Kids": pages}
        yield from _few("not-as-planned", unlike(tree, planned, "pages"))
        if not isinstance(pages, list) or len(pages) != count:
            yield Finding("not-as-planned", f"the file does not have {count} pages")
            return
        for number, (side, page) in enumerate(zip(self._sides, pages, strict=True), start=1):
            yield from self._page(number, side, page)
        unused = [name.decode("ascii") for name in self._fonts if name not in self._reader.used]
        yield from _few("font", (f"{name} sets no letter" for name in unused))
        yield from self._beside(pages)

    # --- pages ---

    def _page(self, number: int, side: Side, ref: object) -> Iterator[Finding]:
        have = self._file.dictionary(ref)
        if number == 1:
            self._resources = have.get("Resources")
            yield from self._read_fonts()
        planned = Planned(side, self._plan.inks, tagged=self._edition.tagged)
        notes = list(self._planned_notes(side))
        due: dict[str, Any] = {
            "Type": "Page", "Parent": self._root["Pages"], "Resources": self._resources,
            "Contents": have.get("Contents"), **_boxes(side),
            **({"Annots": have.get("Annots")} if notes else {}),
            **({"StructParents": number - 1, "Tabs": "S"} if self._edition.tagged else {}),
        }  # fmt: skip
        yield from _few("page-entries", unlike(have, due), number)
        more, content = self._file.stream(have.get("Contents"))
        yield from _few("page-entries", unlike(more, {}, "content"), number)
        try:
            marks = self._reader.marks(content)
        except Damaged as strange:
            yield Finding("not-as-planned", str(strange), number)
        else:
            yield from _few("not-as-planned", marks_unlike(marks, planned.marks), number)
        yield from self._notes(number, have.get("Annots", []), notes, ref)
        if self._edition.tagged:
            self._structure.add(planned, notes)

    def _read_fonts(self) -> Iterator[Finding]:
        have = self._file.dictionary(self._resources)
        fonts = have.get("Font")
        yield from _few("font", unlike(have, {"Font": fonts, "ProcSet": ["PDF", "Text"]}))
        for name, ref in fonts.items() if isinstance(fonts, dict) else ():
            self._fonts[name.encode("ascii")], faults = read_font(self._file, ref, name)
            yield from _few("font", faults)

    def _planned_notes(self, side: Side) -> Iterator[Note]:
        if self._edition.links:
            yield from planned_notes(side, self._plan.inks, fields=self._edition.fields)

    def _notes(
        self, number: int, refs: Any, notes: Sequence[Note], page: object
    ) -> Iterator[Finding]:
        if not isinstance(refs, list) or len(refs) != len(notes):
            yield Finding("link", f"the page does not have {len(notes)} live places", number)
            refs = []
        lives = []
        for note, ref in zip(notes, refs, strict=False):
            have, due = self._file.dictionary(ref), dict(note.entries)
            key = have.get("StructParent")
            if self._edition.tagged and note.owner is not None:
                due["StructParent"] = key if type(key) is int else 0
            if note.code == "field":
                have["DA"], due["P"] = look_of(have.get("DA")), page
                self._fields.append(ref)
            lives.append(Live(ref, key))
            yield from _few(note.code, unlike(have, due, note.name), number)
        self._lives.append(lives)

    # --- beside the pages ---

    def _beside(self, pages: Sequence[Ref]) -> Iterator[Finding]:
        file, plan, root = self._file, self._plan, self._root
        if self._edition.links:
            places = dict(self._named_places(pages))
            named = file.dictionary(entries.dests(root))
            yield from _few("bookmark", entries.place_faults(named, places))
            faults = entries.bookmark_faults(file, root.get("Outlines"), plan, places)
            yield from _few("bookmark", faults)
            labels = file.take(root.get("PageLabels"))
            yield from _few("bookmark", entries.label_faults(labels))
        if self._edition.fields:
            yield from self._form()
        if self._edition.tagged:
            root_ref = root.get("StructTreeRoot")
            faults = self._structure.faults(file, root_ref, pages, self._lives)
            for page, some in groupby(faults, lambda fault: fault[0]):
                yield from _few("tag", (words for _, words in some), page)

    def _named_places(self, pages: Sequence[Ref]) -> Iterator[tuple[str, list[Any]]]:
        for side, ref in zip(self._sides, pages, strict=True):
            for page, x, y in side.pages:
                for item in page.items:
                    if isinstance(item, Destination):
                        yield item.name, [ref, "XYZ", item.x + x, item.y + y, 0]

    def _form(self) -> Iterator[Finding]:
        have = self._file.dictionary(self._root.get("AcroForm"))
        have["DA"] = look_of(have.get("DA"))
        fonts = have.get("DR", {}).get("Font")
        font = fonts.get("PBF") if isinstance(fonts, dict) else None
        due = {
            "Fields": self._fields, "DR": {"Font": {"PBF": font}}, "NeedAppearances": True,
            "DA": look(12.0, self._plan.inks["ink"]),
        }  # fmt: skip
        yield from _few("field", unlike(have, due, "form"))
        typed, faults = read_font(self._file, font, "F1+0", "WinAnsiEncoding")
        yield from _few("font", faults)


def _boxes(side: Side) -> dict[str, list[float]]:
    media = [0.0, 0.0, side.width, side.height]
    if side.trim is None or side.bleed is None:
        return {"MediaBox": media}
    more = {"BleedBox": list(side.bleed), "TrimBox": list(side.trim)}
    return {"MediaBox": media, "CropBox": media, **more}
