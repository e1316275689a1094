"""Mending: what would make a faulty puzzle sound (`mend`), and a sound one as promised (`polish`).

Both change clues a little, ask how many solutions are left, and have the gate say which promises
the grid would keep.
"""

from __future__ import annotations

from packbuilder.mending.change import Change
from packbuilder.mending.mend import Mends, mends
from packbuilder.mending.polish import Polished, polished

__all__ = ["Change", "Mends", "Polished", "mends", "polished"]
