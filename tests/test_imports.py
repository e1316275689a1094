"""The rooms import one way along the pipeline, and what is heavy is imported late."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "packbuilder"

# Earlier rooms first; a room imports only rooms on earlier lines, or its own.
ORDER = [
    {"__init__", "errors", "phrases", "text", "workers"},
    {"grid", "yamlfields", "typography"},
    {"symmetry", "rules"},
    {"editions"},
    {"puzzle"},
    {"layouts"},
    {"proof"},
    {"ladder"},
    {"kinship"},
    {"manifest"},
    {"archive"},
    {"setting"},
    {"gate"},
    {"book"},
    {"plan"},
    {"reader"},
    {"plaintext", "pages", "press", "readback"},
    {"release"},
    {"pictures"},
    {"cli", "__main__"},
]
LEVEL = {room: level for level, rooms in enumerate(ORDER) for room in rooms}

APART = ("pages", "plaintext", "press", "readback")
"""Rooms of one level that share no code."""

HEAVY = ("numba", "numpy", "reportlab", "pdfplumber", "pypdf", "pypdfium2", "pysat", "pydantic",
         "rich", "yaml")  # fmt: skip


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports(path: Path) -> set[str]:
    """The rooms of packbuilder that a file imports, wherever in the file."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            parts = node.module.split(".")
            if parts[0] == "packbuilder":
                found |= {parts[1]} if len(parts) > 1 else {a.name for a in node.names}
        elif isinstance(node, ast.Import):
            for name in node.names:
                parts = name.name.split(".")
                if parts[0] == "packbuilder":
                    found.add(parts[1] if len(parts) > 1 else "__init__")
    return {name if name in LEVEL else "__init__" for name in found}


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda p: p.stem)
def test_imports_point_one_way(path: Path) -> None:
    own = room_of(path)
    later = {
        room
        for room in imports(path) - {own}
        if LEVEL[room] > LEVEL[own] or (LEVEL[room] == LEVEL[own] and own in APART)
    }
    assert later == set()


def test_the_command_line_starts_light() -> None:
    code = "import sys, packbuilder.cli; print([m for m in sys.argv[1:] if m in sys.modules])"
    run = subprocess.run(
        [sys.executable, "-c", code, *HEAVY], capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == "[]"
