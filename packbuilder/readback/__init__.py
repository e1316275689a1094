"""Read-back: is the finished file the verified book?

Two proofs that share nothing. *What a reader sees is the book* (`seen`): the file's grids, digits,
marks, words, links and cells, seen by the eyes of `reader`, are those of the book, and each printed
puzzle has its one solution. *The file is the plan* (`as_planned`): every mark, link, tag and key of
the file is an item of the plan that it was printed from, and every item is in the file. The text
edition is read in `plaintext`.
"""

from packbuilder.readback.plaintext import read_text
from packbuilder.readback.proofs import read
from packbuilder.readback.report import CODES, MEND, Finding, ReadBack, as_json

__all__ = ["CODES", "MEND", "Finding", "ReadBack", "as_json", "read", "read_text"]
