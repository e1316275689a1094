"""A book with one puzzle of each rule, its own example, and hints as the ladder has them."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

from packbuilder.book.book import Book, Entry
from packbuilder.grid import parse_grid, read_blocks
from packbuilder.ladder.hints import hints
from packbuilder.ladder.path import walk
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof.sat import prove
from packbuilder.puzzle import Pack, Promise, Puzzle
from packbuilder.rules import kinds
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import with_houses


@cache
def rule_book(paper: str = "a4", layout: str = "one-up") -> Book:
    """One puzzle a rule, in the order of ``kinds()``."""
    entries = _entries()
    pack = Pack(
        slug="all-rules", folder=Path("all-rules"), title="All Rules", issue="2026-12",
        byline="Odile Farrow", puzzles=tuple(entry.puzzle for entry in entries), paper=paper,
        layout=layout,
    )  # fmt: skip
    return Book(pack, entries)


@cache
def _entries() -> tuple[Entry, ...]:
    return tuple(_entry(k, slug) for k, slug in enumerate(kinds(), start=1))


def _entry(number: int, slug: str) -> Entry:
    data: dict[str, Any] = yaml.load(kinds()[slug].example, yaml.BaseLoader)
    size = int(data.get("size", "9"))
    bare = read_blocks(data.get("blocks"), size)
    parts: list[Part] = []
    names: list[str] = []
    for rule in data["rules"]:
        name, value = (rule, None) if isinstance(rule, str) else next(iter(rule.items()))
        parts += kinds()[name].read(value, bare)
        names.append(name)
    geometry, clues = with_houses(bare, parts), parse_grid(data["grid"], size)
    path = walk(geometry, clues, ladder=with_rules(DEFAULT, parts))
    solution = prove(geometry, clues, parts).first
    assert solution
    puzzle = Puzzle(
        id=slug, title=data["title"], setter="Odile Farrow", geometry=geometry, clues=clues,
        rules=tuple(parts), rule_names=tuple(names),
        promise=Promise(needs=("hidden-triple",), no_notes=2) if slug == "cages" else Promise(),
    )  # fmt: skip
    return Entry(number, puzzle, solution, path.grade, path.hardest, path.effort, path.techniques,
                 hints(path), path.ways())  # fmt: skip
