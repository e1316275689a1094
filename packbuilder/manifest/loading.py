"""Loading: a pack's folder in, a Pack out, or every fault that was found.

Faults are told together, sorted by file and line, one a line::

    packs/harbour/manifest.yaml:12: puzzles[3].size (lamp-room): is 20; write a whole number ...

Puzzles are counted from 1, as readers count them. Two passes: each field alone (`groups`; what it
may hold is in `fields`), then what fields mean together, for the fields that are sound.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from pathlib import Path

from packbuilder import grid
from packbuilder.errors import InputError
from packbuilder.grid import Geometry, GridFault, Values
from packbuilder.manifest.fields import (
    FileFields,
    ManifestFields,
    PackFields,
    PromiseFields,
    PuzzleFields,
)
from packbuilder.manifest.fieldtypes import quoted
from packbuilder.manifest.groups import Faults, Part, Read, names_of, read
from packbuilder.manifest.hints import read_hints
from packbuilder.manifest.ladders import read_ladder
from packbuilder.manifest.rules import read_rules
from packbuilder.puzzle import Pack, Promise, Puzzle
from packbuilder.yamlfile import Document, Text, read_yaml

NAME = "manifest.yaml"


def load(path: Path) -> Pack:
    """Read a pack from its folder, or from its manifest file.

    Raises InputError with every fault, each on a line ``file:line: field: what; how to mend it``.
    """
    folder, manifest = _places(path)
    document = read_yaml(manifest)
    faults = Faults()
    pack = read(PackFields, Part(document, ("pack",), "pack"), faults)
    top = Part(document, (), "")
    faults.unknown(top, ManifestFields)
    puzzles = [
        puzzle for puzzle in (_puzzle(part, folder, faults) for part in _entries(top, faults))
        if puzzle is not None
    ]  # fmt: skip
    if "needs" in pack.sound:
        _check_twice(pack.part.inside("needs"), pack.fields.needs, faults)
    _check_ids(puzzles, faults)
    made = [_make(puzzle, folder, pack, faults) for puzzle in puzzles]
    ladder = _ladder(pack, folder, faults)
    faults.raise_if_any()
    return _pack(pack.fields, folder, ladder, tuple(p for p in made if p is not None))


def slug_of(folder: Path) -> str:
    """The name under which a pack's files are built: its folder's name.

    Letters (of any script), digits, dots, underscores and hyphens stay; each run of other
    characters becomes a hyphen; hyphens and dots at the ends go. ``pack`` where nothing is left.
    """
    name = unicodedata.normalize("NFC", folder.resolve().name)
    return re.sub(r"[^\w.-]+", "-", name).strip("-.") or "pack"


# --- the folder and its files ------------------------------------------------------------------


def _places(path: Path) -> tuple[Path, Path]:
    """The pack's folder and its manifest, as the user gave them."""
    try:
        if not path.exists():
            raise InputError(f"{path}: there is no such folder or file; check the spelling")
        folder, manifest = (path, path / NAME) if path.is_dir() else (path.parent, path)
        if not manifest.exists():
            raise InputError(
                f"{folder}: the folder has no {NAME}; `packbuilder start` makes a folder with one"
            )
        if not manifest.resolve().is_relative_to(folder.resolve()):
            raise InputError(
                f"{manifest}: it leads out of the pack's folder; copy the file into the folder"
            )
    except (OSError, ValueError, RuntimeError) as error:  # a name too long, a NUL, a loop of links
        reason = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise InputError(f"{path}: cannot be read: {reason}") from None
    return folder, manifest


def _entries(top: Part, faults: Faults) -> Iterator[Part]:
    puzzles = top.inside("puzzles")
    if not isinstance(puzzles.data, list) or not puzzles.data:
        wrong = "is not a list of puzzles" if puzzles.data is not None else puzzles.lack
        faults.add(puzzles, f"{wrong}; begin each puzzle with `- id: ...`")
        return
    for k in range(len(puzzles.data)):
        yield puzzles.inside(k)


