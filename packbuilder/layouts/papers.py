"""Papers: their sizes, and what of them a home printer reaches."""

from __future__ import annotations

MM = 72 / 25.4
"""Points in a millimetre."""

PAPERS: dict[str, tuple[float, float]] = {
    "a4": (210 * MM, 297 * MM),
    "letter": (612.0, 792.0),
    "a5": (148 * MM, 210 * MM),
    "half-letter": (396.0, 612.0),
    "a6": (105 * MM, 148 * MM),
    "tablet": (160 * MM, 213 * MM),
}
"""Width and height in points: ISO 216; ANSI/ASME Y14.1 size A and its half; and a page of our own
in the shape of a tablet, 3 to 4."""

SAFE = 10.0
"""Millimetres at each edge that a home printer may not reach."""
