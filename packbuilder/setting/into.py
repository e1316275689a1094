"""Into a manifest: new entries at the end of its list, and all the rest of the file as it was.

The file is not written anew from what was read of it: lines are put in, and no other byte changes,
neither comments nor layout. What comes out is read again before it takes the place of the old file.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from packbuilder import manifest
from packbuilder.errors import InputError, PackbuilderError
from packbuilder.grid import SYMBOLS, Values
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.yamlfields.document import Document, read_yaml

SIGNS = frozenset(f"0{SYMBOLS}{SYMBOLS.lower()}")
"""What stands for a cell in a grid."""


def add_entries(pack: Pack, file: Path, entries: Iterable[str]) -> None:
    """Add entries (as `entries.as_manifest_entry` gives them) behind the puzzles of a manifest.

    ``pack`` is what the ``file`` holds now. Raises InputError where the list is written in
    brackets, or the entries do not fit the pack.
    """
    document = read_yaml(file)
    lines = file.read_bytes().decode("utf-8").splitlines(keepends=True)
    column, end = _end_of_list(document, lines)
    ending = "\r\n" if lines and lines[0].endswith("\r\n") else "\n"
    added = []
    for entry in entries:
        added.append(ending)
        added += [_moved(line, column) + ending for line in entry.rstrip("\n").split("\n")]
    before = lines[:end]
    if before and not before[-1].endswith(("\n", "\r")):
        before[-1] += ending
    count = len(pack.puzzles)
    rewrite(file, [*before, *added, *lines[end:]], pack, lambda new: new.puzzles[:count])


def rewrite(
    file: Path, lines: Sequence[str], pack: Pack, kept: Callable[[Pack], tuple[Puzzle, ...]]
) -> None:
    """Put lines in the place of a file, once it is known that they are a manifest.

    ``kept`` picks the puzzles of the new pack that must be those of ``pack``. Raises InputError
    where the lines are no manifest, PackbuilderError where something else of it would change.
    """
    aside = file.with_name(f".{file.name}.new")
    try:
        aside.write_bytes("".join(lines).encode("utf-8"))
        os.chmod(aside, file.stat().st_mode & 0o777)  # noqa: PTH101
        try:
            found = manifest.load(aside)
        except InputError as error:
            raise InputError(str(error).replace(str(aside), str(file))) from None
        if _plain(found, kept(found)) != _plain(pack, pack.puzzles):
            raise PackbuilderError(
                f"{file}: more would change than was meant: a fault of packbuilder; nothing was "
                "written; please report it with the file"
            )
        aside.replace(file)
    finally:
        aside.unlink(missing_ok=True)


def _plain(pack: Pack, puzzles: tuple[Puzzle, ...]) -> Pack:
    """A pack without the lines on which its puzzles stand."""
    return replace(pack, puzzles=tuple(replace(one, where="") for one in puzzles))


def _end_of_list(document: Document, lines: Sequence[str]) -> tuple[int, int]:
    """The column of the hyphens, and the number of lines up to the end of the last entry."""
    count = len(document.data["puzzles"])
    last = document.lines[("puzzles", count - 1)].line
    first = lines[last - 1]
    column = len(first) - len(first.lstrip(" "))
    if not first[column:].startswith("- "):
        raise InputError(
            f"{document.path}:{last}: the list of puzzles is written in brackets; begin each on "
            "a line of its own, with `- id: ...`, to have more added"
        )
    later = [place.line for where, place in document.lines.items() if len(where) == 1]
    end = min([line - 1 for line in later if line > last], default=len(lines))
    while end > last and _is_between(lines[end - 1], column):
        end -= 1
    return column, end


def _is_between(line: str, column: int) -> bool:
    """Whether a line belongs to no entry: blank, or a comment no deeper than the hyphens."""
    text = line.strip()
    return not text or (text.startswith("#") and line.index("#") <= column)


def _moved(line: str, column: int) -> str:
    """A line of an entry, which is written for hyphens in the third column."""
    return " " * column + line.removeprefix("  ") if line.strip() else ""


def put_clues(pack: Pack, file: Path, name: str, clues: Values) -> None:
    """Write other clues into the grid of a puzzle; nothing else in the file changes.

    But for a promised number of clues, where it is no longer theirs. Raises InputError where the
    puzzle stands in a file of its own, or its grid in a way that cannot be written into.
    """
    document = read_yaml(file)
    found = [k for k, one in enumerate(document.data["puzzles"]) if one.get("id") == name]
    if not found:
        raise InputError(f"{name} stands in a file of its own: write the lines there by hand")
    where, (puzzle,) = ("puzzles", found[0]), [one for one in pack.puzzles if one.id == name]
    lines = file.read_bytes().decode("utf-8").splitlines(keepends=True)
    place = document.lines[*where, "grid"]
    begin, cell = place.value_line - 1 + place.literal, 0
    for k in range(begin, len(lines) if place.literal else begin + 1):
        head, text = "", lines[k]
        if k == place.line - 1:
            head, text = text[: text.index("grid:") + 5], text[text.index("grid:") + 5 :]
        written = [head]
        for sign in text:
            here = sign in SIGNS and cell < len(clues)
            other = here and clues[cell] != puzzle.clues[cell]
            written.append(SYMBOLS[clues[cell]] if other else sign)
            cell += here
        lines[k] = "".join(written)
        if cell == len(clues):
            break
    count = sum(map(bool, clues))
    promised = document.lines.get((*where, "promise", "clues"))
    if promised and puzzle.promise.clues not in (None, count):
        k = promised.line - 1
        lines[k] = re.sub(r"(clues['\"]?: *['\"]?)\d+", rf"\g<1>{count}", lines[k], count=1)
        puzzle = replace(puzzle, promise=replace(puzzle.promise, clues=count))
    then = replace(pack, puzzles=tuple(
        replace(puzzle, clues=clues) if one.id == name else one for one in pack.puzzles
    ))  # fmt: skip
    rewrite(file, lines, then, lambda new: new.puzzles)
