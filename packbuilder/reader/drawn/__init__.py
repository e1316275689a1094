"""Drawn: the shapes of rules, found again in print by the house style alone.

Paths and text of a page are measured in cells from a grid's corner (`style`), told apart by form,
tone and width (`areas`, `edges`, `lines`, `text`), and gathered for each grid (`find`).
"""

from packbuilder.reader.drawn.find import Drawn, SeenShape, find, is_pale

__all__ = ["Drawn", "SeenShape", "find", "is_pale"]
