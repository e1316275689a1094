"""The register: which supporter has which number. It is private, and stays beside the copies.

A name has its number for good: who is new on the list takes the next one, who has left keeps
theirs, since the copy is out. Of two people of one name each has a number of their own.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

from packbuilder.errors import InputError
from packbuilder.supporters.csv_files import CsvFaults, read_table
from packbuilder.supporters.private import keep_out_of_repositories, private_file

FILE = "register.csv"
_COLUMNS = ("number", "name")
_DIGITS = 5


def shown(number: int) -> str:
    """A number as files and the register have it: with leading zeros."""
    return f"{number:0{_DIGITS}}"


def read_register(folder: Path) -> dict[int, str]:
    """The names by their numbers; none where there is no register.

    Raises InputError with every fault by line.
    """
    file = folder / FILE
    if not file.exists():
        return {}
    table, faults, found = read_table(file, _COLUMNS), CsvFaults(file), dict[int, str]()
    for row in table.rows:
        number, name = row.cells["number"], row.cells["name"]
        if not (number.isascii() and number.isdecimal() and int(number) > 0 and name):
            faults.add(row.line, "is not a number and a name; take the register from a backup")
        elif int(number) in found:
            faults.add(row.line, "has a number that is given already; take it from a backup")
        else:
            found[int(number)] = name
    faults.raise_if_any()
    return found


def numbered(names: Iterable[str], register: dict[int, str]) -> list[int]:
    """The number of each name, in their order; new ones are put into the register."""
    known: dict[tuple[str, int], int] = {}
    had = Counter[str]()
    for number in sorted(register):
        name = register[number].casefold()
        had[name] += 1
        known[name, had[name]] = number
    last, met, found = max(register, default=0), Counter[str](), []
    for name in names:
        met[name.casefold()] += 1
        key = name.casefold(), met[name.casefold()]
        if key not in known:
            last += 1
            known[key], register[last] = last, name
        found.append(known[key])
    return found


def write_register(register: dict[int, str], aside: Path, folder: Path) -> Path:
    """Write the register, for its owner's eyes alone; ``aside`` is a folder to make it in."""
    text = io.StringIO(newline="")
    rows: Sequence[Sequence[str]] = [(shown(k), register[k]) for k in sorted(register)]
    csv.writer(text, lineterminator="\n").writerows([_COLUMNS, *rows])
    private_file(aside / FILE, text.getvalue()).replace(folder / FILE)
    keep_out_of_repositories(aside, folder)
    return folder / FILE


def check_folder(folder: Path) -> None:
    """Raise InputError for a folder that is published: copies stand apart from releases."""
    if (folder / "release.json").exists():
        raise InputError(
            f"{folder}: is a folder of releases; copies and their register are private: name "
            "another folder with --to"
        )