def _puzzle(part: Part, folder: Path, faults: Faults) -> Read[PuzzleFields] | None:
    if isinstance(part.data, dict) and "file" in part.data:
        entry = read(FileFields, part, faults)
        inner = _in_file(entry, folder, faults) if "file" in entry.sound else None
        if inner is None:
            return None
        part = inner
    if isinstance(part.data, dict) and isinstance(name := part.data.get("id"), Text):
        part = Part(part.document, part.where, part.label, quoted(name)[1:-1])
    return read(PuzzleFields, part, faults)


def _document(part: Part, name: str, folder: Path, faults: Faults, holds: str) -> Document | None:
    """The YAML file of that name inside the folder; None, and a fault, where it cannot be had."""
    path = folder / name
    try:
        if "\\" in name or Path(name).is_absolute():
            raise _Misplaced("is not a path inside the pack's folder; write it like extra/x.yaml")
        real = path.resolve()
        if not real.is_relative_to(folder.resolve()):
            raise _Misplaced("leads out of the pack's folder; copy the file into the folder")
        if real == part.document.path.resolve():
            raise _Misplaced("is the manifest itself; name another file")
        if not real.exists():
            raise _Misplaced(f"there is no file {name}; check the spelling, or write it")
        if not real.is_file():
            raise _Misplaced(f"{name} is not a file; give a YAML file with {holds}")
        return read_yaml(path)
    except (_Misplaced, OSError, RuntimeError) as error:  # RuntimeError: a loop of links
        told = str(error) if isinstance(error, _Misplaced) else f"{name} cannot be read; replace it"
        faults.add(part, told)
    except InputError as error:
        faults.unreadable(path, error)
    return None


def _in_file(entry: Read[FileFields], folder: Path, faults: Faults) -> Part | None:
    """The puzzle that stands in a file of its own; None, and a fault, where it cannot be had."""
    part = entry.part.inside("file")
    document = _document(part, entry.fields.file, folder, faults, "one puzzle")
    if document is None:
        return None
    inner = Part(document, (), entry.part.label)
    if "file" in document.data:
        faults.add(inner.inside("file"), "a puzzle's file cannot name another; write the puzzle")
        return None
    if {"pack", "puzzles"} & set(document.data):
        faults.add(inner, "the file holds a whole pack; it needs the fields of one puzzle, at its "
                   "top")  # fmt: skip
        return None
    return inner


class _Misplaced(Exception):
    """A puzzle's file that is not where it may be; the text is the fault."""


# --- second pass: fields together -------------------------------------------------------------


def _check_twice(part: Part, slugs: list[str], faults: Faults) -> None:
    for k, slug in enumerate(slugs):
        if slug in slugs[:k]:
            faults.add(part.inside(k), f"{slug!r} is given twice; keep one")


def _check_ids(puzzles: Iterable[Read[PuzzleFields]], faults: Faults) -> None:
    first: dict[str, Part] = {}
    for puzzle in puzzles:
        if "id" not in puzzle.sound:
            continue
        part, name = puzzle.part.inside("id"), puzzle.fields.id
        other = first.get(name)
        if other and (other.document.path, other.line) == (part.document.path, part.line):
            faults.add(part, "the file is listed twice in the manifest; list it once")
        elif other:
            faults.add(part, f"{name!r} is already used at {other.document.path}:{other.line}; "
                       "give each puzzle an id of its own")  # fmt: skip
        first.setdefault(name, part)


