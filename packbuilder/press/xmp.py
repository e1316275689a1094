"""Metadata of a file as an XMP packet (ISO 16684-1), for readers that look there for a title."""

from __future__ import annotations

from xml.sax.saxutils import escape

from packbuilder import __version__
from packbuilder.plan.items import Plan

_PACKET = """<?xpacket begin="\N{ZERO WIDTH NO-BREAK SPACE}" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about=""
 xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 xmlns:pdf="http://ns.adobe.com/pdf/1.3/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>
<pdf:Keywords>{keywords}</pdf:Keywords>
<pdf:Producer>packbuilder, with fonts cut by ReportLab</pdf:Producer>
<xmp:CreatorTool>packbuilder {version}</xmp:CreatorTool>
<xmp:CreateDate>{date}</xmp:CreateDate>
<xmp:ModifyDate>{date}</xmp:ModifyDate>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""


def packet(plan: Plan) -> bytes:
    """The packet: the words of the file's information dictionary."""
    year, month = plan.dated
    words = _PACKET.format(
        title=escape(plan.title),
        author=escape(plan.author),
        subject=escape(plan.subject),
        keywords=escape(", ".join(plan.keywords)),
        version=__version__,
        date=f"{year:04}-{month:02}-01T00:00:00Z",
    )
    return words.encode("utf-8")
