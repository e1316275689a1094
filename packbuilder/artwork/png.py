"""PNG: what is darker than half is black; its edges, as contour lines between the pixels."""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from contourpy import FillType, contour_generator
from PIL import Image

from packbuilder.artwork.drawing import Faulty, Shape, check_points

MOST_PIXELS = 16_000_000
"""What a page printed at 300 dots to the inch has twice over."""
SIDE = 1000
"""Pixels of the longer side that contours are drawn from: about 150 to the inch on A4."""


def outlines(data: bytes) -> Iterator[Shape]:
    """The black of the picture. Raises Faulty where it is broken or too large."""
    wide, high = struct.unpack(
        ">II", data[16:24].ljust(8, b"\0")
    )  # as its head has it (PNG, 11.2.2)
    if wide * high > MOST_PIXELS:
        raise Faulty(
            f"is {wide} x {high} pixels, and there is room for {MOST_PIXELS // 10**6} million; "
            "save it smaller"
        )
    try:
        with Image.open(io.BytesIO(data), formats=["PNG"]) as picture:
            clear = picture.convert("RGBA")
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as fault:
        raise Faulty(f"is damaged ({fault}); save it again as PNG") from None
    paper = Image.new("RGBA", clear.size, "white")
    grey = Image.alpha_composite(paper, clear).convert("L")
    grey.thumbnail((SIDE, SIDE), Image.Resampling.BOX)
    dark = 255.0 - np.pad(np.asarray(grey), 1, constant_values=255)
    lines = contour_generator(z=dark[::-1], fill_type=FillType.OuterOffset)
    polygons, ends, *_ = lines.filled(127.5, 1e9)
    check_points(sum(len(points) for points in polygons if points is not None))
    for points, offsets in zip(polygons, ends, strict=True):
        if points is None or offsets is None:  # as the library's types have it
            continue
        runs = (points[a:b].tolist() for a, b in pairwise(offsets.tolist()))
        yield Shape(tuple(tuple((x, y) for x, y in run) for run in runs), fill=True)
