"""What the file says of itself, held against the pack: its information and its XMP packet."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree

from packbuilder import __version__
from packbuilder.book.book import Book
from packbuilder.readback.document import readable
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import plain

if TYPE_CHECKING:
    from pypdf import PdfReader

MOST = 100_000
"""Bytes of a packet; one of the house has about 2,000."""
TOPIC = "number-placement puzzles"
PRODUCER = "packbuilder, with fonts cut by ReportLab"
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

_NAMES = {
    "adobe:ns:meta/": "x",
    "http://www.w3.org/1999/02/22-rdf-syntax-ns#": "rdf",
    "http://purl.org/dc/elements/1.1/": "dc",
    "http://ns.adobe.com/xap/1.0/": "xmp",
    "http://ns.adobe.com/pdf/1.3/": "pdf",
    "http://www.w3.org/XML/1998/namespace": "xml",
}
_FRAME = re.compile(
    rb'<\?xpacket (?:begin="[^"]{0,3}" id="W5M0MpCehiHzreSzNTczkc9d"|end="[rw]")\?>'
)


def check_metadata(reader: PdfReader, book: Book) -> Iterator[Finding]:
    """Title, byline, subject and keywords are the pack's, and nothing else is told.

    Raises InputError where the file is damaged.
    """
    with readable("its metadata"):
        info = reader.trailer.get("/Info")
        told = {k.lstrip("/"): str(v) for k, v in _open(info).items()}
        stream: Any = reader.trailer["/Root"]
        stream = _open(stream.get("/Metadata"))
        strange = {k.lstrip("/") for k in stream} - {"Type", "Subtype", "Length", "Filter",
                                                    "DecodeParms"}  # fmt: skip
        packet = bytes(stream.get_data()) if hasattr(stream, "get_data") else None
    yield from _differing(told, _info_due(book), "the file's information")
    if strange:
        yield Finding("metadata", f"the file's XMP packet has {', '.join(sorted(strange))}")
    if packet is None:
        yield Finding("metadata", "the file has no XMP packet")
        return
    parts = _parts(packet)
    if isinstance(parts, str):
        yield Finding("metadata", f"the file's XMP packet {parts}")
    else:
        yield from _differing(parts, _packet_due(book), "the file's XMP packet")


def _open(one: Any) -> Any:
    one = one.get_object() if one is not None else None
    return one if isinstance(one, dict) else {}


def _differing(told: Mapping[str, str], wanted: Mapping[str, str], where: str) -> Iterator[Finding]:
    for key, due in wanted.items():
        if key not in told:
            yield Finding("metadata", f"{where} has no {key}; it must be {due!r}")
        elif _bare(told[key]) != _bare(due):
            yield Finding(
                "metadata", f"{where} has the {key} {told[key][:60]!r}; it must be {due[:60]!r}"
            )
    for key in told:
        if key not in wanted:
            yield Finding("metadata", f"{where} has {key}, which no file of the house has")


def _bare(text: str) -> str:
    """Words without typography and without marks that have no ink."""
    text = plain(unicodedata.normalize("NFC", text))
    return "".join(ch for ch in text if unicodedata.category(ch) != "Cf")


def _words_due(book: Book) -> dict[str, str]:
    """Title, byline, subject and keywords, by the house style."""
    pack = book.pack
    year, month = _month(pack.issue)
    dated = f"{MONTHS[month - 1]} {year}" if month else pack.issue
    kinds = dict.fromkeys(e.puzzle.geometry.name().replace(",", "") for e in book.entries)
    setters = dict.fromkeys(" ".join(e.puzzle.setter.split()) for e in book.entries)
    return {
        "Title": pack.title,
        "Author": pack.byline,
        "Subject": f"{pack.theme} ({dated})",
        "Keywords": ", ".join((TOPIC, *kinds, *setters)),
    }


def _month(issue: str) -> tuple[int, int]:
    """Year and month of an issue; no month where it is none."""
    found = re.fullmatch(r"(\d{4})-(0[1-9]|1[0-2])", issue)
    return (int(found[1]), int(found[2])) if found else (2000, 0)


def _info_due(book: Book) -> dict[str, str]:
    year, month = _month(book.pack.issue)
    date = f"D:{year:04}{month or 1:02}01000000Z"
    return {
        **_words_due(book),
        "Creator": f"packbuilder {__version__}",
        "Producer": PRODUCER,
        "CreationDate": date,
        "ModDate": date,
        "Trapped": "/False",
    }


def _packet_due(book: Book) -> dict[str, str]:
    """Each text of the packet by its path."""
    words = _words_due(book)
    year, month = _month(book.pack.issue)
    date = f"{year:04}-{month or 1:02}-01T00:00:00Z"
    default = "rdf:li[xml:lang=x-default]"
    found = {
        "dc:format": "application/pdf",
        f"dc:title/rdf:Alt/{default}": words["Title"],
        "dc:creator/rdf:Seq/rdf:li": words["Author"],
        f"dc:description/rdf:Alt/{default}": words["Subject"],
        "dc:language/rdf:Bag/rdf:li": "en",
        "pdf:Keywords": words["Keywords"],
        "pdf:Producer": PRODUCER,
        "xmp:CreatorTool": f"packbuilder {__version__}",
        "xmp:CreateDate": date,
        "xmp:ModifyDate": date,
    }
    return {f"x:xmpmeta/rdf:RDF/rdf:Description[rdf:about=]/{k}": v for k, v in found.items()}


def _parts(packet: bytes) -> dict[str, str] | str:
    """The texts of a packet by their paths; words for one that is not plain."""
    if len(packet) > MOST:
        return "is too long to be one of the house"
    inner = _FRAME.sub(b"", packet)
    if b"<!" in inner or b"<?" in inner:
        return "has comments or instructions of its own"
    try:
        root = ElementTree.fromstring(inner)  # without declarations, nothing expands
    except ElementTree.ParseError as fault:
        return f"is no whole XML ({fault})"
    found: dict[str, str] = {}
    waiting = [(root, "")]
    while waiting:
        node, path = waiting.pop()
        more = "".join(f"[{_named(k)}={v}]" for k, v in sorted(node.attrib.items()))
        path += _named(node.tag) + more
        text = (node.text or "").strip()
        if (node.tail or "").strip() or (text and len(node)):
            return "has text between its parts"
        if not len(node):
            if path in found:
                return f"has {path.rpartition('/')[2]} twice"
            found[path] = text
        waiting += [(kid, path + "/") for kid in node]
    return found


def _named(tag: str) -> str:
    """``dc:title`` for a name with its space in full."""
    space, _, name = tag.rpartition("}")
    return f"{_NAMES.get(space[1:], space[1:])}:{name}" if space else name
