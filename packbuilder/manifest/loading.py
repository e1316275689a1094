"""Loading: a pack's folder in, a Pack out, or every fault that was found.

Faults are told together, sorted by file and line, one a line::

    packs/harbour/manifest.yaml:12: puzzles[3].size (lamp-room): is 20; write a whole number ...

Puzzles are counted from 1, as readers count them. Two passes: each field alone (what it may hold is
in `fields`), then what fields mean together, for the fields that are sound.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from packbuilder import grid
from packbuilder.artwork import MOST_BYTES
from packbuilder.errors import InputError
from packbuilder.grid import Geometry, GridFault, Values
from packbuilder.manifest.fields import FILE, MANIFEST, PACK, PROMISE, PUZZLE
from packbuilder.manifest.ladders import check_ladder, read_ladder
from packbuilder.manifest.rules import read_rules
from packbuilder.phrases import nearest, quoted
from packbuilder.puzzle import Cover, Pack, Puzzle
from packbuilder.yamlfields.document import Document, Scalar, parse_yaml, read_yaml, reason
from packbuilder.yamlfields.groups import ReadGroup
from packbuilder.yamlfields.parts import Faults, YamlPart
from packbuilder.yamlfields.values import Wrong

NAME = "manifest.yaml"


def load(path: Path) -> Pack:
    """Read a pack from its folder, or from its manifest file.

    Raises InputError with every fault, each on a line ``file:line: field: what; how to mend it``.
    """
    folder, manifest = _places(path)
    faults, top = Faults(), YamlPart(read_yaml(manifest))
    pack = PACK.read_fields(top.inside("pack"), faults)
    MANIFEST.note_unknown(top, faults)
    found = [_puzzle(part, folder, faults) for part in _entries(top, faults)]
    puzzles = [puzzle for puzzle in found if puzzle is not None]
    _check_ids(puzzles, faults)
    made = [_make(puzzle, folder, pack, faults) for puzzle in puzzles]
    ladder, cover = _ladder(pack, folder, faults), _cover(pack, folder, faults)
    faults.raise_if_any()
    own = {**pack.values, "ladder": ladder, "cover": cover}
    return _pack(own, folder, tuple(p for p in made if p is not None))


def load_entries(text: str) -> tuple[Puzzle, ...]:
    """Puzzles from entries as they stand under ``puzzles:``, or one entry without its dash.

    Raises InputError as `load` does; the file is called ``-``.
    """
    lines = text.splitlines()
    first = next((k for k, line in enumerate(lines) if line.strip() and line.strip()[0] != "#"), 0)
    if lines and not lines[first].lstrip().startswith("- "):
        lines = ["  " + line for line in lines]
        lines[first] = "- " + lines[first][2:]
    faults, here = Faults(), Path("-")
    try:
        top = YamlPart(parse_yaml("\n".join(["puzzles:", *lines, _BARE_PACK]), here))
        pack = PACK.read_fields(top.inside("pack"), faults)
        found = [_puzzle(part, Path(), faults) for part in _entries(top, faults)]
        _check_ids([puzzle for puzzle in found if puzzle], faults)
        made = [_make(puzzle, Path(), pack, faults) for puzzle in found if puzzle]
        faults.raise_if_any()
    except InputError as error:  # the line that was put before the first is not the user's
        told = re.sub(r"^-:(\d+)", lambda at: f"-:{int(at[1]) - 1}", str(error), flags=re.M)
        raise InputError(told) from None
    return tuple(puzzle for puzzle in made if puzzle is not None)


_BARE_PACK = "pack: {title: entry, issue: 2000-01, byline: entry}\n"


def slug_of(folder: Path) -> str:
    """The name under which a pack's files are built: its folder's name.

    Letters (of any script), digits, dots, underscores and hyphens stay; each run of other
    characters becomes a hyphen; hyphens and dots at the ends go. ``pack`` where nothing is left,
    and before a name that Windows keeps for devices.
    """
    name = unicodedata.normalize("NFC", folder.resolve().name)
    slug = re.sub(r"[^\w.-]+", "-", name).strip("-.") or "pack"
    return f"pack-{slug}" if _DEVICE.match(slug) else slug


_DEVICE = re.compile(r"(con|prn|aux|nul|(com|lpt)[0-9¹²³])(\.|$)", re.IGNORECASE)


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
        raise InputError(f"{path}: cannot be read: {reason(error)}") from None
    return folder, manifest


def _entries(top: YamlPart, faults: Faults) -> Iterator[YamlPart]:
    puzzles = top.inside("puzzles")
    if not isinstance(puzzles.data, list) or not puzzles.data:
        wrong = "is not a list of puzzles" if puzzles.data is not None else puzzles.lack
        faults.add(puzzles, f"{wrong}; begin each puzzle with `- id: ...`")
        return
    for k in range(len(puzzles.data)):
        yield puzzles.inside(k)


def _puzzle(part: YamlPart, folder: Path, faults: Faults) -> ReadGroup | None:
    if isinstance(part.data, dict) and "file" in part.data:
        name = FILE.read_fields(part, faults).get("file")
        inner = _in_file(part, name, folder, faults) if name else None
        if inner is None:
            return None
        part = inner
    if isinstance(part.data, dict) and isinstance(name := part.data.get("id"), Scalar):
        part = YamlPart(part.document, part.where, part.label, quoted(name)[1:-1])
    return PUZZLE.read_fields(part, faults)


def _document(
    part: YamlPart, name: str, folder: Path, faults: Faults, holds: str
) -> Document | None:
    """The YAML file of that name inside the folder; None, and a fault, where it cannot be had."""
    path = folder / name
    try:
        _check_place(part, name, folder, f"a YAML file with {holds}")
        return read_yaml(path)
    except (Wrong, OSError, RuntimeError) as error:  # RuntimeError: a loop of links
        told = str(error) if isinstance(error, Wrong) else f"{name} cannot be read; replace it"
        faults.add(part, told)
    except InputError as error:
        faults.unreadable(path, error)
    return None


def _check_place(part: YamlPart, name: str, folder: Path, wanted: str) -> None:
    """Raise Wrong where a name is not that of a file inside the folder."""
    if "\\" in name or Path(name).is_absolute():
        raise Wrong("is not a path inside the pack's folder; write it like extra/x.yaml")
    real = (folder / name).resolve()
    if not real.is_relative_to(folder.resolve()):
        raise Wrong("leads out of the pack's folder; copy the file into the folder")
    if real == part.document.path.resolve():
        raise Wrong("is the manifest itself; name another file")
    if real.is_symlink():  # still, so its links lead round in a ring: Python 3.13 on
        raise Wrong(f"{name} cannot be read; replace it")
    if not real.exists():
        raise Wrong(f"there is no file {name}; check the spelling, or write it")
    if not real.is_file():
        raise Wrong(f"{name} is not a file; give {wanted}")


def _in_file(entry: YamlPart, name: str, folder: Path, faults: Faults) -> YamlPart | None:
    """The puzzle that stands in a file of its own; None, and a fault, where it cannot be had."""
    document = _document(entry.inside("file"), name, folder, faults, "one puzzle")
    if document is None:
        return None
    inner = YamlPart(document, (), entry.label)
    if "file" in document.data:
        faults.add(inner.inside("file"), "a puzzle's file cannot name another; write the puzzle")
        return None
    if {"pack", "puzzles"} & set(document.data):
        faults.add(inner, "the file holds a whole pack; it needs the fields of one puzzle, at its "
                   "top")  # fmt: skip
        return None
    return inner


# --- second pass: fields together -------------------------------------------------------------


def _check_ids(puzzles: Iterable[ReadGroup], faults: Faults) -> None:
    first: dict[str, YamlPart] = {}
    for puzzle in puzzles:
        if (name := puzzle.get("id")) is None:
            continue
        part = puzzle.part.inside("id")
        other = first.get(name)
        if other and (other.document.path, other.line) == (part.document.path, part.line):
            faults.add(part, "the file is listed twice in the manifest; list it once")
        elif other:
            faults.add(part, f"{name!r} is already used at {other.document.path}:{other.line}; "
                       "give each puzzle an id of its own")  # fmt: skip
        first.setdefault(name, part)


def _make(puzzle: ReadGroup, folder: Path, pack: ReadGroup, faults: Faults) -> Puzzle | None:
    """The puzzle, where its fields are sound alone and together; else None, and the faults."""
    part, found = puzzle.part, dict(puzzle.values)
    size, byline = puzzle.get("size"), pack.get("byline")
    if size is None:
        return None
    geometry = _geometry(puzzle, size, faults) if "blocks" in found else None
    rules = read_rules(part.inside("rules"), geometry, faults) if "rules" in found else None
    clues = _values(puzzle, "grid", size, faults)
    solution = _values(puzzle, "solution", size, faults)
    _check_clue_count(part.inside("promise", "clues"), size, faults)
    if rules is None or clues is None or byline is None or not puzzle.whole:
        return None
    return Puzzle(
        id=found["id"],
        title=found["title"],
        setter=found["setter"] or byline,
        geometry=rules.geometry,
        clues=clues,
        promise=found["promise"],
        solution=solution,
        permission=found["permission"],
        intro=found["intro"],
        link=found["link"],
        where=f"{part.document.path.relative_to(folder).as_posix()}:{part.line}",
        rules=rules.parts,
        rule_names=rules.names,
        hints=found["hints"] or (),
        hinted=found["hints"] != (),
        entry=found["entry"],
        answers=_answers(part.inside("answers"), found["answers"], pack, faults),
        spoil=found["spoil"],
    )


def _answers(
    part: YamlPart, answers: Mapping[str, str], pack: ReadGroup, faults: Faults
) -> tuple[tuple[str, str], ...]:
    """Answers in the order of the pack's questions, of which each must be to one."""
    questions: Mapping[str, str] = pack.get("questions") or {}
    for name in answers:
        if name not in questions and pack.get("questions") is not None:
            known = f"; {nearest(name, questions)}" if questions else ""
            told = f"there is no question {name!r} under the pack's `questions:`"
            faults.add(part.inside(name), f"{told}{known or '; write it there'}")
    return tuple((name, answers[name]) for name in questions if name in answers)


