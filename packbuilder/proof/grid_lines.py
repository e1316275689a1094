r"""Lines: a stream of 9x9 grids, one a line, read in chunks of constant size.

A line holds 81 cells: ``.`` or ``0`` for an empty one, else 1 to 9. Blanks around them do not
matter, nor does the kind of line end (``\n``, ``\r\n`` or ``\r``). Blank lines are counted and
passed over, so that a list may have gaps. Any other line is a fault, told with its number; the
lines after it are read as ever.

    block of bytes        starts   ends    81 long and only cells?   else, one by one
    ..3.2.6..9..\n             0     81    a row of (k, 81)
      4.....8.5.\n            82    165    no                        stripped: a row after all
    hello\n                  166    171    no                        a fault: line 3
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from packbuilder.errors import InputError
from packbuilder.text import encoding_of

SIZE, CELLS = 9, 81
BLOCK = 2000 * (CELLS + 1)
"""Bytes asked for at a time: about 2,000 grids."""

LONGEST = 1000
"""Bytes of a line that are kept; what goes on longer is no grid, and may never end."""

TRICKLE = 4096
"""A shorter block comes from a slow source, or a person: who wants answers before typing on."""

_BLANKS = b" \t\v\f"
_MARK = b"\xef\xbb\xbf"  # the byte order mark that some editors write at the head of a file
_WRONG = 255
_DECODE = np.full(256, _WRONG, np.uint8)
_DECODE[[ord("."), *range(ord("0"), ord("9") + 1)]] = [0, *range(10)]

Grids = NDArray[np.uint8]


@dataclass(frozen=True)
class Chunk:
    """Some lines of the stream, in order.

    ``texts`` (k, 81) are the bytes of the good lines as they stood, ``grids`` (k, 81) their values.
    ``good`` says for each line that is not blank whether it is one of those; ``faults`` has a
    sentence for each that is not. ``lines`` counts all lines, blank ones too. ``slow`` is True
    where the source had no more to give at once.
    """

    texts: Grids
    grids: Grids
    good: NDArray[np.bool_]
    faults: tuple[str, ...]
    lines: int
    slow: bool = False


def chunks(source: BinaryIO, block_size: int = BLOCK) -> Iterator[Chunk]:
    """Cut a stream of any length into chunks. Holds one block at a time.

    Raises InputError where the stream is UTF-16 or UTF-32 by its first bytes.
    """
    read = getattr(source, "read1", source.read)  # read1 gives what a pipe has, and does not wait
    number, kept, half = 1, b"", False
    while block := read(block_size):
        slow = len(block) < TRICKLE
        if half:  # the last block ended between \r and, it may be, \n
            block = block.removeprefix(b"\n")
        half = block.endswith(b"\r")
        block = block.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        if number == 1 and encoding_of(kept + block).startswith(("utf-16", "utf-32")):
            name = encoding_of(kept + block).upper()  # PowerShell's `>` writes such files
            raise InputError(f"the grids are {name} text; save them as UTF-8 or as plain ASCII")
        whole, end, tail = (kept + block).rpartition(b"\n")
        kept = tail[: LONGEST + 1]  # enough of a line that never ends to know it for too long
        if end:
            chunk = cut(whole + end, number, slow)
            number += chunk.lines
            yield chunk
    if kept:
        yield cut(kept + b"\n", number, slow=True)


def cut(block: bytes, number: int = 1, slow: bool = False) -> Chunk:
    """The chunk of a block of whole lines, each with its ``\\n``; the first has this number."""
    data = np.frombuffer(block, np.uint8)
    ends = np.flatnonzero(data == ord("\n"))
    starts = np.concatenate(([0], ends[:-1] + 1))
    likely = np.flatnonzero(ends - starts == CELLS)
    texts = data[starts[likely, None] + np.arange(CELLS)]
    fine = (_DECODE[texts] != _WRONG).all(axis=1)
    rows, texts = likely[fine], texts[fine]

    others = ends > starts
    others[rows] = False
    mended, faulty, faults = [], [], []
    for k in np.flatnonzero(others).tolist():
        line = block[starts[k] : ends[k]].strip(_BLANKS)
        if number + k == 1:
            line = line.removeprefix(_MARK).strip(_BLANKS)
        if not line:
            continue
        wrong = fault(line)
        if wrong is None:
            mended.append((k, line))
        else:
            faulty.append(k)
            faults.append(f"line {number + k}: {wrong}")

    if mended:
        more = np.frombuffer(b"".join(line for _, line in mended), np.uint8).reshape(-1, CELLS)
        rows = np.concatenate((rows, [k for k, _ in mended]))
        order = np.argsort(rows)
        rows, texts = rows[order], np.concatenate((texts, more))[order]
    told = np.zeros(len(ends), np.int8)
    told[rows], told[faulty] = 1, 2
    return Chunk(texts, _DECODE[texts], told[told > 0] == 1, tuple(faults), len(ends), slow)


def fault(line: bytes) -> str | None:
    """What is wrong with a line, blanks around it taken off; None if it is a grid."""
    if len(line) > LONGEST:
        return f"it is longer than {LONGEST} characters; a grid is {CELLS} cells in one line"
    text = line.decode("utf-8", "surrogateescape")
    if len(text) != CELLS:
        return f"it has {len(text)} characters; a grid is {CELLS} cells in one line, no blanks"
    for cell, ch in enumerate(text):
        if ch not in ".0123456789":
            shown = f"byte 0x{ord(ch) - 0xDC00:02x}" if "\udc80" <= ch <= "\udcff" else repr(ch)
            return (
                f"row {cell // SIZE + 1}, column {cell % SIZE + 1} is {shown}; "
                "a cell is '.' or 0 if empty, else 1 to 9"
            )
    return None
