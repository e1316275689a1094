"""Document: the objects of a whole file, from its catalogue down, as the plan says them.

Source: ISO 32000-1, 7.7 (catalogue and pages), 12.3 (places, bookmarks, labels), 12.7 (form), 14.3
(information).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from typing import Any

from packbuilder.plan.imposition import Side, sides
from packbuilder.plan.items import Bookmark, Destination, Plan
from packbuilder.readback.as_planned import metadata
from packbuilder.readback.as_planned.content import Reader
from packbuilder.readback.as_planned.file import File
from packbuilder.readback.as_planned.fonts import Font, font
from packbuilder.readback.as_planned.marks import PlannedSide
from packbuilder.readback.as_planned.notes import look, notes
from packbuilder.readback.as_planned.objects import Checked, Planned
from packbuilder.readback.as_planned.pages import marks_unlike
from packbuilder.readback.as_planned.stamp import planned_stamp
from packbuilder.readback.as_planned.structure import Structure
from packbuilder.readback.as_planned.syntax import Damaged, quoted, text_string


class Document:
    """What must be in a file. What its fonts are called is up to the file: that is looked up."""

    def __init__(self, plan: Plan, file: File) -> None:
        self._plan, self._edition, self._file, self._sides = plan, plan.edition, file, sides(plan)
        self.catalogue = Planned("file-entries", "the catalogue", self._catalogue)
        self.information = Planned("metadata", "the information", self._information)
        self._tree = Planned("not-as-planned", "the pages", self._all_pages)
        self._pages = [
            Planned("page-entries", "the page", partial(self._page, side, number), number)
            for number, side in enumerate(self._sides, start=1)
        ]
        self._fonts: dict[bytes, Font] = {}
        self._used: set[bytes] = set()
        self._resources = Planned("font", "the resources", partial(dict, self._read_fonts()))
        self._typed = self._read_typed() if plan.edition.fields else None
        self._structure = Structure(self._pages)
        self._fields: list[Planned] = []
        self._places = dict(self._named_places())

    def unused(self) -> Iterator[str]:
        """Names of fonts that no page has used, when all have been read."""
        return (name.decode("ascii") for name in self._fonts if name not in self._used)

    def _catalogue(self) -> dict[str, Any]:
        """Pages come first: what stands after them is known when they have been looked at."""
        edition = self._edition
        preferences: dict[str, Any] = {"DisplayDocTitle": True}
        entries: dict[str, Any] = {
            "Type": "Catalog", "Version": "1.7", "Lang": text_string(metadata.LANGUAGE),
            "Pages": self._tree, "ViewerPreferences": preferences,
            "Metadata": Planned("metadata", "the packet of metadata", stream=self._packet),
        }  # fmt: skip
        if not edition.fields:
            preferences["PrintScaling"] = "None"
        if edition.links:
            labels = {"Nums": [0, {"P": b"Cover"}, 1, {"S": "D", "St": 2}]}
            entries |= {
                "PageMode": "UseOutlines",
                "Names": {"Dests": Planned("bookmark", "the named places", self._names)},
                "Outlines": self._bookmarks(),
                "PageLabels": Planned("bookmark", "the labels of pages", lambda: labels),
            }
        if edition.tagged:
            entries |= {"MarkInfo": {"Marked": True}, "StructTreeRoot": self._structure.root}
        if edition.fields:
            entries["AcroForm"] = Planned("field", "the form", self._form)
        return entries

    # --- pages ---

    def _all_pages(self) -> dict[str, Any]:
        return {"Type": "Pages", "Count": len(self._pages), "Kids": self._pages}

    def _read_fonts(self) -> dict[str, Any]:
        found = self._file.find(self._file.root, "Pages", "Kids", "Resources", "Font")
        if not isinstance(found, dict):
            raise Damaged("its pages have no fonts")
        planned = {}
        for name, ref in found.items():
            self._fonts[name.encode("ascii")], planned[name] = font(self._file, ref, name)
        resources: dict[str, Any] = {"Font": planned, "ProcSet": ["PDF", "Text"]}
        if self._plan.stamp:
            stamp = planned_stamp(self._plan.stamp, self._plan.inks)
            resources["XObject"] = {"Stamp": stamp}
        return resources

    def _read_typed(self) -> Planned:
        """The font of what a reader types."""
        ref = self._file.find(self._file.root, "AcroForm", "DR", "Font", "PBF")
        return font(self._file, ref, "F1+0", "WinAnsiEncoding")[1]

    def _page(self, side: Side, number: int) -> dict[str, Any]:
        tagged, inks, page = self._edition.tagged, self._plan.inks, self._pages[number - 1]
        shown = PlannedSide(side, inks, tagged=tagged)
        live = []
        if self._edition.links:
            live = list(notes(side, inks, number, page, fields=self._edition.fields))
        entries: dict[str, Any] = {
            "Type": "Page", "Parent": self._tree, "Resources": self._resources, **_boxes(side),
            "Contents": Planned("not-as-planned", "the content", None, number,
                                stream=partial(self._content, shown)),
        }  # fmt: skip
        if live:
            entries["Annots"] = [note.planned for note in live]
            self._fields += [note.planned for note in live if note.planned.code == "field"]
        if tagged:
            self._structure.add(shown, live)
            entries |= {"StructParents": number - 1, "Tabs": "S"}
        return entries

    def _content(self, shown: PlannedSide, data: bytes) -> Checked:
        reader = Reader(self._fonts)
        marks = reader.marks(data)
        self._used |= reader.used
        return {}, marks_unlike(marks, shown.marks)

    # --- beside the pages ---

    def _named_places(self) -> Iterator[tuple[str, list[Any]]]:
        for side, ref in zip(self._sides, self._pages, strict=True):
            for page, x, y in side.pages:
                for item in page.items:
                    if isinstance(item, Destination):
                        yield item.name, [ref, "XYZ", item.x + x, item.y + y, 0]

    def _names(self) -> dict[str, Any]:
        """The named places, in the order of their names."""
        pairs = sorted((text_string(name), name) for name in self._places)
        return {"Names": [part for said, name in pairs for part in (said, self._places[name])]}

    def _bookmarks(self) -> Planned:
        """Bookmarks in two levels: sections, closed, and under them what they hold."""
        sections: list[tuple[Bookmark, list[Bookmark]]] = []
        for mark in self._plan.bookmarks:
            if mark.level:
                sections[-1][1].append(mark)
            else:
                sections.append((mark, []))
        root = Planned("bookmark", "the bookmarks")
        row = self._row(root, sections)
        entries = {"Type": "Outlines", "First": row[0], "Last": row[-1], "Count": len(row)}
        root.value = partial(dict, entries)
        return root

    def _row(
        self, parent: Planned, marks: Sequence[tuple[Bookmark, Sequence[Bookmark]]]
    ) -> list[Planned]:
        row = [Planned("bookmark", f"the bookmark {quoted(mark.title)}") for mark, _ in marks]
        for k, (mark, below) in enumerate(marks):
            place = self._places[mark.to]
            entries = {"Title": text_string(mark.title), "Parent": parent, "Dest": place}
            entries |= {"Prev": row[k - 1]} if k else {}
            entries |= {"Next": row[k + 1]} if k + 1 < len(row) else {}
            if below:
                inner = self._row(row[k], [(one, ()) for one in below])
                entries |= {"First": inner[0], "Last": inner[-1], "Count": -len(inner)}
            row[k].value = partial(dict, entries)
        return row

    def _form(self) -> dict[str, Any]:
        return {
            "Fields": self._fields, "DR": {"Font": {"PBF": self._typed}}, "NeedAppearances": True,
            "DA": look(12.0, self._plan.inks["ink"]),
        }  # fmt: skip

    def _information(self) -> dict[str, Any]:
        plan = self._plan
        date = text_string("D:{:04}{:02}01000000Z".format(*plan.dated))
        words = {
            "Title": plan.title, "Author": plan.author, "Subject": plan.subject,
            "Keywords": ", ".join(plan.keywords), "Creator": metadata.CREATOR,
            "Producer": metadata.PRODUCER,
        }  # fmt: skip
        told = {key: text_string(value) for key, value in words.items()}
        return {**told, "CreationDate": date, "ModDate": date, "Trapped": "False"}

    def _packet(self, data: bytes) -> Checked:
        return {"Type": "Metadata", "Subtype": "XML"}, metadata.packet_faults(data, self._plan)


def _boxes(side: Side) -> dict[str, list[float]]:
    media = [0.0, 0.0, side.width, side.height]
    if side.trim is None or side.bleed is None:
        return {"MediaBox": media}
    more = {"BleedBox": list(side.bleed), "TrimBox": list(side.trim)}
    return {"MediaBox": media, "CropBox": media, **more}
