"""packbuilder: from a manifest of number-placement puzzles to a proved, printed pack.

The way through the house, each room importing only those before it::

    manifest ──> puzzle ──> proof + ladder ──> gate ──> pages ──> readback ──> release
"""

__version__ = "0.1.0"
