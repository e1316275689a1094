"""Fields to type in: over each empty cell of each puzzle, and nowhere else."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pypdf
import pytest
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    NumberObject,
    TextStringObject,
)

from packbuilder.book.book import Book
from packbuilder.grid import cell_name
from packbuilder.readback import read
from tests.readback import books
from tests.readback.editions.make import Note, Notes, field, fields_of, with_fields, written
from tests.readback.test_pages import edited
from tests.readback.tiny_press import Press
from tests.readback.told import told


@pytest.fixture(scope="module")
def typed() -> Book:
    book = books.single()
    return replace(book, edition=replace(books.PLAIN_PRINT, fields=True))


@pytest.fixture(scope="module")
def page(typed: Book) -> bytes:
    return Press(typed).print()


@pytest.fixture
def notes(typed: Book) -> Notes:
    return fields_of(typed)


def cells(book: Book, clue: bool) -> list[int]:
    return [c for c, v in enumerate(book.entries[0].puzzle.clues) if bool(v) is clue]


def test_a_field_over_each_empty_cell_passes(page: bytes, typed: Book, notes: Notes) -> None:
    assert read(with_fields(page, notes), typed).findings == ()


def test_a_print_without_fields_or_with_them_where_there_must_be_none(
    page: bytes, typed: Book, notes: Notes
) -> None:
    first = cells(typed, clue=False)[0]
    found = told(page, typed, "field-missing", "has no field to type in", page=4, number=1)
    assert found.cells[0] == cell_name(first, 9)
    assert len(found.cells) == len(notes[4])
    paper = replace(typed, edition=books.PLAIN_PRINT)
    told(with_fields(page, notes), paper, "active", "a field to type in", page=4)


def test_a_field_on_a_clue_is_told(page: bytes, typed: Book, notes: Notes) -> None:
    clue = cells(typed, clue=True)[0]
    notes[4].append(field(1, clue, 9))
    told(with_fields(page, notes), typed, "field-extra", "over the clue", cell=cell_name(clue, 9))


def test_a_missing_field_is_told(page: bytes, typed: Book, notes: Notes) -> None:
    del notes[4][7]
    cell = cell_name(cells(typed, clue=False)[7], 9)
    found = told(with_fields(page, notes), typed, "field-missing", page=4, number=1, cell=cell)
    assert found.cells == (cell,)


def test_a_field_twice_or_elsewhere_is_told(page: bytes, typed: Book, notes: Notes) -> None:
    notes[4].append(field(1, cells(typed, clue=False)[0], 9))
    notes[3] = [field(1, 80, 9)]
    data = with_fields(page, notes)
    told(data, typed, "field-extra", "2 form fields", page=4)
    told(data, typed, "field-extra", "where no empty cell", page=3)


def put(key: str, value: Any) -> Callable[[Note], None]:
    def edit(note: Note) -> None:
        note[NameObject(key)] = value

    return edit


def moved(note: Note) -> None:
    box = [float(v) for v in note["/Rect"]]
    note[NameObject("/Rect")] = ArrayObject(FloatObject(v + 2) for v in box)


def flags(*pairs: tuple[str, int]) -> Callable[[Note], None]:
    def edit(note: Note) -> None:
        for key, value in pairs:
            note[NameObject(key)] = NumberObject(value)

    return edit


def inked(note: Note) -> None:
    stream = DecodedStreamObject()
    stream.set_data(b"/Tx BMC q BT /F 20 Tf 0 g 5 5 Td (5) Tj ET Q EMC")
    note[NameObject("/AP")] = DictionaryObject({NameObject("/N"): stream})


def covering(note: Note) -> None:
    white = ArrayObject([FloatObject(1)])
    note[NameObject("/MK")] = DictionaryObject({NameObject("/BG"): white})


def bordered(note: Note) -> None:
    red = ArrayObject([FloatObject(1), FloatObject(0), FloatObject(0)])
    note[NameObject("/MK")] = DictionaryObject({NameObject("/BC"): red})


def script() -> DictionaryObject:
    run = DictionaryObject({NameObject("/S"): NameObject("/JavaScript")})
    run[NameObject("/JS")] = TextStringObject("app.alert('no')")
    return DictionaryObject({NameObject("/K"): run})


@pytest.mark.parametrize(
    "edit, code, words",
    [
        (put("/V", TextStringObject("5")), "field", "holds '5' already"),
        (put("/DV", TextStringObject("5")), "field", "holds '5' already"),
        (put("/T", TextStringObject("p1-r9c9x")), "field", "is named 'p1-r9c9x'"),
        (put("/TU", TextStringObject("Puzzle 1")), "field", "is told as 'Puzzle 1'"),
        (put("/MaxLen", NumberObject(2)), "field", "more than one character"),
        (put("/Q", NumberObject(0)), "field", "does not centre"),
        (put("/FT", NameObject("/Btn")), "field", "is no text field"),
        (put("/AA", script()), "field", "runs an action"),
        (flags(("/Ff", 1)), "field", "cannot be typed into"),
        (flags(("/Ff", 1 << 13)), "field", "cannot be typed into"),
        (flags(("/F", 2)), "field", "is hidden"),
        (put("/DA", TextStringObject("/F 0 Tf 0.8 g")), "contrast", "stands out from the page"),
        (put("/DA", TextStringObject("/Helv 0 Tf 0 g")), "font", "which its form does not carry"),
        (put("/DA", TextStringObject("0 g")), "font", "asks for no font"),
        (moved, "field", "a point inside its cell"),
        (inked, "field", "ink in it"),
        (covering, "field", "covers its cell"),
        (bordered, "field", "a border or a label"),
        (put("/BS", DictionaryObject({NameObject("/W"): NumberObject(6)})), "field", "a border"),
        (put("/DA", TextStringObject("/F 1 Tf 0 g")), "field", "in 1 pt, which is not 0.6"),
        (put("/DA", TextStringObject("/F 0 Tf 0 g")), "field", "in 0 pt, which is not 0.6"),
        (put("/DA", TextStringObject("3 Tr /F 30 Tf 0 g")), "field", "has the look '3 Tr"),
    ],
)
def test_each_fault_of_a_field_is_told(
    page: bytes, typed: Book, notes: Notes, edit: Callable[[Note], None], code: str, words: str
) -> None:
    edit(notes[4][3])
    told(with_fields(page, notes), typed, code, words, page=4)


def test_an_appearance_without_ink_passes(page: bytes, typed: Book, notes: Notes) -> None:
    stream = DecodedStreamObject()
    stream.set_data(b"/Tx BMC EMC")
    put("/AP", DictionaryObject({NameObject("/N"): stream}))(notes[4][3])
    assert read(with_fields(page, notes), typed).findings == ()


def test_fields_that_no_viewer_is_asked_to_draw_are_told(
    page: bytes, typed: Book, notes: Notes
) -> None:
    def forget(writer: pypdf.PdfWriter) -> None:
        form: Any = writer.root_object["/AcroForm"]
        del form[NameObject("/NeedAppearances")]

    told(edited(with_fields(page, notes), forget), typed, "active", "NeedAppearances")


def test_fields_out_of_order_are_told(page: bytes, typed: Book, notes: Notes) -> None:
    notes[4][5], notes[4][6] = notes[4][6], notes[4][5]
    told(with_fields(page, notes), typed, "field", "in the order of rows", page=4, number=1)
    told(with_fields(page, fields_of(typed), "/R"), typed, "field", "tab order", page=4)


def test_other_active_content_is_told(page: bytes, typed: Book, notes: Notes) -> None:
    def more(writer: pypdf.PdfWriter) -> None:
        form: Any = writer.root_object["/AcroForm"]
        form[NameObject("/XFA")] = TextStringObject("x")
        form[NameObject("/CO")] = ArrayObject()
        form["/Fields"].pop()
        writer.root_object[NameObject("/AA")] = script()

    data = edited(with_fields(page, notes), more)
    told(data, typed, "active", "an XFA form")
    told(data, typed, "active", "fields that are reckoned")
    told(data, typed, "active", "that its form does not list")
    told(data, typed, "active", "a script")


def test_a_field_in_a_face_that_is_not_there_is_told(page: bytes, typed: Book) -> None:
    def more(writer: pypdf.PdfWriter) -> None:
        font = DictionaryObject(
            {
                NameObject("/Type"): NameObject("/Font"),
                NameObject("/Subtype"): NameObject("/Type1"),
                NameObject("/BaseFont"): NameObject("/Helvetica"),
            }
        )
        form: Any = writer.root_object["/AcroForm"]
        form["/DR"]["/Font"][NameObject("/G")] = writer._add_object(font)

    told(edited(with_fields(page, fields_of(typed)), more), typed, "font", "Helvetica")


def test_fields_filled_by_another_program_are_told(page: bytes, typed: Book) -> None:
    """A reader's own copy, filled by pypdf, is no longer the file that was released."""
    writer = pypdf.PdfWriter(clone_from=pypdf.PdfReader(_file(with_fields(page, fields_of(typed)))))
    name = f"p1-{cell_name(cells(typed, clue=False)[0], 9)}"
    writer.update_page_form_field_values(writer.pages[3], {name: "7"}, auto_regenerate=False)
    told(written(writer), typed, "field", "holds '7' already", page=4)


def _file(data: bytes) -> Any:
    import io

    return io.BytesIO(data)
