"""A new grid as a manifest entry: YAML to paste under ``puzzles:``."""

from __future__ import annotations

from packbuilder.grid import Geometry, Values, default_shape, format_rows
from packbuilder.setting.new_grid import NewGrid
from packbuilder.setting.rule_lines import rule_lines

DEFAULT_SIZE = 9
_INDENT = " " * 4
_SEED_DIGITS = 20
"""Digits of a seed that an id has room for. The request's name knows the others."""


def as_manifest_entry(grid: NewGrid, number: int) -> str:
    """The entry, ending in a line break, indented for the list under ``puzzles:``.

    ``number`` tells the grids of one run apart, in the id and in the working title; the id tells
    runs apart too, so that the entries of several may stand in one pack. The comment at the head
    says what the grid is and how to make it again.
    """
    lines = [
        f"# {grid.hardest}, effort {grid.effort:.0f}; seed {grid.seed}, attempt {grid.attempt}",
        f"- id: set-{str(grid.seed)[:_SEED_DIGITS]}-{grid.request}-{number}",
        f"  title: Grid {number}",
        *_geometry(grid.geometry),
        "  grid: |",
        *(_INDENT + row for row in _rows(grid.clues, grid.geometry)),
        *(f"  {line}" for line in rule_lines(grid.rules)),
        "  promise:",
        f"    grade: {grid.grade}",
        *([f"    needs: [{', '.join(grid.needs)}]"] if grid.needs else []),
        *([f"    only: [{', '.join(grid.only)}]"] if grid.only else []),
        *([] if grid.no_notes is None else [f"    no-notes: {grid.no_notes}"]),
        f"    clues: {grid.clue_count}",
        f"    symmetry: {grid.symmetry}",
    ]
    return "".join(f"  {line}\n" for line in lines)


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


def _rows(clues: Values, geometry: Geometry) -> list[str]:
    """The rows of the grid, with a gap between blocks."""
    rows = format_rows(clues, geometry.size).splitlines()
    width = geometry.shape[1] if geometry.shape else geometry.size
    return [" ".join(row[k : k + width] for k in range(0, len(row), width)) for row in rows]