def _geometry(puzzle: ReadGroup, size: int, faults: Faults) -> Geometry | None:
    part, text = puzzle.part.inside("blocks"), puzzle.get("blocks")
    try:
        return grid.read_blocks(text, size)
    except GridFault as fault:
        faults.add(part, str(fault), _row_line(part, text or "", fault.row))
        return None


def _values(puzzle: ReadGroup, name: str, size: int, faults: Faults) -> Values | None:
    """The cells of ``grid`` or ``solution``; None where it is not given, or faulty."""
    part, text = puzzle.part.inside(name), puzzle.get(name)
    if text is None:
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


def _row_line(part: YamlPart, text: str, row: int | None) -> int | None:
    """The line of the file on which a row (from 1) of a grid stands."""
    if row is None:
        return None
    lines = [k for k, line in enumerate(text.splitlines()) if line.strip(" \t|")]
    k = lines[min(row, len(lines)) - 1] if lines else 0
    return part.document.text_line(part.where, k)


def _check_clue_count(part: YamlPart, size: int, faults: Faults) -> None:
    """More clues than cells. What else may be wrong with the number is told already."""
    count = PROMISE.fields["clues"].spec.read(part, Faults())
    if count is not None and count > size**2:
        told = f"a {size}x{size} grid has {size**2} cells: write how many of them are clues"
        faults.add(part, f"is {count}; {told}")


