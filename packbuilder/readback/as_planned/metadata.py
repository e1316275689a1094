"""Metadata: what a file says of itself for readers that look for a packet, against the plan.

Source: ISO 16684-1.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree

from packbuilder import __version__
from packbuilder.plan.items import Plan
from packbuilder.readback.as_planned.syntax import quoted

CREATOR = f"packbuilder {__version__}"
PRODUCER = "packbuilder, with fonts cut by ReportLab"
LANGUAGE = "en"

_BEGIN = b'<?xpacket begin="\xef\xbb\xbf" id="W5M0MpCehiHzreSzNTczkc9d"?>'
_END = b'<?xpacket end="r"?>'
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
    plain = not re.search(rb"<[?!]", body)  # neither comments nor instructions nor entities
    declared = body.count(b"xmlns") == len(_SPACES) - 1  # one, xml, need not be
    try:
        if not plain or not declared or len(data) - len(body) != len(_BEGIN) + len(_END):
            raise ElementTree.ParseError
        root = ElementTree.fromstring(body)
    except ElementTree.ParseError:
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
    yield from (one("dc:language"), one("rdf:Bag"), one("rdf:li", LANGUAGE))
    yield one("pdf:Keywords", ", ".join(plan.keywords))
    yield one("pdf:Producer", PRODUCER)
    yield one("xmp:CreatorTool", CREATOR)
    date = "{:04}-{:02}-01T00:00:00Z".format(*plan.dated)
    yield from (one("xmp:CreateDate", date), one("xmp:ModifyDate", date))
