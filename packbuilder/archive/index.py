"""The index: fingerprints of the puzzles of packs, in a SQLite file.

It can be deleted at any time: what it holds is worked out again from the packs. A file that is no
sound index is replaced, and that is said. Where none can be kept, one is made in memory.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from typing import TypeVar

from packbuilder import manifest
from packbuilder.errors import InputError
from packbuilder.files import read_file
from packbuilder.grid import Values
from packbuilder.kinship import Posed, fingerprint, solution_fingerprint
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.yamlfields.document import MAX_BYTES

NAME = ".kin.sqlite"
VERSION = 1
"""Of the tables and of what is in them: an index of another version is made anew."""

WAIT = 10.0
"""Seconds to wait for another process that writes the index."""

SECONDS = 10.0
"""Time for the solution of one puzzle of another pack; past it, it has none."""

_TABLES = (
    "DROP TABLE IF EXISTS packs",
    "DROP TABLE IF EXISTS puzzles",
    "CREATE TABLE packs (path TEXT PRIMARY KEY, files TEXT, digest TEXT, fault TEXT)",
    "CREATE TABLE puzzles (path TEXT, slug TEXT, title TEXT, issue TEXT, id TEXT,"
    " kin TEXT, solved TEXT)",
    "CREATE INDEX by_pack ON puzzles (path)",
    "CREATE INDEX by_kin ON puzzles (kin)",
    "CREATE INDEX by_solved ON puzzles (solved)",
    f"PRAGMA user_version = {VERSION}",
)
_DAMAGED = (sqlite3.SQLITE_ERROR, sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)

T = TypeVar("T")


def with_index(folder: Path, work: Callable[[sqlite3.Connection], T], notes: list[str]) -> T:
    """Do some work on the index of a folder of packs. What it writes is kept.

    ``notes`` gets a sentence where the index was damaged and had to be made anew.
    """
    path = folder / NAME
    try:
        return _at(str(path), work)
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorcode & 0xFF not in _DAMAGED:
            return _at(":memory:", work)  # it cannot be written here, or others are at it for long
    try:
        path.unlink()
        notes.append(f"{path}: the index of packs was damaged, and was made anew")
        return _at(str(path), work)
    except (OSError, sqlite3.DatabaseError):
        return _at(":memory:", work)


def _at(place: str, work: Callable[[sqlite3.Connection], T]) -> T:
    with closing(sqlite3.connect(place, timeout=WAIT, isolation_level=None)) as found:
        found.execute("BEGIN IMMEDIATE")
        if found.execute("PRAGMA user_version").fetchone() != (VERSION,):
            for statement in _TABLES:
                found.execute(statement)
        done = work(found)
        found.execute("COMMIT")
        return done


def refresh(found: sqlite3.Connection, folder: Path) -> None:
    """Bring the rows of one pack up to date with its files."""
    row = found.execute("SELECT files, digest FROM packs WHERE path = ?", [str(folder)]).fetchone()
    if row and _digest(folder, json.loads(row[0])) == row[1]:
        return
    files, fault = [manifest.NAME], ""
    puzzles: list[tuple[str | None, ...]] = []
    try:
        pack = manifest.load(folder)
        files += sorted({one.where.partition(":")[0] for one in pack.puzzles} - {manifest.NAME})
        puzzles += (_row(pack, puzzle) for puzzle in pack.puzzles)
    except (InputError, OSError) as error:
        fault = str(error).partition("\n")[0]
    found.execute("DELETE FROM puzzles WHERE path = ?", [str(folder)])
    found.executemany(
        "INSERT INTO puzzles VALUES (?, ?, ?, ?, ?, ?, ?)", [(str(folder), *one) for one in puzzles]
    )
    found.execute(
        "INSERT OR REPLACE INTO packs VALUES (?, ?, ?, ?)",
        [str(folder), json.dumps(files), _digest(folder, files), fault],
    )


def _row(pack: Pack, puzzle: Puzzle) -> tuple[str | None, ...]:
    kin = fingerprint(puzzle.geometry, puzzle.clues, puzzle.rules)
    solved, solution = None, solution_of(Posed(puzzle.geometry, puzzle.clues, puzzle.rules))
    if solution:
        solved = solution_fingerprint(puzzle.geometry, solution, puzzle.rules)
    return pack.slug, pack.title, pack.issue, puzzle.id, kin, solved


def solution_of(posed: Posed) -> Values | None:
    """The one solution; None where there is none, or another, or where the time ran out."""
    from packbuilder.proof import kernel, sat

    if all(part.houses_only for part in posed.parts):
        verdict = kernel.prove(posed.geometry, posed.clues)
    else:
        verdict = sat.prove(posed.geometry, posed.clues, posed.parts, time_limit=SECONDS)
    return verdict.first if verdict.solutions == 1 else None


def _digest(folder: Path, files: list[str]) -> str:
    """What files hold, in one text; a file that cannot be read holds nothing."""
    whole = sha256()
    for name in files:
        try:
            data = read_file(folder / name, MAX_BYTES, "a manifest")
        except InputError:
            data = b""
        whole.update(f"{name} {len(data)}\n".encode() + data)
    return whole.hexdigest()
