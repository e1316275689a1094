"""Read-back: the finished PDF, read as a reader would see it, against the verified book.

Two eyes share no drawing code with the press: one reads lines and glyphs, the other the ink of
the rendered page. What they must find is written down in DEVELOPERS.md, "What the page promises
the reader"; this room knows the pages by that text alone. The text edition is read in `plaintext`.

Every printed edition is proved alike: `editions` turns it into ordinary pages first and checks what
it has besides (fold and crop marks, fields to type in); `tags` holds what a screen reader hears of
it against the same book.
"""

from packbuilder.readback.plaintext import read_text
from packbuilder.readback.reading import read
from packbuilder.readback.report import CODES, MEND, Finding, ReadBack, as_json

__all__ = ["CODES", "MEND", "Finding", "ReadBack", "as_json", "read", "read_text"]
