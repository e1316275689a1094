"""Links, named places, bookmarks and page labels: each leads where it says, or is told."""

from __future__ import annotations

from collections.abc import Callable

import pypdf
import pytest
from pypdf.annotations import FreeText, Link
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    TextStringObject,
)
from reportlab.pdfgen.canvas import Canvas

from packbuilder.book.book import Book
from packbuilder.readback.links import aim
from tests.readback.conftest import Refused
from tests.readback.test_pages import edited
from tests.readback.tiny_press import Press


def aimed(book: Book, section: str, name: str, other: str) -> bytes:
    """The link on a section's pages that says ``name`` leads to another place."""

    class Tampered(Press):
        def aim(self, where: str, what: str) -> str:
            return other if (where, what) == (section, name) else what

    return Tampered(book).print()


@pytest.mark.parametrize(
    "section, name, other, page",
    [
        ("Contents", "puzzle-2", "puzzle-3", 2),  # another page
        ("Contents", "answer-2", "answer-3", 2),  # the same page, another grid
        ("Puzzles", "answer-2", "answer-1", 5),
        ("Puzzles", "hint-2-1", "hint-3-1", 5),
        ("Puzzles", "hint-2-1", "hint-2-3", 5),  # gives the step away
        ("First hints", "hint-2-2", "hint-1-2", 7),
        ("Answers", "puzzle-2", "puzzle-1", 10),
    ],
)
def test_a_redirected_link_is_told(
    book: Book, refused: Refused, section: str, name: str, other: str, page: int
) -> None:
    refused(aimed(book, section, name, other), "link", page)


@pytest.mark.parametrize("name, page", [("puzzle-2", 2), ("hint-2-1", 5), ("answer-2", 5)])
def test_a_wrong_printed_page_is_told(book: Book, refused: Refused, name: str, page: int) -> None:
    class Tampered(Press):
        def reference(self, what: str, number: int) -> int:
            return number + 1 if what == name else number

    assert "must end in that number" in refused(Tampered(book).print(), "link", page).message


def test_a_printed_page_without_a_link_is_told(book: Book, refused: Refused) -> None:
    class Tampered(Press):
        def after(self, section: str, canvas: Canvas) -> None:
            if section == "Puzzles":
                self.text(60, 70, "See also page 9", 10)

    assert "page 9" in refused(Tampered(book).print(), "link-missing", 5).message


def test_a_link_that_is_not_there_is_told(book: Book, refused: Refused) -> None:
    class Tampered(Press):
        def link(self, section: str, x: float, y: float, words: str, name: str,
                 size: float = 9.5) -> None:  # fmt: skip
            if (section, name) != ("Answers", "puzzle-2"):
                super().link(section, x, y, words, name, size)

    found = refused(Tampered(book).print(), "link-missing", number=2)
    assert found.message == "no link leads from Answers to puzzle-2"


@pytest.mark.parametrize(
    "x, y", [(0.0, -40.0), (250.0, 0.0)], ids=["below the caption", "at its neighbour"]
)
def test_a_named_place_off_its_item_is_told(
    book: Book, refused: Refused, x: float, y: float
) -> None:
    class Tampered(Press):
        def spot_of(self, name: str, left: float, top: float) -> tuple[float, float]:
            return (left + x, top + y) if name == "answer-1" else (left, top)

    assert "answer-1" in refused(Tampered(book).print(), "destination", 10, number=1).message


def drop_links(writer: pypdf.PdfWriter) -> None:
    del writer.pages[4][NameObject("/Annots")]


def drop_places(writer: pypdf.PdfWriter) -> None:
    del writer.root_object[NameObject("/Dests")][NameObject("/answer-2")]


def drop_labels(writer: pypdf.PdfWriter) -> None:
    del writer.root_object[NameObject("/PageLabels")]


def drop_bookmarks(writer: pypdf.PdfWriter) -> None:
    del writer.root_object[NameObject("/Outlines")]


def drop_title(writer: pypdf.PdfWriter) -> None:
    writer.add_metadata({"/Title": "Another Pack"})


