"""What hides beside the pages: each key that no file of the house has is told by its name."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pypdf
import pytest
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    TextStringObject,
)

from packbuilder.book.book import Book
from tests.readback.conftest import Refused
from tests.readback.signed import PACKET, put_packet
from tests.readback.test_links import all_bookmarks
from tests.readback.test_pages import edited
from tests.readback.told import told

Edit = Callable[[pypdf.PdfWriter], None]


def table(**keys: Any) -> DictionaryObject:
    return DictionaryObject({NameObject(f"/{key}"): value for key, value in keys.items()})


def script() -> DictionaryObject:
    return table(S=NameObject("/JavaScript"), JS=TextStringObject("app.alert(1)"))


def of_root(key: str, value: Any) -> Edit:
    def edit(writer: pypdf.PdfWriter) -> None:
        writer.root_object[NameObject(key)] = value

    return edit


def of_page(key: str, value: Any) -> Edit:
    def edit(writer: pypdf.PdfWriter) -> None:
        writer.pages[4][NameObject(key)] = value

    return edit


def of_link(key: str, value: Any) -> Edit:
    def edit(writer: pypdf.PdfWriter) -> None:
        notes: Any = writer.pages[4]["/Annots"]
        notes[0].get_object()[NameObject(key)] = value

    return edit


def opening(writer: pypdf.PdfWriter) -> None:
    """A harmless way to open the file, and what follows it."""
    aim = ArrayObject([writer.pages[2].indirect_reference, NameObject("/Fit")])
    of_root("/OpenAction", table(S=NameObject("/GoTo"), D=aim, Next=script()))(writer)


def followed(writer: pypdf.PdfWriter) -> None:
    """A harmless link, and what follows it."""
    launch = table(S=NameObject("/Launch"), F=TextStringObject("calc.exe"))
    link = table(Type=NameObject("/Annot"), Subtype=NameObject("/Link"))
    link[NameObject("/Rect")] = ArrayObject(NumberObject(v) for v in (100, 60, 140, 80))
    address = TextStringObject("https://example.org")
    link[NameObject("/A")] = table(S=NameObject("/URI"), URI=address, Next=launch)
    notes: Any = writer.pages[4]["/Annots"]
    notes.append(writer._add_object(link))


def attached(writer: pypdf.PdfWriter) -> None:
    writer.add_attachment("notes.txt", b"read me")


def bookmark(writer: pypdf.PdfWriter) -> None:
    entry = all_bookmarks(writer)[3]
    action = table(S=NameObject("/GoTo"), D=entry["/Dest"], Next=script())
    del entry[NameObject("/Dest")]
    entry[NameObject("/A")] = action


def image(writer: pypdf.PdfWriter) -> None:
    stream = DecodedStreamObject()
    stream.set_data(b"\0")
    stream[NameObject("/Subtype")] = NameObject("/Image")
    resources: Any = writer.pages[4]["/Resources"]
    resources[NameObject("/XObject")] = table(Im=writer._add_object(stream))


def unsorted(writer: pypdf.PdfWriter) -> None:
    place = ArrayObject([writer.pages[4].indirect_reference, NameObject("/Fit")])
    names = ArrayObject([TextStringObject("b"), place, TextStringObject("a"), place])
    of_root("/Names", table(Dests=table(Names=names)))(writer)


def number(value: int) -> NumberObject:
    return NumberObject(value)


BOX = ArrayObject(NumberObject(v) for v in (100, 100, 200, 200))


@pytest.mark.parametrize(
    "edit, code, words, page",
    [
        (opening, "active", "the catalogue holds what no file of the house has: OpenAction", None),
        (followed, "active", "the action of a link holds what no file of the house has: Next", 5),
        (of_link("/AA", table(E=script())), "active", "a link holds", 5),
        (of_link("/F", number(2)), "link", "hidden", 5),
        (of_link("/Border", ArrayObject(number(v) for v in (0, 0, 9))), "link", "a border", 5),
        (of_link("/BS", table(W=number(9))), "active", "a link holds", 5),
        (bookmark, "active", "has: Next", None),
        (attached, "active", "names holds what no file of the house has: EmbeddedFiles", None),
        (of_root("/AF", ArrayObject([number(1)])), "active", "AF", None),
        (of_root("/URI", table(Base=TextStringObject("http://x"))), "active", "URI", None),
        (of_root("/Collection", table(View=NameObject("/H"))), "active", "Collection", None),
        (of_root("/PageMode", NameObject("/FullScreen")), "active", "FullScreen", None),
        (of_root("/ViewerPreferences", table()), "active", "PrintScaling is ''", None),
        (unsorted, "destination", "named place 'a' stands out of order", None),
        (of_page("/Dur", number(1)), "active", "Dur", 5),
        (of_page("/Trans", table(S=NameObject("/Dissolve"))), "active", "Trans", 5),
        (of_page("/AA", table(O=script())), "active", "AA", 5),
        (of_page("/PieceInfo", table(X=number(1))), "active", "PieceInfo", 5),
        (of_page("/Group", table(S=NameObject("/Transparency"))), "active", "Group", 5),
        (of_page("/TrimBox", BOX), "active", "TrimBox", 5),
        (of_page("/ArtBox", BOX), "active", "ArtBox", 5),
        (image, "active", "an object of another kind: Image", 5),
    ],
)
def test_each_thing_beside_the_pages_is_told(
    good: bytes, book: Book, edit: Edit, code: str, words: str, page: int | None
) -> None:
    told(edited(good, edit), book, code, words, page=page)


# --- metadata ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "key, value, words",
    [
        ("/Title", "Harbor Lights", "the Title 'Harbor Lights'; it must be 'Harbour Lights'"),
        ("/Author", "Someone Else", "the Author 'Someone Else'"),
        ("/Keywords", "jo@home.example", "the Keywords 'jo@home.example'"),
        ("/Producer", "/home/jo/press", "the Producer '/home/jo/press'"),
        ("/CreationDate", "D:20261201093012Z", "the CreationDate"),
        ("/Secret", "x", "Secret, which no file of the house has"),
    ],
)
def test_each_fault_of_the_information_is_told(
    good: bytes, refused: Refused, key: str, value: str, words: str
) -> None:
    data = edited(good, lambda writer: writer.add_metadata({key: value}))
    assert words in refused(data, "metadata").message


def packet(good: bytes, old: str, new: str) -> bytes:
    def edit(writer: pypdf.PdfWriter) -> None:
        root: Any = writer.root_object
        text = root["/Metadata"].get_data().decode()
        assert old in text
        put_packet(writer, text.replace(old, new, 1).encode())

    return edited(good, edit)


@pytest.mark.parametrize(
    "old, new, words",
    [
        ("Harbour Lights", "Other Title", "'Other Title'; it must be 'Harbour Lights'"),
        ("</x:xmpmeta>", "<!-- at home --></x:xmpmeta>", "comments or instructions"),
        ("<dc:format>", "<dc:source>at home</dc:source><dc:format>", "dc:source, which no file"),
        ("<dc:format>application/pdf</dc:format>", "", "dc:format; it must be"),
        ("<dc:format>", "at home<dc:format>", "text between its parts"),
        ("</x:xmpmeta>", "", "no whole XML"),
        (
            "<x:xmpmeta",
            '<!DOCTYPE x [<!ENTITY a "aaaa">]><x:xmpmeta',
            "comments or instructions",
        ),
    ],
)
def test_each_fault_of_the_packet_is_told(
    good: bytes, refused: Refused, old: str, new: str, words: str
) -> None:
    assert old in PACKET or old == "Harbour Lights"
    assert words in refused(packet(good, old, new), "metadata").message


def test_a_file_without_a_packet_is_told(good: bytes, refused: Refused) -> None:
    def drop(writer: pypdf.PdfWriter) -> None:
        del writer.root_object[NameObject("/Metadata")]

    assert "no XMP packet" in refused(edited(good, drop), "metadata").message
