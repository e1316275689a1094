"""A creator's own picture: what is read of it, and what is refused with its measure and a mend.

What a picture looks like is judged by Pillow's own rasteriser, pixel by pixel.
"""

from __future__ import annotations

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image, ImageDraw

from packbuilder.artwork import Drawing, read_drawing
from packbuilder.errors import InputError

SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">{}</svg>'


def svg(inner: str) -> Drawing:
    return read_drawing(SVG.format(inner).encode(), "art.svg")


def png(picture: Image.Image) -> bytes:
    out = io.BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


def painted(drawing: Drawing, wide: int, high: int) -> np.ndarray:
    """The drawing as pixels: even-odd for several runs, as PDF's f* has it."""
    whole = Image.new("1", (wide, high), 1)
    side = max(wide, high)
    for shape in drawing.shapes:
        if shape.fill is None:
            continue
        layer = np.zeros((high, wide), bool)
        for run in shape.runs:
            one = Image.new("1", (wide, high))
            points = [(x * side, high - y * side) for x, y in run]
            ImageDraw.Draw(one).polygon(points, fill=1)
            layer ^= np.asarray(one)
        whole.paste(int(not shape.fill), mask=Image.fromarray(layer))
    return np.asarray(whole)


def test_a_png_is_its_dark_pixels() -> None:
    picture = Image.new("L", (300, 200), 255)
    draw = ImageDraw.Draw(picture)
    draw.rectangle((0, 0, 299, 199), fill=90)
    draw.ellipse((60, 40, 220, 160), fill=255)
    draw.rectangle((110, 80, 150, 120), fill=0)
    seen = painted(read_drawing(png(picture), "art.png"), 300, 200)
    assert (seen != (np.asarray(picture) > 127)).mean() < 0.02  # but for half a pixel at edges


def test_what_is_clear_in_a_png_is_paper() -> None:
    picture = Image.new("RGBA", (100, 100), (0, 0, 0, 0))
    ImageDraw.Draw(picture).rectangle((20, 20, 79, 59), fill=(0, 0, 0, 255))
    drawing = read_drawing(png(picture), "art.png")
    assert (drawing.width, round(drawing.height, 1)) == (1.0, 0.7)


def test_groups_transforms_and_styles_are_followed() -> None:
    """By hand: a box from 10, 0 to 50, 20 and a line from 10 to 50 at 40, 2 wide; so 42 by 41."""
    drawing = svg(
        '<rect width="100" height="100" fill="white"/><g transform="scale(2)" fill="#222">'
        '<rect transform="translate(5,0)" width="20" height="10"/>'
        '<path style="fill:none; stroke:black; stroke-width:1" d="M5 20 H25"/></g>'
    )
    (box, line) = drawing.shapes
    assert (box.fill, box.stroke, line.fill, line.stroke) == (True, None, None, True)
    assert {(round(x, 3), round(y, 3)) for x, y in box.runs[0]} >= {(0.024, 0.976), (0.976, 0.5)}
    assert line.width == pytest.approx(2 / 42)


@pytest.mark.parametrize("rule, held", [("nonzero", 5), ("evenodd", 4)])
def test_squares_that_overlap_are_filled_by_the_rule(rule: str, held: int) -> None:
    """Two squares of 3 by 1 and 1 by 3 fields, crossed: the middle is filled once, or not at all
    (SVG 1.1, 11.3, fill-rule)."""
    drawing = svg(f'<path fill-rule="{rule}" d="M0 10H30V20H0z M10 0H20V30H10z"/>')
    pixels = painted(drawing, 30, 30)
    middles = [not pixels[y, x] for y in (5, 15, 25) for x in (5, 15, 25)]
    assert sum(middles) == held
    assert middles[4] is (rule == "nonzero")