def add_note(writer: pypdf.PdfWriter) -> None:
    writer.add_annotation(4, FreeText(text="5", rect=(100, 500, 140, 540)))


def add_layers(writer: pypdf.PdfWriter) -> None:
    writer.root_object[NameObject("/OCProperties")] = DictionaryObject()


def add_script(writer: pypdf.PdfWriter) -> None:
    action = {NameObject("/S"): NameObject("/JavaScript"), NameObject("/JS"): TextStringObject("")}
    writer.root_object[NameObject("/OpenAction")] = DictionaryObject(action)


def add_launch(writer: pypdf.PdfWriter) -> None:
    link = Link(rect=(100, 60, 140, 80), url="https://example.org")
    link[NameObject("/A")][NameObject("/S")] = NameObject("/Launch")
    writer.add_annotation(4, link)


def add_address(writer: pypdf.PdfWriter) -> None:
    writer.add_annotation(4, Link(rect=(100, 60, 140, 80), url="https://example.org/elsewhere"))


def add_dead_link(writer: pypdf.PdfWriter) -> None:
    link = Link(rect=(60, 88, 120, 99), target_page_index=2)
    link[NameObject("/Dest")] = TextStringObject("nowhere")
    writer.add_annotation(4, link)


def add_field(writer: pypdf.PdfWriter) -> None:
    fields = ArrayObject([writer._add_object(DictionaryObject())])
    writer.root_object[NameObject("/AcroForm")] = DictionaryObject({NameObject("/Fields"): fields})


@pytest.mark.parametrize(
    "edit, code, page",
    [
        (drop_links, "link-missing", None),
        (drop_places, "destination", None),
        (drop_labels, "label", 1),
        (drop_bookmarks, "bookmark", None),
        (drop_title, "metadata", None),
        (add_note, "active", 5),
        (add_layers, "active", None),
        (add_script, "active", None),
        (add_launch, "active", 5),
        (add_address, "link", 5),
        (add_dead_link, "link", 5),
        (add_field, "active", None),
    ],
)
def test_each_fault_of_the_files_own_signs_is_told(
    good: bytes, refused: Refused, edit: Callable[[pypdf.PdfWriter], None], code: str,
    page: int | None,
) -> None:  # fmt: skip
    refused(edited(good, edit), code, page)


def test_a_bookmark_that_leads_astray_is_told(good: bytes, refused: Refused) -> None:
    def swap(writer: pypdf.PdfWriter) -> None:
        for number in (1, 2):  # both puzzles' bookmarks lead to page 4
            for item in all_bookmarks(writer):
                if str(item.get("/Title", "")).startswith(f"{number}  "):
                    target = ArrayObject([writer.pages[3].indirect_reference, NameObject("/Fit")])
                    item[NameObject("/Dest")] = target

    refused(edited(good, swap), "bookmark", 4, number=2)


def test_a_bookmark_with_another_title_is_told(good: bytes, refused: Refused) -> None:
    def rename(writer: pypdf.PdfWriter) -> None:
        for item in all_bookmarks(writer):
            if "Water" in str(item.get("/Title", "")):
                item[NameObject("/Title")] = TextStringObject("2  High Water")

    refused(edited(good, rename), "bookmark", None, number=2)


def test_labels_that_start_at_another_number_are_told(good: bytes, refused: Refused) -> None:
    def shift(writer: pypdf.PdfWriter) -> None:
        labels = writer.root_object["/PageLabels"]["/Nums"]
        labels[-1].get_object()[NameObject("/St")] = NumberObject(3)

    refused(edited(good, shift), "label", 2)


def all_bookmarks(writer: pypdf.PdfWriter) -> list[DictionaryObject]:
    objects = (reference.get_object() for reference in writer._objects if reference is not None)
    return [o for o in objects if isinstance(o, DictionaryObject) and "/Title" in o]


def test_names_of_places() -> None:
    assert aim("puzzle-12") == ("Puzzles", 12)
    assert aim("hint-12-3") == ("Third hints", 12)
    assert aim("answer-1") == ("Answers", 1)
    for name in ("hint-12", "hint-1-4", "puzzle-1-2", "credits", None):
        assert aim(name) is None
