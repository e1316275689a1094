"""CSV files, as spreadsheets and membership pages write them, with every fault by line and column.

Commas, semicolons or tabs (RFC 4180, and what is written where a comma parts decimals), with or
without a byte order mark, UTF-8 or UTF-16. A fault names the line and the column, never what stands
there: it may be someone's name.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from packbuilder.errors import InputError
from packbuilder.files import read_file
from packbuilder.phrases import counted, listed
from packbuilder.text import encoding_of, tidy

_MOST_BYTES = 100_000_000
_PARTED = ",;\t"
_MOST_TOLD = 20


@dataclass
class CsvFaults:
    """What is wrong with a file, gathered and told together."""

    file: Path
    found: list[str] = field(default_factory=list)

    def add(self, line: int, words: str, column: str = "") -> None:
        """Note what is wrong and how to mend it; ``column`` is as `Table.column` gives it."""
        self.found.append(f"{self.file}:{line}: {column and f'{column}: '}{words}")

    def raise_if_any(self) -> None:
        """Raise InputError with all that was noted."""
        if self.found:
            told, rest = self.found[:_MOST_TOLD], len(self.found) - _MOST_TOLD
            more = [f"{self.file}: {counted(rest, 'more fault')} of such kinds"] if rest > 0 else []
            raise InputError("\n".join([*told, *more]))


@dataclass(frozen=True)
class Row:
    """A record of the file: the line on which it begins, and its cells by the names of columns."""

    line: int
    cells: Mapping[str, str]


@dataclass(frozen=True)
class Table:
    """The records of a file. Columns have the names of the header, in small letters."""

    file: Path
    columns: Sequence[str]
    rows: Sequence[Row]

    def column(self, name: str) -> str:
        """A column as a fault names it: by its number and its name."""
        return f"column {self.columns.index(name) + 1} ({name})"


def read_table(file: Path, needed: Sequence[str], encoding: str | None = None) -> Table:
    """A file with a header that has at least the columns that are ``needed``.

    Cells are tidied: normal form C, single blanks. Rows without anything in them are left out.
    Raises InputError with every fault.
    """
    text = _text(file, encoding)
    parted, skipped = _parting(file, text, needed)
    faults, rows, columns = CsvFaults(file), list[Row](), list[str]()
    for line, cells in _records(text, parted, faults):
        if line <= skipped or not any(cell.strip() for cell in cells):
            continue
        if not columns:
            columns = [tidy(cell).casefold() for cell in cells]
        elif len(cells) > len(columns) and any(cell.strip() for cell in cells[len(columns) :]):
            faults.add(
                line,
                f"has {len(cells)} cells, and the header has {len(columns)}; a cell with "
                f"{_NAMED[parted]} in it needs quotes round it",
            )
        else:
            told = dict(zip(columns, map(tidy, cells), strict=False))
            rows.append(Row(line, {name: told.get(name, "") for name in columns}))
    for name in needed:
        if columns.count(name) > 1:
            faults.add(1 + skipped, f"has two columns {name!r}; keep one")
    faults.raise_if_any()
    # A header that runs over several lines may be another than the line that looked like one.
    _check_all_there(file, 1 + skipped, needed, [one for one in needed if one not in columns])
    return Table(file, columns, rows)


_NAMED = {",": "a comma", ";": "a semicolon", "\t": "a tab"}


def _text(file: Path, encoding: str | None) -> str:
    data = read_file(file, _MOST_BYTES, "a CSV file")
    marked = encoding_of(data)
    try:
        text = data.decode(encoding or marked)
    except LookupError as fault:
        raise InputError(f"--encoding {encoding}: there is no such encoding") from fault
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        raise InputError(
            f"{file}:{line}: is not {encoding or marked}; save the list as CSV UTF-8, or say with "
            "--encoding what it is, such as cp1252"
        ) from fault
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise InputError(f"{file}:{line}: holds a zero byte: this is no CSV file; export it anew")
    return text


def _parting(file: Path, text: str, needed: Sequence[str]) -> tuple[str, int]:
    """The sign that parts cells, and how many lines stand before the header.

    A first line ``sep=;`` is a spreadsheet's own note of the sign.
    """
    lines = text.splitlines()
    skipped = int(bool(lines) and lines[0].casefold().startswith("sep="))
    first = next((line for line in lines[skipped:] if line.strip(_PARTED + ' "')), "")
    noted = lines[0][4:5] if skipped else ""
    best, missing = ",", list(needed)
    for sign in noted if noted and noted in _PARTED else _PARTED:
        names = [tidy(cell).casefold() for cell in next(csv.reader([first], delimiter=sign), [])]
        lacking = [name for name in needed if name not in names]
        if len(lacking) < len(missing):
            best, missing = sign, lacking
    _check_all_there(file, 1 + skipped, needed, missing)
    return best, skipped


def _check_all_there(file: Path, line: int, needed: Sequence[str], missing: list[str]) -> None:
    if missing:
        what = "column is called" if len(missing) == 1 else "columns are called"
        raise InputError(
            f"{file}:{line}: no {what} {listed(map(repr, missing))}; write a header line "
            f"such as `{','.join(needed)}`"
        )


def _records(text: str, parted: str, faults: CsvFaults) -> Iterator[tuple[int, list[str]]]:
    """The records, each with the line on which it begins."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=parted, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            yield line, next(reader)
        except StopIteration:
            return
        except csv.Error as fault:
            mend = "double a quote that is meant, and close what is opened"
            faults.add(line, f"{fault}; {mend}")
            return
