"""The stamp of a released file is blank, on every page and in its place, in type of the house."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from typing import Any

import pytest
from fontTools.ttLib import TTFont

from tests.readback.as_planned.plans import PRINTED, printed, real, told
from tests.readback.as_planned.sealing import Bodies, Change, content, obj, sealed, stream

FORM = re.compile(rb"/Subtype/Form")


def in_form(old: bytes, new: bytes) -> Change:
    """The stamp's form with something else in it."""

    def change(bodies: Bodies) -> None:
        for k, body in bodies.items():
            if isinstance(body, bytes) and FORM.search(body[:80]):
                head, _, inside = body.partition(b">>\nstream\n")
                altered = inside.removesuffix(b"\nendstream").replace(old, new)
                head = re.sub(rb"/Length \d+", b"/Length %d" % len(altered), head.replace(old, new))
                bodies[k] = b"%b>>\nstream\n%b\nendstream" % (head, altered)
                assert bodies[k] != body
                return
        raise AssertionError("no form")

    return change


def in_font(alter: Any) -> Change:
    """The program of the stamp's font, altered by fontTools."""

    def altered(data: bytes) -> bytes:
        font, out = (
            TTFont(io.BytesIO(data), recalcBBoxes=False, recalcTimestamp=False),
            io.BytesIO(),
        )
        alter(font)
        font.save(out)
        return out.getvalue()

    return stream(lambda head, data: b"/Length1" in head and b"OS/2" not in data[:300], altered)


def moved(font: Any) -> None:
    glyph = font["glyf"][font.getGlyphName(40)]
    glyph.coordinates.translate((0, 60))


def wider(by: int) -> Change:
    def change(font: Any) -> None:
        name = font.getGlyphName(40)
        font["hmtx"][name] = (font["hmtx"][name][0] + by, font["hmtx"][name][1])

    return in_font(change)


LIES = {
    "words in the form": in_form(b"<> Tj", b"<0043> Tj"),
    "a bar in the form": in_form(b" ET", b" ET 0 g 0 0 99 9 re f"),
    "another grey": in_form(b"0.33 g", b"1 g"),
    "another size": in_form(b" 7 Tf", b" 9 Tf"),
    "a larger form": in_form(b"6.79]", b"600]"),
    "a turned form": in_form(b"/Subtype/Form", b"/Subtype/Form/Matrix[0 1 -1 0 0 0]"),
    "another form": obj(r"/XObject<</Stamp (\d+) 0 R>>", r"/XObject<</Stamp \1 0 R/Im 1 0 R>>"),
    "a page without it": content(rb"/Stamp Do", b""),
    "a page with two": content(rb"/Stamp Do", b"/Stamp Do /Stamp Do"),
    "a page with it elsewhere": content(rb"cm /Stamp Do", b"cm 1 0 0 1 0 9 cm /Stamp Do"),
    "a form of another name": content(rb"/Stamp Do", b"/Other Do"),
    "codes of other letters": stream(
        lambda head, data: len(data) > 4000 and data.count(b"\0") > len(data) / 2
        and data[:64] == bytes(64) and b"/" in head and data[64:66] != b"\0\0",
        lambda data: data[:130] + data[132:134] + data[132:],
    ),
    "words that say others": stream(
        lambda _head, data: b"Adobe-Identity-UCS" in data,
        lambda data: data.replace(b"<0000><00FF><0000>", b"<0000><00FF><0001>"),
    ),
    "other widths": obj(r"/W\[32\[200", "/W[32[300"),
    "a glyph moved": in_font(moved),
    "a glyph wider": wider(30),
    "a glyph narrower": wider(-30),
}  # fmt: skip


@pytest.mark.parametrize("name", LIES)
def test_a_stamp_that_lies_is_told(name: str) -> None:
    told(sealed(real(), LIES[name]), real())


@pytest.mark.parametrize("edition", PRINTED)
def test_a_page_whose_stamp_is_moved_or_gone(edition: str) -> None:
    plan = real(edition)
    x, y = plan.pages[2].stamp or (0, 0)
    for place in (None, (x + 0.5, y), (x, y - 0.5)):
        pages = (*plan.pages[:2], replace(plan.pages[2], stamp=place), *plan.pages[3:])
        told(printed(replace(plan, pages=pages)), plan, "not-as-planned", "the stamp")
