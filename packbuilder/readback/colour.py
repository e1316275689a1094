"""How far a colour stands out from another, by the standard for readable text."""

from __future__ import annotations

from packbuilder.readback.document import Colour

CONTRAST = 4.5
"""Least contrast of text: WCAG 2.2, success criterion 1.4.3."""
SOLVED_CONTRAST = 7.0
"""Least contrast of a solver's digits on paper: they are set in a light face (the house style)."""
WHITE: Colour = (1.0, 1.0, 1.0)

INK, GROUND = 0.93, 0.10
"""What black and white become in the dark edition."""


def darkened(colour: Colour) -> Colour:
    """A colour as the dark edition shows it."""
    r, g, b = (INK - (INK - GROUND) * v for v in colour)
    return r, g, b


def lightened(colour: Colour) -> Colour:
    """The colour that the dark edition shows so; black or white for one that it does not have."""
    r, g, b = (min(max((INK - v) / (INK - GROUND), 0.0), 1.0) for v in colour)
    return r, g, b


def contrast(one: Colour, other: Colour = WHITE, *, dark: bool = False) -> float:
    """The contrast ratio of two colours, 1 to 21, by WCAG 2.2's relative luminance.

    In the ``dark`` edition it is that of the colours that they become.
    """
    if dark:
        one, other = darkened(one), darkened(other)
    a, b = sorted((_luminance(one), _luminance(other)))
    return (b + 0.05) / (a + 0.05)


def darkness(colour: Colour | None) -> float:
    """How much ink a colour leaves on paper, 1 for black, as a grey print shows it (ITU-R BT.601).

    Never less than the palest text allowed: paler type is told by its contrast.
    """
    r, g, b = colour or (0.0, 0.0, 0.0)
    return max(1 - (0.299 * r + 0.587 * g + 0.114 * b), 0.5)


def is_white(colour: Colour | None) -> bool:
    """True for a colour that leaves no ink on paper."""
    return colour is not None and min(colour) > 0.99


def _luminance(colour: Colour) -> float:
    r, g, b = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in colour)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
