"""Where the commands for grids get them: a file of lines, a pack, or entries of a manifest."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from packbuilder.errors import InputError, Refused
from packbuilder.phrases import listed, nearest, quoted

if TYPE_CHECKING:
    from packbuilder.grid import Geometry, Values
    from packbuilder.puzzle import Pack, Puzzle
    from packbuilder.rules.contract import Part


@dataclass(frozen=True)
class Asked:
    """A puzzle that is asked about; ``id`` is None for a bare grid."""

    geometry: Geometry
    clues: Values
    parts: tuple[Part, ...] = ()
    id: str | None = None


def asked_of(puzzle: Puzzle) -> Asked:
    """A puzzle of a pack, as it is asked about."""
    return Asked(puzzle.geometry, puzzle.clues, puzzle.rules, puzzle.id)


def is_pack(place: str) -> bool:
    """Whether a word of the command line is a pack's folder or manifest."""
    path = Path(place)
    try:
        return place != "-" and (path.is_dir() or path.suffix.lower() in (".yaml", ".yml"))
    except OSError:  # 256 cells in a line are no file's name
        return False


def opened(place: str) -> BinaryIO:
    """The stream of lines that a word of the command line names. Raises InputError."""
    if place == "-":
        return sys.stdin.buffer
    try:
        return Path(place).open("rb")
    except OSError as error:
        raise InputError(
            f"{place}: {error.strerror}; give a file of grids, a pack, or - for standard input"
        ) from None


def entries_of(file: BinaryIO) -> tuple[tuple[Puzzle, ...], Any]:
    """Puzzles, where a stream begins as a manifest entry does; and what is left to be read.

    A line of a grid holds no colon, an entry one in each of its first lines.
    """
    head = file.readline(4096)
    while head.rstrip().rpartition(b"\n")[2][:1] == b"#" and (more := file.readline(4096)):
        head += more
    if b":" not in head.rpartition(b"\n#")[2]:
        return (), _Rest(head, file)
    from packbuilder.manifest import load_entries

    text = (head + file.read()).decode("utf-8-sig", "replace")
    return load_entries(text), io.BytesIO()


class _Rest(io.RawIOBase):
    """A stream of which the head was read already."""

    def __init__(self, head: bytes, file: BinaryIO) -> None:
        self._head, self._file = head, file

    def readable(self) -> bool:
        """Always."""
        return True

    def read1(self, size: int = -1) -> bytes:
        """What there is at once."""
        if self._head:
            head, self._head = self._head[:size], self._head[size:]
            return head
        read = getattr(self._file, "read1", self._file.read)
        found: bytes = read(size)
        return found

    read = read1


def puzzle_of(pack: Pack, puzzle_id: str | None) -> Puzzle:
    """The puzzle of a pack that is meant; its only one where no id is given. Raises Refused."""
    ids = [puzzle.id for puzzle in pack.puzzles]
    if puzzle_id is None and len(ids) == 1:
        return pack.puzzles[0]
    if puzzle_id is None:
        raise InputError(f"{pack.slug} has {len(ids)} puzzles; say which: {listed(ids, 'or')}")
    for puzzle in pack.puzzles:
        if puzzle.id == puzzle_id:
            return puzzle
    raise Refused(f"{pack.slug} has no puzzle {quoted(puzzle_id)}; {nearest(puzzle_id, ids)}")


def lines_of(file: BinaryIO, geometry: Geometry) -> Iterator[Asked | str]:
    """A grid a line; a fault in words for a line that is none."""
    from packbuilder import grid

    for number, raw in enumerate(file, start=1):
        line = raw.decode("utf-8", "replace").strip()
        if not line:
            continue
        try:
            if len(line.split()) > 1 or len(line) != geometry.cell_count:
                raise grid.GridFault(
                    f"it has {len(line)} characters; a grid is {geometry.cell_count} cells in one "
                    "line, no blanks"
                )
            yield Asked(geometry, grid.parse_grid(line, geometry.size))
        except grid.GridFault as fault:
            yield f"line {number}: {fault}"
