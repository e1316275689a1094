"""What a file of the house says of itself, written by pypdf to the letter of the house style."""

from __future__ import annotations

import io
from typing import Any
from xml.sax.saxutils import escape

import pypdf
from pypdf.generic import (
    BooleanObject,
    DecodedStreamObject,
    DictionaryObject,
    NameObject,
    TextStringObject,
)

from packbuilder import __version__
from packbuilder.book.book import Book

PRODUCER = "packbuilder, with fonts cut by ReportLab"

PACKET = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><r:RDF xmlns:r="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<r:Description r:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/">
<dc:format>application/pdf</dc:format>
<dc:title><r:Alt><r:li xml:lang="x-default">{Title}</r:li></r:Alt></dc:title>
<dc:creator><r:Seq><r:li>{Author}</r:li></r:Seq></dc:creator>
<dc:description><r:Alt><r:li xml:lang="x-default">{Subject}</r:li></r:Alt></dc:description>
<dc:language><r:Bag><r:li>en</r:li></r:Bag></dc:language>
<pdf:Keywords>{Keywords}</pdf:Keywords><pdf:Producer>{Producer}</pdf:Producer>
<xmp:CreatorTool>{Creator}</xmp:CreatorTool>
<xmp:CreateDate>{date}</xmp:CreateDate><xmp:ModifyDate>{date}</xmp:ModifyDate>
</r:Description></r:RDF></x:xmpmeta><?xpacket end="r"?>"""

MONTHS = {"2026-12": "December 2026", "2026-11": "November 2026"}


def signed(data: bytes, book: Book) -> bytes:
    """A file with the information, the packet and the preferences of the house."""
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(data))
    pack, (year, month) = book.pack, book.pack.issue.split("-")
    kinds = dict.fromkeys(e.puzzle.geometry.name().replace(",", "") for e in book.entries)
    setters = dict.fromkeys(e.puzzle.setter for e in book.entries)
    words = {
        "Title": pack.title,
        "Author": pack.byline,
        "Subject": f"{pack.theme} ({MONTHS[pack.issue]})".lstrip(),
        "Keywords": ", ".join(["number-placement puzzles", *kinds, *setters]),
        "Creator": f"packbuilder {__version__}",
        "Producer": PRODUCER,
    }
    date = f"D:{year}{month}01000000Z"
    writer.metadata = {f"/{k}": v for k, v in words.items()} | {
        "/CreationDate": date,
        "/ModDate": date,
        "/Trapped": NameObject("/False"),
    }
    told = {k: escape(v) for k, v in words.items()}
    packet = PACKET.format(**told, date=f"{year}-{month}-01T00:00:00Z")
    put_packet(writer, packet.encode())
    scaling = {} if book.edition.fields else {NameObject("/PrintScaling"): NameObject("/None")}
    writer.root_object[NameObject("/ViewerPreferences")] = DictionaryObject(
        {NameObject("/DisplayDocTitle"): BooleanObject(True), **scaling}
    )
    return saved(writer)


def put_packet(writer: pypdf.PdfWriter, packet: bytes) -> None:
    stream = DecodedStreamObject()
    stream.set_data(packet)
    stream[NameObject("/Type")] = NameObject("/Metadata")
    stream[NameObject("/Subtype")] = NameObject("/XML")
    writer.root_object[NameObject("/Metadata")] = writer._add_object(stream)


def saved(writer: pypdf.PdfWriter) -> bytes:
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def reopened(data: bytes) -> pypdf.PdfWriter:
    """A file to be edited. pypdf signs what it opens as its own: the signature is put back."""
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(data))
    info: Any = writer._info
    info[NameObject("/Producer")] = TextStringObject(PRODUCER)
    return writer


def take_over(writer: pypdf.PdfWriter, source: pypdf.PdfReader) -> None:
    """Let a new file say of itself what another one says."""
    root: Any = source.trailer["/Root"]
    writer.metadata = dict(source.metadata or {})
    put_packet(writer, root["/Metadata"].get_data())
    writer.root_object[NameObject("/ViewerPreferences")] = root["/ViewerPreferences"].clone(writer)
