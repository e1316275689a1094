"""What pages need of a layout: the values of the room `layouts`."""

from __future__ import annotations

from packbuilder.layouts.loading import available, load
from packbuilder.layouts.model import (
    LEAST_SMALL,
    LEAST_TEXT,
    Cards,
    Cells,
    Faces,
    Greys,
    Layout,
    Least,
    Margins,
    Type,
)
from packbuilder.layouts.papers import MM, PAPERS, SAFE

__all__ = [
    "LEAST_SMALL",
    "LEAST_TEXT",
    "MM",
    "PAPERS",
    "SAFE",
    "Cards",
    "Cells",
    "Faces",
    "Greys",
    "Layout",
    "Least",
    "Margins",
    "Type",
    "available",
    "load",
]