def _make(
    puzzle: Read[PuzzleFields], folder: Path, pack: Read[PackFields], faults: Faults
) -> Puzzle | None:
    """The puzzle, where its fields are sound alone and together; else None, and the faults."""
    part, fields = puzzle.part, puzzle.fields
    if "size" not in puzzle.sound:
        return None
    geometry = _geometry(puzzle, faults) if "blocks" in puzzle.sound else None
    rules = read_rules(part.inside("rules"), geometry, faults) if "rules" in puzzle.sound else None
    hints = read_hints(part.inside("hints"), faults) if "hints" in puzzle.sound else ()
    clues = _values(puzzle, "grid", faults)
    solution = _values(puzzle, "solution", faults)
    cells = fields.size**2
    promise, promised = part.inside("promise"), fields.promise.clues
    _check_twice(promise.inside("needs"), fields.promise.needs, faults)
    _check_twice(promise.inside("only"), fields.promise.only, faults)
    _check_twice(promise.inside("uses"), fields.promise.uses, faults)
    if promised is not None and promised > cells:
        faults.add(
            promise.inside("clues"),
            f"is {promised}; a {fields.size}x{fields.size} grid has {cells} cells: write how "
            "many of them are clues",
        )
    if rules is None or clues is None or "byline" not in pack.sound:
        return None
    if not puzzle.sound.issuperset(names_of(PuzzleFields)):
        return None
    return Puzzle(
        id=fields.id,
        title=fields.title,
        setter=fields.setter or pack.fields.byline,
        geometry=rules.geometry,
        clues=clues,
        promise=_promise(fields.promise),
        solution=solution,
        permission=fields.permission,
        intro=fields.intro,
        link=fields.link,
        where=f"{part.document.path.relative_to(folder).as_posix()}:{part.line}",
        rules=rules.parts,
        rule_names=rules.names,
        hints=hints,
        hinted=part.inside("hints").data != [],
    )


def _geometry(puzzle: Read[PuzzleFields], faults: Faults) -> Geometry | None:
    part, size, text = puzzle.part.inside("blocks"), puzzle.fields.size, puzzle.fields.blocks
    try:
        return grid.read_blocks(text, size)
    except GridFault as fault:
        faults.add(part, str(fault), _row_line(part, text or "", fault.row))
        return None


def _values(puzzle: Read[PuzzleFields], name: str, faults: Faults) -> Values | None:
    """The cells of ``grid`` or ``solution``; None where it is not given, or faulty."""
    part, size = puzzle.part.inside(name), puzzle.fields.size
    if name not in puzzle.sound or (text := getattr(puzzle.fields, name)) is None:
        return None
    try:
        values = grid.parse_grid(text, size)
        if name == "solution" and 0 in values:
            row, column = divmod(values.index(0), size)
            raise GridFault(
                f"row {row + 1}, column {column + 1} is empty; a solution gives every cell, "
                "or leave the solution out", row + 1, column + 1
            )  # fmt: skip
    except GridFault as fault:
        faults.add(part, str(fault), _row_line(part, text, fault.row))
        return None
    return values


def _row_line(part: Part, text: str, row: int | None) -> int | None:
    """The line of the file on which a row (from 1) of a grid stands."""
    if row is None:
        return None
    lines = [k for k, line in enumerate(text.splitlines()) if line.strip(" \t|")]
    k = lines[min(row, len(lines)) - 1] if lines else 0
    return part.document.text_line(part.where, k)


def _promise(fields: PromiseFields) -> Promise:
    return Promise(
        grade=fields.grade,
        needs=tuple(fields.needs),
        only=tuple(fields.only),
        uses=tuple(fields.uses),
        no_notes=fields.no_notes,
        clues=fields.clues,
        symmetry=fields.symmetry,
        minimal=fields.minimal,
    )


def _ladder(pack: Read[PackFields], folder: Path, faults: Faults) -> dict[str, object]:
    """The creator's changes to the ladder, inline or in a file of the pack's folder."""
    part = pack.part.inside("ladder")
    if "ladder" not in pack.sound or pack.fields.ladder is None:
        return {}
    if isinstance(part.data, Text):
        document = _document(part, str(part.data), folder, faults, "changes to the ladder")
        return read_ladder(Part(document, (), part.label), faults) if document else {}
    return read_ladder(part, faults)


def _pack(
    fields: PackFields, folder: Path, ladder: dict[str, object], puzzles: tuple[Puzzle, ...]
) -> Pack:
    own_layouts = folder / "layouts"
    return Pack(
        slug=slug_of(folder),
        folder=folder,
        title=fields.title,
        issue=fields.issue,
        byline=fields.byline,
        puzzles=puzzles,
        theme=fields.theme,
        foreword=fields.foreword,
        needs=tuple(fields.needs),
        paper=fields.paper,
        layout=fields.layout,
        order=fields.order,
        licence=fields.licence,
        layouts_folder=own_layouts if own_layouts.is_dir() else None,
        ladder=ladder,
        assume_unique=fields.assume_unique,
        sampler=fields.sampler,
        creep=fields.creep,
    )
