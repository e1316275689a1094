"""Stamp: a form that every page shows, blank in the released file, and the font of its words.

A copy for a supporter is the released file and after it a new version of this one object, with
words in it (ISO 32000-1, 7.5.6): so whoever makes copies must not have the plan, and what was read
back is the beginning of every copy. The font has all the letters of names, each known by its code
point (9.7): what is written into the form is UTF-16.
"""

from __future__ import annotations

from functools import cache
from itertools import groupby
from struct import pack

import uharfbuzz as hb

from packbuilder.plan.inks import Inks
from packbuilder.plan.items import Stamp
from packbuilder.press.pdf_file import PdfFile, box, number
from packbuilder.typography.names import FACE, advances
from packbuilder.typography.shaping import font_of
from packbuilder.typography.typeface import typeface

NAME = "/Stamp"
"""The form, in the resources of pages."""

_KEPT = frozenset({"glyf", "head", "hhea", "hmtx", "loca", "maxp"})


def form(stamp: Stamp, inks: Inks, file: PdfFile) -> int:
    """The blank form; gives its number."""
    font = _font(file)
    entries = f"/Type/XObject/Subtype/Form/BBox{box(stamp.box)}/Resources<</Font<</N {font} 0 R>>>>"
    blank = f"BT {number(inks[stamp.ink])} g /N {number(stamp.size)} Tf 1 0 0 1 0 0 Tm <> Tj ET"
    return file.stream(blank.encode("ascii"), entries, packed=False)


def _font(file: PdfFile) -> int:
    """The font; gives its number."""
    name, program, glyphs = f"/PACKNM+{FACE}", *_program()
    face = typeface(FACE).font.face
    data = file.stream(program, f"/Length1 {len(program)}")
    descriptor = file.add(
        f"<</Type/FontDescriptor/FontName{name}/Flags 4/FontBBox{box(face.bbox)}"
        f"/Ascent {number(face.ascent)}/Descent {number(face.descent)}/ItalicAngle 0"
        f"/CapHeight {number(face.capHeight)}/StemV {number(face.stemV)}/FontFile2 {data} 0 R>>"
    )
    letters = file.add(
        f"<</Type/Font/Subtype/CIDFontType2/BaseFont{name}"
        "/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>"
        f"/FontDescriptor {descriptor} 0 R/W[{_widths()}]/CIDToGIDMap {file.stream(glyphs)} 0 R>>"
    )
    return file.add(
        f"<</Type/Font/Subtype/Type0/BaseFont{name}/Encoding/Identity-H"
        f"/DescendantFonts[{letters} 0 R]/ToUnicode {file.stream(_SAID.encode('ascii'))} 0 R>>"
    )


@cache
def _program() -> tuple[bytes, bytes]:
    """The font program, cut by HarfBuzz; and of each code point from 0 on its glyph's number."""
    font, wanted = font_of(FACE), hb.SubsetInput()
    flags = hb.SubsetFlags
    wanted.flags = flags.RETAIN_GIDS | flags.NO_HINTING | flags.NOTDEF_OUTLINE
    for tag in font.face.table_tags:
        if tag not in _KEPT:
            wanted.drop_table_tag_set.add(int.from_bytes(tag.encode("ascii"), "big"))
    letters = list(map(ord, advances()))
    for code in letters:
        wanted.unicode_set.add(code)
    glyphs = [0] * (max(letters) + 1)
    for code in letters:
        glyphs[code] = font.get_nominal_glyph(code)
    return bytes(hb.subset(font.face, wanted).blob.data), pack(f">{len(glyphs)}H", *glyphs)


def _widths() -> str:
    """The advances, a list for each row of code points without a gap."""
    rows = groupby(enumerate(advances().items()), lambda pair: ord(pair[1][0]) - pair[0])
    told = []
    for _, row in rows:
        letters = [letter for _, letter in row]
        told.append(f"{ord(letters[0][0])}[{' '.join(str(wide) for _, wide in letters)}]")
    return "".join(told)


_RANGES = [f"<{k:02X}00><{k:02X}FF><{k:02X}00>" for k in range(0x30)]
_SAID = f"""/CIDInit/ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo<</Registry(Adobe)/Ordering(UCS)/Supplement 0>>def
/CMapName/Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000><FFFF>
endcodespacerange
{len(_RANGES)} beginbfrange
{chr(10).join(_RANGES)}
endbfrange
endcmap
CMapName currentdict/CMap defineresource pop
end
end"""
"""What the codes say: each its own code point."""
