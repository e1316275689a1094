"""Draw: a plan becomes a PDF, page by page, in the form that its edition asks for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import BinaryIO

from packbuilder import __version__
from packbuilder.plan import items as it
from packbuilder.plan.imposition import Side, sides
from packbuilder.press import stamp
from packbuilder.press.content import Here, Pen
from packbuilder.press.font_subsets import TypeCase
from packbuilder.press.form import Form
from packbuilder.press.navigation import destinations, labels, outline
from packbuilder.press.pdf_file import PdfFile, box, number, text_string
from packbuilder.press.structure import Structure
from packbuilder.press.xmp import packet

LANGUAGE = "en"
"""Of the program's own words; the pack's are taken to be in the same."""


def write(plan: it.Plan, out: BinaryIO) -> None:
    """Write a plan as a PDF. The same plan gives the same bytes."""
    file, case, edition = PdfFile(), TypeCase(), plan.edition
    root, info, tree, resources = (file.reserve() for _ in range(4))
    turns = sides(plan)
    pages = [file.reserve() for _ in turns]
    tables = any(isinstance(item, it.Table) for page in plan.pages for item in page.items)
    structure = Structure(file, len(turns), tables=tables) if edition.tagged else None
    form = Form(file, plan.inks) if edition.fields else None
    press = _Press(plan, file, structure, form, tree, resources)
    pen = Pen(case.codes, plan.inks, structure)
    for folio, (side, page) in enumerate(zip(turns, pages, strict=True), start=1):
        press.page(side, Here(folio, page), pen)
    fonts = case.write(file)
    shown = ""
    if plan.stamp:
        shown = f"/XObject<<{stamp.NAME} {stamp.form(plan.stamp, plan.inks, file)} 0 R>>"
    file.put(resources, f"<</Font<<{fonts}>>/ProcSet[/PDF/Text]{shown}>>")
    file.put(tree, f"<</Type/Pages/Count {len(pages)}/Kids[{_references(pages)}]>>")
    file.put(info, _info(plan))
    file.put(root, press.catalogue(pages))
    file.write(out, root=root, info=info)


@dataclass
class _Press:
    """One file on the press: what all its pages share."""

    plan: it.Plan
    file: PdfFile
    structure: Structure | None
    form: Form | None
    tree: int
    resources: int
    places: dict[str, str] = field(default_factory=dict)
    _section: str = ""

    def page(self, side: Side, here: Here, pen: Pen) -> None:
        """Draw one side of a sheet: a page, or what a booklet has there."""
        code = [_ground(side, self.plan.inks["paper"])] if side.dark else []
        notes: list[int] = []
        for page, x, y in side.pages:
            if self.structure and page.section != self._section:
                self._section = page.section
                self.structure.section(page.section)
            fields = self._reserved(page)
            drawn = pen.page(page.items, here, fields)
            code.append(f"q 1 0 0 1 {number(x)} {number(y)} cm\n{drawn}\nQ" if x or y else drawn)
            if self.plan.edition.links:
                notes += self._notes(page, here, (x, y), fields, pen)
        code += self._stamps(side)
        if side.marks:
            code.append(pen.page(side.marks, here))
        content = self.file.stream("\n".join(code).encode("latin-1"))
        entries = [
            f"<</Type/Page/Parent {self.tree} 0 R{_boxes(side)}",
            f"/Resources {self.resources} 0 R/Contents {content} 0 R",
        ]
        if notes:
            entries.append(f"/Annots[{_references(notes)}]")
        if self.structure:
            entries.append(f"/StructParents {here.folio - 1}/Tabs/S")
        self.file.put(here.page, "".join(entries) + ">>")

    def _stamps(self, side: Side) -> Iterator[str]:
        """Where the pages of a side show the stamp."""
        for page, x, y in side.pages:
            if page.stamp:
                at = f"{number(page.stamp[0] + x)} {number(page.stamp[1] + y)}"
                shown = f"q 1 0 0 1 {at} cm {stamp.NAME} Do Q"
                yield f"/Artifact BMC\n{shown}\nEMC" if self.structure else shown

    def _reserved(self, page: it.Page) -> dict[str, dict[int, int]]:
        """Object numbers for the form fields of a page, by grid and cell."""
        if self.form is None:
            return {}
        return {
            item.name: {cell: self.file.reserve() for cell, _ in item.fields}
            for item in page.items
            if isinstance(item, it.Table) and item.fields
        }

    def _notes(
        self,
        page: it.Page,
        here: Here,
        moved: tuple[float, float],
        fields: dict[str, dict[int, int]],
        pen: Pen,
    ) -> Iterator[int]:
        """The links and form fields of a page, in their order; named places are noted."""
        dx, dy = moved
        for item in page.items:
            if isinstance(item, it.Destination):
                self.places[item.name] = (
                    f"[{here.page} 0 R/XYZ {number(item.x + dx)} {number(item.y + dy)} 0]"
                )
            elif isinstance(item, it.Link | it.WebLink):
                yield self._link(item, here, moved)
            elif isinstance(item, it.Table) and self.form and item.name in fields:
                keys = pen.keys.get(item.name, {})
                yield from self.form.add(item, here.page, fields[item.name], keys)
            elif isinstance(item, it.NotesField) and self.form:
                own = self.file.reserve()
                yield self.form.notes(item, here.page, own, self._key(item.tag, own, here))

    def _link(self, item: it.Link | it.WebLink, here: Here, moved: tuple[float, float]) -> int:
        (left, bottom, right, top), (dx, dy) = item.box, moved
        sides = " ".join(map(number, (left + dx, bottom + dy, right + dx, top + dy)))
        if isinstance(item, it.Link):
            goal, words = f"/Dest{text_string(item.to)}", item.words
        else:
            goal, words = f"/A<</S/URI/URI{text_string(item.url)}>>", item.url
        link = self.file.reserve()
        key = self._key(item.tag, link, here)
        self.file.put(
            link,
            f"<</Type/Annot/Subtype/Link/Rect[{sides}]/Border[0 0 0]/F 4{goal}"
            f"/Contents{text_string(words)}{key}>>",
        )
        return link

    def _key(self, tag: it.Tag | None, note: int, here: Here) -> str:
        """The entry that leads from a live place to its element; empty where it has none."""
        if self.structure is None or tag is None:
            return ""
        return f"/StructParent {self.structure.annotation(tag, note, here.page)}"

    def catalogue(self, pages: list[int]) -> str:
        """The file's root: everything that a viewer is told of the whole."""
        file, edition = self.file, self.plan.edition
        entries = [f"<</Type/Catalog/Version/1.7/Pages {self.tree} 0 R/Lang({LANGUAGE})"]
        scaling = "" if edition.fields else "/PrintScaling/None"  # cells keep their millimetres
        entries.append(f"/ViewerPreferences<<{scaling}/DisplayDocTitle true>>")
        entries.append(f"/Metadata {file.stream(packet(self.plan), _XML, packed=False)} 0 R")
        if edition.links:
            entries.append(f"/Names<</Dests {destinations(file, self.places)} 0 R>>")
            entries.append(f"/Outlines {outline(file, self.plan, self.places)} 0 R")
            entries.append("/PageMode/UseOutlines")
            entries.append(f"/PageLabels {labels(file)} 0 R")
        if self.structure:
            self.structure.finish()
            entries.append(f"/MarkInfo<</Marked true>>/StructTreeRoot {self.structure.root} 0 R")
        if self.form:
            entries.append(f"/AcroForm {self.form.finish()} 0 R")
        return "".join(entries) + ">>"


