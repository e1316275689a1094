"""Artwork: a creator's own picture, PNG or SVG, as outlines that print in plain black.

What it may not be is told with its measure and a mend. Nothing of a file is ever run or fetched.
"""

from packbuilder.artwork.drawing import MOST_BYTES, Drawing, Shape, read_drawing

__all__ = ["MOST_BYTES", "Drawing", "Shape", "read_drawing"]
