"""The archive: the puzzles of other packs, found again in whatever disguise.

It is every pack beside a pack, in the same folder, and those in the folders that its creator names
(``pack.archive``). Fingerprints are kept in an index, so that a pack is read once as long as its
files stay the same.
"""

from packbuilder.archive.kindred import Kindred, kindred
from packbuilder.archive.known import Archive, Found, Known, archive_of, puzzle_of

__all__ = ["Archive", "Found", "Kindred", "Known", "archive_of", "kindred", "puzzle_of"]
