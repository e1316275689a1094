"""Plain text: the whole book as a text file, for screen readers and braille displays.

What such a file promises its reader is written down in text-edition.md beside this one. This room
draws nothing: what a sighted solver sees, it tells in words.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, BinaryIO

from packbuilder.plaintext.contents import outline_of

if TYPE_CHECKING:
    from packbuilder.plan.outline import Outline

__all__ = ["outline_of", "write_text"]


def write_text(outline: Outline, out: BinaryIO) -> None:
    """Write an outline as UTF-8 text, to a file that is open for bytes. The same: the same bytes.

    Raises InputError for words that would be taken for a heading of the file, with the place in the
    manifest.
    """
    from packbuilder.plaintext.writing import encoded  # late: who reads such files has no use of it

    out.write(encoded(outline))