_XML = "/Type/Metadata/Subtype/XML"


def _boxes(side: Side) -> str:
    """The page boxes of a side, as entries of its page."""
    media = box((0.0, 0.0, side.width, side.height))
    if side.trim is None or side.bleed is None:
        return f"/MediaBox{media}"
    return f"/MediaBox{media}/CropBox{media}/BleedBox{box(side.bleed)}/TrimBox{box(side.trim)}"


def _ground(side: Side, paper: float) -> str:
    """The dark of a dark page."""
    painted = f"{number(paper)} g 0 0 {number(side.width)} {number(side.height)} re f"
    return f"/Artifact BMC\n{painted}\nEMC"


def _info(plan: it.Plan) -> str:
    year, month = plan.dated
    date = f"(D:{year:04}{month:02}01000000Z)"
    words = {
        "Title": plan.title,
        "Author": plan.author,
        "Subject": plan.subject,
        "Keywords": ", ".join(plan.keywords),
        "Creator": f"packbuilder {__version__}",
        "Producer": "packbuilder, with fonts cut by ReportLab",
    }
    told = "".join(f"/{name}{text_string(text)}" for name, text in words.items())
    return f"<<{told}/CreationDate{date}/ModDate{date}/Trapped/False>>"


def _references(numbers: list[int]) -> str:
    return " ".join(f"{number} 0 R" for number in numbers)
