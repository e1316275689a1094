"""People: the list of supporters, from the CSV file that the creator has of them."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from pathlib import Path

from packbuilder.supporters.csv_files import CsvFaults, read_table
from packbuilder.typography.names import strange

NAME = "name"
MOST_LETTERS = 120


@dataclass(frozen=True)
class Supporter:
    """Someone of the list: the line that they stand on, and the name as it is printed."""

    line: int
    name: str


def read_supporters(
    file: Path, encoding: str | None = None, *, same_names: bool = False
) -> list[Supporter]:
    """The supporters in the order of the list.

    Raises InputError with every fault by line and column: names that are empty, too long, or in
    letters that cannot be set; and the same name twice, unless ``same_names`` are allowed.
    """
    table = read_table(file, (NAME,), encoding)
    faults, first, column = CsvFaults(file), dict[str, int](), table.column(NAME)
    for row in table.rows:
        name = row.cells[NAME]
        if not name:
            faults.add(row.line, "is empty; write the name, or delete the line", column)
        elif len(name) > MOST_LETTERS:
            words = f"has {len(name)} letters; {MOST_LETTERS} are the most"
            faults.add(row.line, f"{words}. Shorten it", column)
        elif lost := strange(name):
            faults.add(
                row.line, f"{_told(name, lost)}; write the name in letters that have", column
            )
        elif name.casefold() in first and not same_names:
            faults.add(
                row.line,
                f"is the name of line {first[name.casefold()]} too; delete the line, or tell the "
                "two apart. If they are two people of one name, say --same-names",
                column,
            )
        else:
            first.setdefault(name.casefold(), row.line)
    if not table.rows:
        faults.add(1, "has no supporters; write a line for each below the header")
    faults.raise_if_any()
    return [Supporter(row.line, row.cells[NAME]) for row in table.rows]


def _told(name: str, letter: str) -> str:
    """Which letter it is by its place and its script: the letter itself may be half the name."""
    script = unicodedata.name(letter, "unknown").split()[0]
    return (
        f"its character {name.index(letter) + 1} ({script}) has no shape in the type, which has "
        "Latin, Greek and Cyrillic letters"
    )
