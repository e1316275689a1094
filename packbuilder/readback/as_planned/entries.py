"""Entries: what a file says of itself beside its pages, key by key, against the plan.

Catalogue, named places, bookmarks, labels of pages, information, and the packet of metadata
(ISO 32000-1, 7.7, 12.3 and 14.3; ISO 16684-1).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from xml.etree import ElementTree

from packbuilder import __version__
from packbuilder.plan.items import Bookmark, Plan
from packbuilder.readback.as_planned.file import File
from packbuilder.readback.as_planned.syntax import quoted, text_string, unlike

Places = Mapping[str, list[Any]]
"""Where named places are, as the file must say it."""

_PRODUCER = "packbuilder, with fonts cut by ReportLab"
_CREATOR = f"packbuilder {__version__}"
_LANGUAGE = "en"


def catalogue_faults(have: dict[str, Any], plan: Plan) -> Iterator[str]:
    """The catalogue; what it leads to is looked at elsewhere."""
    edition, leads = plan.edition, ["Pages", "Metadata"]
    planned: dict[str, Any] = {
        "Type": "Catalog", "Version": "1.7", "Lang": text_string(_LANGUAGE),
        "ViewerPreferences": {"DisplayDocTitle": True},
    }  # fmt: skip
    if not edition.fields:
        planned["ViewerPreferences"]["PrintScaling"] = "None"
    if edition.links:
        leads += ["Outlines", "PageLabels"]
        planned |= {"PageMode": "UseOutlines", "Names": {"Dests": dests(have)}}
    if edition.tagged:
        leads.append("StructTreeRoot")
        planned["MarkInfo"] = {"Marked": True}
    if edition.fields:
        leads.append("AcroForm")
    yield from unlike(have, planned | {key: have.get(key) for key in leads})


def dests(catalogue: Mapping[str, Any]) -> Any:
    """What a catalogue refers to for its named places."""
    names = catalogue.get("Names")
    return names.get("Dests") if isinstance(names, dict) else None


def place_faults(have: dict[str, Any], places: Places) -> Iterator[str]:
    """The named places, in the order of their names."""
    pairs = sorted((text_string(name), place) for name, place in places.items())
    yield from unlike(have, {"Names": [part for pair in pairs for part in pair]}, "named places")


def label_faults(have: object) -> Iterator[str]:
    """The labels of pages: the first is the cover, all others are known by their folios."""
    planned = {"Nums": [0, {"P": b"Cover"}, 1, {"S": "D", "St": 2}]}
    yield from unlike(have, planned, "page labels")


def bookmark_faults(file: File, ref: object, plan: Plan, places: Places) -> Iterator[str]:
    """The bookmarks: sections, closed, and under them what they hold. Raises Damaged."""
    sections: list[tuple[Bookmark, list[Bookmark]]] = []
    for mark in plan.bookmarks:
        if mark.level == 0:
            sections.append((mark, []))
        else:
            sections[-1][1].append(mark)
    have = file.dictionary(ref)
    ends = {key: have.get(key) for key in ("First", "Last")}
    yield from unlike(have, {"Type": "Outlines", "Count": len(sections), **ends}, "bookmarks")
    yield from _level(file, ends, sections, ref, places)


def _level(
    file: File, ends: Mapping[str, Any], marks: Sequence[tuple[Bookmark, Sequence[Bookmark]]],
    parent: object, places: Places,
) -> Iterator[str]:  # fmt: skip
    """Bookmarks in a row, from the first to the last of the two ``ends``."""
    before, here = None, ends["First"]
    for mark, below in marks:
        have = file.dictionary(here)
        planned = {
            "Title": text_string(mark.title), "Parent": parent, "Dest": places[mark.to],
            **({"Prev": before} if before else {}),
        }  # fmt: skip
        if (mark, below) != marks[-1]:
            planned["Next"] = have.get("Next")
        inner = {key: have.get(key) for key in ("First", "Last")}
        if below:
            planned |= {**inner, "Count": -len(below)}
        yield from unlike(have, planned, f"bookmark {quoted(mark.title)}")
        if below:
            yield from _level(file, inner, [(one, ()) for one in below], here, places)
        before, here = here, have.get("Next")
    if marks and before != ends["Last"]:
        yield "the last bookmark of a row is not the last one"


def information_faults(have: object, plan: Plan) -> Iterator[str]:
    """The information dictionary."""
    date = text_string("D:{:04}{:02}01000000Z".format(*plan.dated))
    words = {
        "Title": plan.title, "Author": plan.author, "Subject": plan.subject,
        "Keywords": ", ".join(plan.keywords), "Creator": _CREATOR, "Producer": _PRODUCER,
    }  # fmt: skip
    planned = {key: text_string(value) for key, value in words.items()}
    more = {"CreationDate": date, "ModDate": date, "Trapped": "False"}
    yield from unlike(have, planned | more, "information")


# --- the packet of metadata ----------------------------------------------------------------------

_BEGIN = b'<?xpacket begin="\xef\xbb\xbf" id="W5M0MpCehiHzreSzNTczkc9d"?>'
_END = b'<?xpacket end="r"?>'
_TOOL = re.compile(rb"<xmp:CreatorTool>packbuilder ([^<>\n]{1,40})</xmp:CreatorTool>")
_SPACES = {
    "x": "adobe:ns:meta/",
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "dc": "http://purl.org/dc/elements/1.1/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
    "pdf": "http://ns.adobe.com/pdf/1.3/",
    "xml": "http://www.w3.org/XML/1998/namespace",
}


def packet_faults(data: bytes, plan: Plan) -> Iterator[str]:
    """The packet of metadata, element by element."""
    body = data.removeprefix(_BEGIN).removesuffix(_END)
    whole = len(data) == len(body) + len(_BEGIN) + len(_END)
    try:  # one space of names, xml, need not be declared; what is neither element nor text is cut
        root = ElementTree.fromstring(body)
        whole &= body.count(b"xmlns") == len(_SPACES) - 1 and not re.search(rb"<[?!]", body)
    except ElementTree.ParseError:
        whole = False
    if not whole:
        yield "the packet of metadata cannot be read, or holds what it must not"
        return
    have = [_element(one) for one in root.iter()]
    planned = list(_packet(plan))
    if len(have) != len(planned):
        yield "the packet of metadata has more or fewer elements than planned"
    for one, other in zip(have, planned, strict=False):
        if one != other:
            yield f"the packet of metadata says {quoted(one[2])} where {other[2]!r} is planned"


def _element(one: ElementTree.Element) -> tuple[str, dict[str, str], str, str]:
    """Name, attributes, text, and what follows it; blanks between elements tell nothing."""
    text = one.text or ""
    return one.tag, one.attrib, text.strip() if len(one) else text, (one.tail or "").strip()


def _packet(plan: Plan) -> Iterator[tuple[str, dict[str, str], str, str]]:
    """What the elements of the packet must be."""

    def one(name: str, text: str = "", **attributes: str) -> tuple[str, dict[str, str], str, str]:
        named = {full(key.replace("_", ":")): value for key, value in attributes.items()}
        return full(name), named, text, ""

    def full(name: str) -> str:
        space, _, local = name.partition(":")
        return f"{{{_SPACES[space]}}}{local}"

    yield from (one("x:xmpmeta"), one("rdf:RDF"), one("rdf:Description", rdf_about=""))
    yield one("dc:format", "application/pdf")
    lang = {"xml_lang": "x-default"}
    yield from (one("dc:title"), one("rdf:Alt"), one("rdf:li", plan.title, **lang))
    yield from (one("dc:creator"), one("rdf:Seq"), one("rdf:li", plan.author))
    yield from (one("dc:description"), one("rdf:Alt"), one("rdf:li", plan.subject, **lang))
    yield from (one("dc:language"), one("rdf:Bag"), one("rdf:li", _LANGUAGE))
    yield one("pdf:Keywords", ", ".join(plan.keywords))
    yield one("pdf:Producer", _PRODUCER)
    yield one("xmp:CreatorTool", _CREATOR)
    date = "{:04}-{:02}-01T00:00:00Z".format(*plan.dated)
    yield from (one("xmp:CreateDate", date), one("xmp:ModifyDate", date))


def made_by(data: bytes) -> str | None:
    """The version of packbuilder that a file says it was made by; None where it does not say one.

    A packet of metadata is there to be found in any file without taking it apart (ISO 16684-1,
    7.3.2). One that says two versions says none.
    """
    said = {found[1] for found in _TOOL.finditer(data)}
    return said.pop().decode("ascii", "replace") if len(said) == 1 else None
