"""A new grid as a manifest entry: YAML to paste under ``puzzles:``."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Collection
from itertools import count
from typing import Any

from packbuilder.grid import Geometry, Values, default_shape, format_grid, format_rows
from packbuilder.ladder.head.load import no_notes
from packbuilder.setting.new_grid import NewGrid
from packbuilder.setting.rule_lines import rule_lines

DEFAULT_SIZE = 9
_INDENT = " " * 4
_NAME = 48
_SEED_DIGITS = 20
"""Digits of a seed that an id has room for. The request's name knows the others."""


def as_manifest_entry(
    grid: NewGrid,
    number: int,
    *,
    title: str = "",
    name: str = "",
    carried: Collection[tuple[str, str]] = (),
    taken: Collection[str] = (),
    titles: Collection[str] = (),
) -> str:
    """The entry, ending in a line break, indented for the list under ``puzzles:``.

    ``number`` tells the grids of one run apart, in the id and in the working title; the id tells
    runs apart too, so that the entries of several may stand in one pack. With a ``title`` of its
    own the id is made of that, or it is the ``name``. ``carried`` are fields with their words. An
    id that is ``taken`` is told apart by a number; working titles go on from the ``titles``. The
    comment above says what the grid is and how to make it again.
    """
    lines = [
        f"# {grid.hardest}, effort {grid.effort:.0f}; seed {grid.seed}, attempt {grid.attempt}",
        f"- id: {_free(name or _named(grid, number, title), taken)}",
        f"  title: {_words(title) if title else working_title(number, titles)}",
        *(f"  {field}: {_words(words)}" for field, words in carried),
        *_geometry(grid.geometry),
        "  grid: |",
        *(_INDENT + row for row in grid_rows(grid.clues, grid.geometry)),
        *(f"  {line}" for line in rule_lines(grid.rules)),
        "  promise:",
        f"    grade: {grid.grade}",
        *([f"    needs: [{', '.join(grid.needs)}]"] if grid.needs else []),
        *([f"    only: [{', '.join(grid.only)}]"] if grid.only else []),
        *([f"    no-notes: {grid.no_notes}"] if grid.no_notes is not None else []),
        f"    clues: {grid.clue_count}",
        f"    symmetry: {grid.symmetry}",
        *(["    minimal: true"] if grid.minimal else []),
    ]
    return "".join(f"  {line}\n" for line in lines)


def working_title(number: int, titles: Collection[str] = ()) -> str:
    """``Grid 3``: the number of a grid, or the next one where some have such titles already."""
    numbers = [int(title[5:]) for title in titles if re.fullmatch(r"Grid [0-9]{1,9}", title)]
    return f"Grid {max(numbers) + 1 if numbers else number}"


def _named(grid: NewGrid, number: int, title: str) -> str:
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_NAME].strip("-")
    return name or f"set-{str(grid.seed)[:_SEED_DIGITS]}-{grid.request}-{number}"


def _words(title: str) -> str:
    """A title as YAML: as it stands where it is words of letters, else in quotes."""
    plain = re.fullmatch(r"[A-Z][A-Za-z]+( [A-Za-z]+)+", title)
    return title if plain else json.dumps(title, ensure_ascii=False)


def _free(name: str, taken: Collection[str]) -> str:
    free = next(one for k in count() if (one := f"{name}-{k + 1}" if k else name) not in taken)
    return '"null"' if free == "null" else free


def as_json(grid: NewGrid) -> dict[str, Any]:
    """The grid for other programs."""
    return {
        "grid": format_grid(grid.clues),
        "solution": format_grid(grid.solution),
        "grade": grid.grade,
        "hardest": grid.hardest,
        "effort": grid.effort,
        "no_notes": no_notes(grid.geometry, grid.clues, grid.parts).as_json,
        "seed": grid.seed,
        "attempt": grid.attempt,
        "rules": [slug if value is None else {slug: value} for slug, value in grid.rules],
    }


def _geometry(geometry: Geometry) -> list[str]:
    """Size and blocks, where they are not what the manifest takes for granted."""
    lines = [] if geometry.size == DEFAULT_SIZE else [f"  size: {geometry.size}"]
    if geometry.regions is None:
        lines.append("  blocks: none")
    elif geometry.shape is None:
        letters = "".join(chr(ord("A") + region) for region in geometry.regions)
        size = geometry.size
        lines.append("  blocks: |")
        lines += [_INDENT + letters[k : k + size] for k in range(0, size * size, size)]
    elif geometry.shape != default_shape(geometry.size):
        lines.append(f"  blocks: {geometry.shape[0]}x{geometry.shape[1]}")
    return lines


def grid_rows(clues: Values, geometry: Geometry) -> list[str]:
    """The rows of the grid, with a gap between blocks."""
    rows = format_rows(clues, geometry.size).splitlines()
    width = geometry.shape[1] if geometry.shape else geometry.size
    return [" ".join(row[k : k + width] for k in range(0, len(row), width)) for row in rows]
