"""Files that cannot be read end in one sentence; what can be read and lies is told."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pypdf
import pytest
from pypdf.generic import DecodedStreamObject, DictionaryObject, NameObject

from packbuilder.book.book import Book
from packbuilder.errors import InputError
from packbuilder.readback import document, read
from tests.readback.conftest import Refused
from tests.readback.test_pages import edited
from tests.readback.tiny_press import CLUE


def sentence(data: bytes | Path, book: Book) -> str:
    with pytest.raises(InputError) as fault:
        read(data, book)
    return str(fault.value)


def test_what_is_no_pdf(book: Book, good: bytes, tmp_path: Path) -> None:
    assert sentence(b"", book) == "the PDF: is empty; build the pack again"
    assert sentence(b"  \n", book) == "the PDF: is empty; build the pack again"
    assert "is not a PDF" in sentence(b"\x89PNG\r\n\x1a\n" + bytes(100), book)
    assert "is cut short" in sentence(good[: len(good) // 2], book)
    assert "name a PDF file" in sentence(tmp_path / "none.pdf", book)
    assert "name a PDF file" in sentence(tmp_path, book)
    path = tmp_path / "pack.pdf"
    path.write_text("hello")
    assert sentence(path, book) == "pack.pdf: is not a PDF (it does not begin with %PDF-)"


def test_a_file_on_disk_reads_like_its_bytes(book: Book, good: bytes, tmp_path: Path) -> None:
    path = tmp_path / "pack.pdf"
    path.write_bytes(good)
    assert read(path, book).ok


def test_a_huge_file(book: Book, good: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(document, "MAX_BYTES", 100_000)
    assert "the read-back takes 0 MB at most" in sentence(good, book)


def test_too_many_pages(book: Book, good: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(document, "MAX_PAGES", 10)
    assert "has 11 pages; 10 can be read" in sentence(good, book)


def test_too_many_marks(book: Book, good: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(document, "MAX_MARKS", 50)
    assert "page 2 holds too many marks" in sentence(good, book)


def test_a_page_that_unpacks_to_a_flood(book: Book, good: bytes) -> None:
    def flood(writer: pypdf.PdfWriter) -> None:
        stream = DecodedStreamObject()
        stream.set_data(b"q Q " * 25_000_000)
        writer.pages[2][NameObject("/Contents")] = writer._add_object(stream.flate_encode())

    assert "damaged" in sentence(edited(good, flood), book)


def test_an_encrypted_file(book: Book, good: bytes) -> None:
    def lock(writer: pypdf.PdfWriter) -> None:
        writer.encrypt("secret", algorithm="AES-128")

    assert sentence(edited(good, lock), book) == (
        "the PDF is encrypted; read back the file as it was built"
    )


def test_a_file_without_pages(book: Book) -> None:
    writer = pypdf.PdfWriter()
    out = io.BytesIO()
    writer.write(out)
    assert "no pages" in sentence(out.getvalue(), book)


@pytest.mark.parametrize("seed", range(12))
def test_bytes_turned_over_never_give_a_traceback(book: Book, good: bytes, seed: int) -> None:
    import random

    rng = random.Random(seed)
    data = bytearray(good)
    for _ in range(300):
        data[rng.randrange(20, len(data) - 40)] = rng.randrange(256)
    try:
        seen = read(bytes(data), book)
    except InputError as fault:
        assert "\n" not in str(fault)
    else:
        assert not seen.ok


# --- fonts ------------------------------------------------------------------------------------


def faces(writer: pypdf.PdfWriter, name: str) -> list[DictionaryObject]:
    objects = (reference.get_object() for reference in writer._objects if reference is not None)
    return [
        o
        for o in objects
        if isinstance(o, DictionaryObject)
        and o.get("/Type") == "/Font"
        and name in str(o.get("/BaseFont"))
    ]


def test_a_font_without_its_file_is_told(good: bytes, refused: Refused) -> None:
    def strip(writer: pypdf.PdfWriter) -> None:
        for font in faces(writer, CLUE):
            del font["/FontDescriptor"].get_object()[NameObject("/FontFile2")]

    assert CLUE in refused(edited(good, strip), "font").message


def test_a_font_of_another_house_is_told(good: bytes, refused: Refused) -> None:
    def rename(writer: pypdf.PdfWriter) -> None:
        for font in faces(writer, CLUE):
            font[NameObject("/BaseFont")] = NameObject("/AAAAAA+Comic")

    assert "Comic" in refused(edited(good, rename), "font").message


def test_a_font_in_a_form_field_is_told(good: bytes, refused: Refused) -> None:
    def add(writer: pypdf.PdfWriter) -> None:
        font = DictionaryObject(
            {
                NameObject("/Type"): NameObject("/Font"),
                NameObject("/Subtype"): NameObject("/Type1"),
                NameObject("/BaseFont"): NameObject("/Courier"),
            }
        )
        fonts = DictionaryObject({NameObject("/Co"): font})
        resources = DictionaryObject({NameObject("/Font"): fonts})
        form = DictionaryObject({NameObject("/DR"): resources})
        writer.root_object[NameObject("/AcroForm")] = form

    assert "Courier" in refused(edited(good, add), "font").message


def swapped(data: bytes, one: str, other: str, *, glyphs_too: bool) -> bytes:
    """The clue face's text map with two digits exchanged, and the codes on the pages with them.

    With ``glyphs_too`` the text stays true and the ink changes; else the text changes.
    """

    def swap(writer: pypdf.PdfWriter) -> None:
        for font in faces(writer, CLUE):
            stream = font["/ToUnicode"].get_object()
            text = stream.get_data().decode("latin-1")
            codes = dict(re.findall(r"<([0-9A-F]{2})> <00(3[0-9])>", text.upper()))
            if not codes:
                codes = ranged(text.upper())
            at = {chr(int(v, 16)): k for k, v in codes.items()}
            stream.set_data(exchanged(text, at[one], at[other], codes).encode("latin-1"))
            if glyphs_too:
                exchange_codes(writer, font, int(at[one], 16), int(at[other], 16))

    return edited(data, swap)


def ranged(text: str) -> dict[str, str]:
    """Codes of the digits in a map written as ranges with lists: <00> <0A> [<0031> ...]."""
    codes = {}
    for low, listed in re.findall(r"<([0-9A-F]{2})> <[0-9A-F]{2}> \[(.*?)\]", text, re.DOTALL):
        for k, value in enumerate(re.findall(r"<00([0-9A-F]{2})>", listed)):
            codes[f"{int(low, 16) + k:02X}"] = value
    return codes


def exchanged(text: str, one: str, other: str, codes: dict[str, str]) -> str:
    a, b = f"<00{codes[one]}>", f"<00{codes[other]}>"
    return text.replace(a, "<??>").replace(b, a).replace("<??>", b)


def exchange_codes(writer: pypdf.PdfWriter, font: DictionaryObject, one: int, other: int) -> None:
    """Exchange two codes in what each page shows in this font."""
    reference = font.indirect_reference
    for page in writer.pages:
        fonts = page["/Resources"]["/Font"]
        (name,) = [k for k in fonts if fonts.raw_get(k) == reference]
        content = page.get_contents()
        if content is None:
            continue
        data = content.get_data()
        pattern = re.escape(name.encode()) + rb" [\d.]+ Tf.*?T[*j]"
        turned = re.sub(pattern, lambda m: turn(m[0], one, other), data, flags=re.DOTALL)
        fresh = DecodedStreamObject()
        fresh.set_data(turned)
        page[NameObject("/Contents")] = writer._add_object(fresh)


def turn(shown: bytes, one: int, other: int) -> bytes:
    """The string of a text operator with two octal or plain codes exchanged."""
    start, end = shown.index(b"("), shown.rindex(b")")
    table = bytes.maketrans(bytes([one, other]), bytes([other, one]))
    inside = re.sub(rb"\\(\d{3})", lambda m: bytes([int(m[1], 8)]), shown[start + 1 : end])
    turned = b"".join(b"\\%03o" % byte for byte in inside.translate(table))
    return shown[: start + 1] + turned + shown[end:]


def test_a_text_map_that_lies_is_told_by_the_text(good: bytes, refused: Refused) -> None:
    refused(swapped(good, "4", "7", glyphs_too=False), "digit-wrong", 5)


def test_glyphs_under_a_text_map_that_lies_are_told_by_the_ink(
    good: bytes, refused: Refused
) -> None:
    data = swapped(good, "4", "7", glyphs_too=True)
    assert "looks like" in refused(data, "ink-wrong", 5).message
    with pytest.raises(AssertionError, match="no digit-wrong"):
        refused(data, "digit-wrong")  # the text alone would have let it pass
