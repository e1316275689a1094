"""Lessons on techniques of rules: the grids that need them, as `rule_lessons.yaml` has them.

Each grid was set by this program: ``packbuilder set --size 6 --rule RULE --needs SLUG``.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from packbuilder.files import shipped
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.table import DEFAULT
from packbuilder.puzzle import Puzzle

DATA = "book/rule_lessons.yaml"
"""Entries as a manifest has them, under the slugs of techniques; a grid to try ends in -trial."""


TRIAL = "-trial"


@cache
def rule_grids() -> dict[str, Puzzle]:
    """The grids by their names; each needs the technique that it is named for."""
    from packbuilder.manifest.loading import load_entries

    file = shipped(DATA)
    assert file is not None
    return {puzzle.id: puzzle for puzzle in load_entries(file.read_text(encoding="utf-8"))}


def rule_allowance(slug: str, puzzle: Puzzle) -> Ladder:
    """What may be used for a grid: the technique, and all rungs below it."""
    ladder = with_rules(DEFAULT, puzzle.rules)
    return ladder.up_to(ladder.rung_of(slug), slug)


def rule_path(slug: str, puzzle: Puzzle) -> Path:
    """The solve of a grid by that. What its rules show at a glance, the whole ladder says."""
    path = walk(puzzle.geometry, puzzle.clues, ladder=rule_allowance(slug, puzzle))
    return replace(path, ladder=with_rules(DEFAULT, puzzle.rules))
