"""Paper: the sizes that the editions are printed on, and how much of them stays bare."""

from __future__ import annotations

MM = 72 / 25.4
"""Points in a millimetre."""

PAPERS = {
    "a4": (595.28, 841.89),
    "letter": (612.0, 792.0),
    "a5": (419.53, 595.28),
    "a6": (297.64, 419.53),
    "half-letter": (396.0, 612.0),
    "tablet": (453.54, 603.78),
}
"""Points: ISO 216 and ANSI/ASME Y14.1; half a letter sheet; and the tablet's 160 x 213 mm."""