BOMB = (
    '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    '<svg xmlns="http://www.w3.org/2000/svg"><path d="&b;"/></svg>'
)
OUTSIDE = '<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]><svg><path d="&a;"/></svg>'
HOSTILE = {
    "entities": (BOMB, "line 1: declares the entity 'a'"),
    "outside": (OUTSIDE, "line 1: declares the entity 'a'"),
    "script": (SVG.format("<script>x()</script>"), "line 1: <script> cannot be printed"),
    "image": (SVG.format('<image href="http://example.org/x.png"/>'), "<image> cannot be printed"),
    "text": (SVG.format("<text>Hi</text>"), "<text> cannot be printed; turn it into paths"),
    "use": (SVG.format('<use href="#a"/>'), "<use> cannot be printed"),
    "style": (SVG.format("<style>path{}</style>"), "<style> cannot be printed"),
    "class": (SVG.format('<path class="a" d="M0 0h9v9z"/>'), "style sheet's `class`"),
    "gradient": (SVG.format('<path fill="url(#g)" d="M0 0h9v9z"/>'), "is no plain colour"),
    "see-through": (SVG.format('<path opacity=".5" d="M0 0h9v9z"/>'), "`opacity` cannot be"),
    "clipped": (SVG.format('<path clip-path="url(#c)" d="M0 0h9v9z"/>'), "`clip-path` cannot be"),
    "far": (SVG.format('<path d="M0 0 L1e9 9 9 9z"/>'), "lies 1e+06 or more from the middle"),
    "not a number": (SVG.format('<path d="M0 0 Lx y"/>'), "the numbers of this <path>"),
    "deep": (SVG.format("<g>" * 60 + "</g>" * 60), "groups lie 40 deep"),
    "many": (SVG.format(f'<path d="M0 0{"l1 1" * 50_000}"/>'), "more than 40000 points"),
    "transform": (SVG.format('<g transform="fold(2)"/>'), "the transform `fold(2)`"),
    "cut": ('<svg xmlns="http://www.w3.org/2000/svg"><path', "is no sound XML"),
    "page": ("<html/>", "begins with <html>"),
    "white": (SVG.format('<rect width="9" height="9" fill="white"/>'), "nothing in it is dark"),
    "thin": (SVG.format('<path d="M0 0H90V1H0z"/>'), "a breadth and a height"),
    "empty": ("", "is no sound XML"),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_what_an_svg_may_not_hold_is_named(name: str) -> None:
    text, told = HOSTILE[name]
    with pytest.raises(InputError) as fault:
        read_drawing(text.encode(), "art.svg")
    assert str(fault.value).startswith("art.svg: ") and told in str(fault.value)


def _chunk(kind: bytes, data: bytes) -> bytes:
    check = zlib.crc32(kind + data)
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", check)


def huge() -> bytes:
    """A PNG that claims 30,000 by 30,000 pixels in a hundred bytes (PNG, 11.2.2)."""
    head = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 0, 0, 0, 0)
    data = _chunk(b"IHDR", head) + _chunk(b"IDAT", zlib.compress(b"\0" * 99)) + _chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + data


def noise() -> bytes:
    rng = np.random.default_rng(1)
    return png(Image.fromarray(rng.integers(0, 256, (900, 900), dtype=np.uint8)))


GOOD = png(Image.new("L", (50, 50), 0))
BROKEN = {
    "huge": (huge(), "is 30000 x 30000 pixels, and there is room for 16 million"),
    "cut": (GOOD[:60], "is damaged"),
    "turned": (GOOD[:45] + bytes(9) + GOOD[54:], "is damaged"),
    "noise": (noise(), "more than 40000 points"),
    "white": (png(Image.new("L", (50, 50), 255)), "nothing in it is dark"),
    "another kind": (b"\xff\xd8\xff\xe0", "is called .png and is none"),
}


@pytest.mark.parametrize("name", BROKEN)
def test_what_is_wrong_with_a_png_is_told(name: str) -> None:
    data, told = BROKEN[name]
    with pytest.raises(InputError, match=r"art\.png: ") as fault:
        read_drawing(data, "art.png")
    assert told in str(fault.value)


def test_other_kinds_are_refused() -> None:
    with pytest.raises(InputError, match=r"art\.gif: is neither a \.png nor an \.svg"):
        read_drawing(b"GIF89a", "art.gif")
