"""Pictures: where clues stand, where none may, where either is fine; and digits that are fixed.

A picture is text, a sign a cell and a line a row: ``#`` a clue, ``.`` none, ``?`` either, a digit
that digit. Blanks in a line are ignored. A few pictures of our own lie in ``pictures/``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from importlib.resources import files
from pathlib import Path

from packbuilder.errors import InputError
from packbuilder.files import read_file
from packbuilder.grid import MAX_SIZE, MIN_SIZE, SYMBOLS
from packbuilder.phrases import counted, nearest, quoted

CLUE, NONE, EITHER = "#", ".", "?"
_DIGITS = {sign: k for k, sign in enumerate(SYMBOLS) if k} | {
    sign.lower(): k for k, sign in enumerate(SYMBOLS) if sign.isalpha()
}
MOST_BYTES = 10_000


@dataclass(frozen=True)
class Picture:
    """A picture; ``signs`` has one for each cell: `CLUE`, `NONE`, `EITHER` or a digit's own."""

    size: int
    signs: tuple[str, ...]

    @cached_property
    def fixed(self) -> dict[int, int]:
        """The digits that are fixed, by cell."""
        return {cell: _DIGITS[sign] for cell, sign in enumerate(self.signs) if sign in _DIGITS}

    @cached_property
    def drawn(self) -> tuple[int, ...]:
        """The cells that hold some clue, whichever."""
        return tuple(cell for cell, sign in enumerate(self.signs) if sign == CLUE)

    @cached_property
    def optional(self) -> tuple[int, ...]:
        """The cells that may hold a clue or none."""
        return tuple(cell for cell, sign in enumerate(self.signs) if sign == EITHER)

    @property
    def span(self) -> tuple[int, int]:
        """How many clues there are: at the least, and at the most."""
        least = len(self.fixed) + len(self.drawn)
        return least, least + len(self.optional)

    @property
    def text(self) -> str:
        """The picture as a file has it, without the last line break."""
        rows = (self.signs[k : k + self.size] for k in range(0, len(self.signs), self.size))
        return "\n".join("".join(row) for row in rows)

    def shows(self, clues: tuple[int, ...]) -> bool:
        """Whether the clues of a grid are as it says."""
        return all(
            clue == _DIGITS[sign]
            if sign in _DIGITS
            else sign == EITHER or (sign == CLUE) == (clue > 0)
            for sign, clue in zip(self.signs, clues, strict=True)
        )


def read_picture(text: str, name: str, first: int = 1) -> Picture:
    """The picture that a text draws. Raises InputError.

    For messages: ``name`` is its file's, ``first`` the line there on which it begins.
    """
    rows = [(k, line) for k, line in enumerate(text.splitlines(), start=first) if line.strip()]
    size = len(rows)
    if not MIN_SIZE <= size <= MAX_SIZE:
        raise InputError(
            f"{name}: the picture has {counted(size, 'row')}; it needs {MIN_SIZE} to {MAX_SIZE}, "
            "one for each row of the grid"
        )
    signs: list[str] = []
    for k, line in rows:
        found = list(_signs(line, size, f"{name}:{k}"))
        if len(found) != size:
            raise InputError(
                f"{name}:{k}: this row has {counted(len(found), 'sign')}, and there are {size} "
                f"rows; write {size} signs, one for each cell"
            )
        signs += found
    return Picture(size, tuple(signs))


def _signs(line: str, size: int, where: str) -> Iterator[str]:
    for column, sign in enumerate(line, start=1):
        if sign.isspace():
            continue
        if sign not in (CLUE, NONE, EITHER) and not 1 <= _DIGITS.get(sign, 0) <= size:
            most = SYMBOLS[size]
            raise InputError(
                f"{where}:{column}: {quoted(sign)} is no sign of a picture; write # (a clue), "
                f". (none), ? (either), or a digit from 1 to {most}"
            )
        yield sign.upper()


def own() -> dict[str, Picture]:
    """The pictures that come with packbuilder, by name."""
    folder = files("packbuilder.setting") / "pictures"
    found = {}
    for file in sorted(folder.iterdir(), key=lambda file: file.name):
        if file.name.endswith(".txt"):
            text = file.read_text(encoding="utf-8")
            found[file.name.removesuffix(".txt")] = read_picture(text, file.name)
    return found


def drawn_by(clues: tuple[int, ...]) -> str:
    """The name of the picture of ours that a grid's clues draw; "" for none."""
    found = (
        name for name, one in own().items() if len(one.signs) == len(clues) and one.shows(clues)
    )
    return next(found, "")


def find_picture(asked: str) -> Picture:
    """The picture in a file, or the one of our own with that name. Raises InputError."""
    known = own()
    path = Path(asked)
    try:
        if asked in known and not path.exists():
            return known[asked]
        if not path.exists():
            raise FileNotFoundError
    except (FileNotFoundError, ValueError):  # ValueError: a NUL in the name
        raise InputError(
            f"--picture {quoted(asked)}: there is no such file, and no picture of that name; "
            f"{nearest(asked, known, 'packbuilder set --pictures')}"
        ) from None
    except OSError as error:
        raise InputError(f"--picture {asked}: cannot be read: {error.strerror}") from None
    data = read_file(path, MOST_BYTES, f"a picture of {MAX_SIZE} rows at the most")
    try:
        return read_picture(data.decode("utf-8-sig"), asked)
    except UnicodeDecodeError:
        raise InputError(f"{asked}: is no text; a picture is rows of # . ? and digits") from None
