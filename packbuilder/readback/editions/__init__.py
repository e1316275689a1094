"""Editions undone: every form of a pack turned into ordinary pages, and its own marks checked.

A booklet is unfolded, a print shop's sheet trimmed, a dark page made light again; after that, one
proof serves all. What an edition has besides (fold marks, crop marks, fields to type in) is held
against the house style here.
"""

from packbuilder.readback.editions.ordinary import Ordinary, ordinary

__all__ = ["Ordinary", "ordinary"]
