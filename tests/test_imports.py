"""The rooms import one way along the pipeline, and what is heavy is imported late."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "packbuilder"

# Earlier rooms first; a room imports only rooms on earlier lines, or its own.
ORDER = [
    {
        "__init__",
        "cluster",
        "compiled",
        "confined",
        "errors",
        "files",
        "phrases",
        "text",
        "workers",
    },
    {"grid", "yamlfields", "typography"},
    {"symmetry", "rules"},
    {"editions"},
    {"artwork"},
    {"puzzle"},
    {"layouts"},
    {"proof"},
    {"ladder"},
    {"kinship"},
    {"manifest"},
    {"archive"},
    {"setting"},
    {"gate"},
    {"mending"},
    {"book"},
    {"plan"},
    {"reader"},
    {"plaintext", "pages", "press", "readback"},
    {"release"},
    {"pictures", "script"},
    {"supporters", "setters"},
    {"issuing"},
    {"cli", "__main__"},
]
LEVEL = {room: level for level, rooms in enumerate(ORDER) for room in rooms}

WALLS = [
    (("reader", "readback"), ("pages", "press", "plaintext")),
    (("pages", "press", "plaintext"), ("reader", "readback")),
    (("pages",), ("press", "plaintext")),
    (("press",), ("pages", "plaintext")),
    (("plaintext",), ("pages", "press")),
    (("reader",), ("readback",)),
]
"""From where to where no way of imports leads, however long. Who reads a file knows nothing of how
it was written; what a rule of the house looks like is said twice, by two rooms that share nothing.
"""

HEAVY = ("contourpy", "fontTools", "numba", "numpy", "reportlab", "pdfplumber", "pypdf",
         "pypdfium2", "pysat", "rich", "uharfbuzz", "yaml")  # fmt: skip


NAMED = re.compile(r"packbuilder(\.\w+)+(:\w+)?")

Imports = dict[str, set[str]]
"""Of each file, without its ending, the files and rooms that it imports, wherever in it."""


def read(package: Path) -> Imports:
    files = {p.relative_to(package).with_suffix("").as_posix(): p for p in package.rglob("*.py")}
    known = names(files)
    return {
        name: known.intersection(imported(path.read_text(encoding="utf-8")))
        for name, path in files.items()
    }


def names(files: Iterable[str]) -> set[str]:
    """The files, and the rooms and parts of rooms that stand for their ``__init__``."""
    return {*files, *(name.removesuffix("/__init__") for name in files)}


def hidden(path: Path) -> Iterator[str]:
    """Imports that `imported` cannot follow: relative ones, and by a name that is made up."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.level:
            yield f"{path}:{node.lineno}: a relative import"
        named = getattr(node, "id", None) or getattr(node, "attr", None)
        if named in ("import_module", "__import__", "run_module"):
            yield f"{path}:{getattr(node, 'lineno', 0)}: {named}"


@cache
def imported(source: str) -> tuple[str, ...]:
    """What a file may mean: of ``from packbuilder.a import b`` the file a, the file a/b and a.

    A name that is written out, such as "packbuilder.a.b" or "packbuilder.a:b", is imported later.
    """
    meant: list[str] = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and node.module:
            meant += [node.module, *(f"{node.module}.{one.name}" for one in node.names)]
        elif isinstance(node, ast.Import):
            meant += [one.name for one in node.names]
        elif isinstance(node, ast.Constant) and NAMED.fullmatch(str(node.value)):
            meant += str(node.value).split(":")[:1]
    ways = [name.split(".")[1:] for name in meant if name.split(".")[0] == "packbuilder"]
    return tuple("/".join(parts[: k + 1]) for parts in ways for k in range(len(parts)))


def crossings(found: Imports, begin: tuple[str, ...], end: tuple[str, ...]) -> list[str]:
    """The files behind a wall that are reached from before it."""
    todo, seen = [name for name in found if within(name, begin)], set()
    while todo:
        name = todo.pop()
        if name not in seen:
            seen.add(name)
            todo += found.get(name, found.get(f"{name}/__init__", set()))
    return sorted(name for name in seen if within(name, end))


def within(name: str, rooms: tuple[str, ...]) -> bool:
    return any(name == room or name.startswith(f"{room}/") for room in rooms)


IMPORTS = read(PACKAGE)


def room_of(name: str) -> str:
    return name.split("/")[0]


SCANS = PACKAGE / "rules/__init__.py"
"""What finds the files of its own room by their names."""


def test_no_import_is_hidden() -> None:
    files = [path for path in PACKAGE.rglob("*.py") if path != SCANS]
    assert [told for path in files for told in hidden(path)] == []
    assert len(list(hidden(SCANS))) == 1


@pytest.mark.parametrize(
    "line",
    ["from . import press", "from ..press import write_pdf", "import_module('packbuilder.press')",
     "importlib.import_module('packbuilder.press')", "__import__('packbuilder.press')"],
)  # fmt: skip
def test_a_hidden_import_is_seen(line: str, tmp_path: Path) -> None:
    path = tmp_path / "marks.py"
    path.write_text(
        f"{(PACKAGE / 'reader/marks.py').read_text(encoding='utf-8')}\n{line}\n", "utf-8"
    )
    assert list(hidden(path))


@pytest.mark.parametrize("name", sorted(IMPORTS))
def test_imports_point_one_way(name: str) -> None:
    own = LEVEL[room_of(name)]
    later = {one for one in IMPORTS[name] if LEVEL.get(room_of(one), 0) > own}
    assert later == set()


@pytest.mark.parametrize(("begin", "end"), WALLS, ids=lambda rooms: "+".join(rooms))
def test_no_way_leads_through_a_wall(begin: tuple[str, ...], end: tuple[str, ...]) -> None:
    assert crossings(IMPORTS, begin, end) == []


@pytest.mark.parametrize(("begin", "end"), WALLS, ids=lambda rooms: "+".join(rooms))
@pytest.mark.parametrize("through", ["itself", "phrases"])
def test_a_broken_wall_is_seen(
    begin: tuple[str, ...], end: tuple[str, ...], through: str, tmp_path: Path
) -> None:
    """In a copy of the house one file before the wall imports from behind it, or a lower room does
    that it imports: so low that every room may."""
    house = shutil.copytree(PACKAGE, tmp_path / "packbuilder")
    for room in end:
        lower = house / f"{through}.py"
        breach = (
            lower if through != "itself" else next(iter(sorted((house / begin[0]).glob("*.py"))))
        )
        whole = breach.read_text(encoding="utf-8")
        breach.write_text(f"{whole}\nfrom packbuilder import {room}\n", encoding="utf-8")
        assert room in crossings(read(house), begin, (room,))
        breach.write_text(whole, encoding="utf-8")


def test_the_command_line_starts_light() -> None:
    code = "import sys, packbuilder.cli; print([m for m in sys.argv[1:] if m in sys.modules])"
    run = subprocess.run(
        [sys.executable, "-c", code, *HEAVY], capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == "[]"