def _ladder(pack: ReadGroup, folder: Path, faults: Faults) -> dict[str, Any]:
    """The creator's changes to the ladder, inline or in a file of the pack's folder."""
    part, found = pack.part.inside("ladder"), pack.get("ladder") or {}
    if not isinstance(found, Scalar):
        check_ladder(part, found, faults)
        return dict(found)
    document = _document(part, str(found), folder, faults, "changes to the ladder")
    return read_ladder(YamlPart(document, (), part.label), faults) if document else {}


def _cover(pack: ReadGroup, folder: Path, faults: Faults) -> Cover:
    """The design of the cover, or what is in the file of its picture; whether that can be printed
    is for the gate to say."""
    part, found = pack.part.inside("cover"), pack.get("cover") or ""
    if isinstance(found, str):
        return Cover(found)
    name, data = found.pop("picture"), b""
    try:
        _check_place(part.inside("picture"), name, folder, "a PNG or an SVG")
        if (size := (folder / name).stat().st_size) > MOST_BYTES:
            raise Wrong(
                f"{name} has {size / 1e6:.1f} million bytes, and there is room for "
                f"{MOST_BYTES / 1e6:g}; save it smaller"
            )
        data = (folder / name).read_bytes()
    except (Wrong, OSError, RuntimeError) as error:
        told = str(error) if isinstance(error, Wrong) else f"{name} cannot be read; replace it"
        faults.add(part.inside("picture"), told)
    return Cover(file=name, data=data, **found)


def _pack(found: Mapping[str, Any], folder: Path, puzzles: tuple[Puzzle, ...]) -> Pack:
    own_layouts = folder / "layouts"
    return Pack(
        slug=slug_of(folder),
        folder=folder,
        puzzles=puzzles,
        layouts_folder=own_layouts if own_layouts.is_dir() else None,
        **{**found, "questions": tuple(found["questions"].items())},
    )
