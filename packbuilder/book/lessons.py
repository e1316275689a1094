"""Lessons: what the primer teaches of the techniques that a pack turns on.

The examples are this program's own: each grid of ``lessons.yaml`` was found by `lesson_search` and
needs its technique. A pack sees it in a disguise of its own, so that each month has another
picture; what a grid needs is the same in all of them.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from packbuilder.book.book import Lesson
from packbuilder.files import shipped as of_package
from packbuilder.grid import Geometry, Values, blocks, parse_grid
from packbuilder.ladder.hints import Hint, hint_at
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.reasons import Reasons
from packbuilder.ladder.rungs import Ladder, Technique
from packbuilder.ladder.table import ASSUMING_UNIQUE, DEFAULT
from packbuilder.ladder.visible import seen_in_digits
from packbuilder.ladder.words import tell
from packbuilder.puzzle import Pack
from packbuilder.rules.contract import Draw, Row
from packbuilder.rules.tools.random_clues import shuffled

GEOMETRY: Geometry = blocks(3, 3)
"""All examples are of the common kind of grid."""

DATA = "book/lessons.yaml"
"""For each technique of the ladder how to look for it, and its example: see its head."""


@dataclass(frozen=True)
class Shipped:
    """What the data file has of one technique.

    ``look`` are the steps of looking for it. ``clues`` are those of its grid, made in ``attempt``
    of `lesson_search`; empty where no grid has been found yet.
    """

    look: tuple[str, ...] = ()
    clues: Values = ()
    attempt: int = 0


def lessons(pack: Pack) -> tuple[Lesson, ...]:
    """A lesson for each technique of the pack's ``needs``, in their order; none where it has none.

    The same issue and slug give the same lessons, on any machine. Techniques of rules have words
    and no example.
    """
    slugs = tuple(dict.fromkeys(pack.needs))
    if not slugs:
        return ()
    rows = _rows(pack)
    return tuple(_lesson(slug, rows[slug], pack) for slug in slugs if slug in rows)


@cache
def shipped() -> dict[str, Shipped]:
    """The data file, by technique."""
    import yaml

    file = of_package(DATA)
    assert file is not None
    text = file.read_text(encoding="utf-8")
    data: dict[str, Any] = yaml.load(text, yaml.BaseLoader)
    return {
        slug: Shipped(
            tuple(entry["look"]),
            parse_grid(entry["grid"], GEOMETRY.size) if "grid" in entry else (),
            int(entry.get("attempt", "0")),
        )
        for slug, entry in data.items()
    }


def allowance(slug: str) -> Ladder:
    """What a lesson's solver may use: the technique and all rungs below it.

    What takes the puzzle to have one solution is among them only where the technique does so too.
    """
    ladder = DEFAULT if slug in DEFAULT.slugs else ASSUMING_UNIQUE
    return ladder.up_to(ladder.rung_of(slug), slug)


def first_step(path: Path, slug: str) -> int | None:
    """The number of the first step of a technique on a path, from 0; None where it has none."""
    return next((k for k, step in enumerate(path.steps) if step.technique == slug), None)


def disguised(clues: Values, draw: Draw) -> Values:
    """A 9x9 grid with its digits renamed, bands and lines within them shuffled, perhaps turned.

    ``draw`` gives numbers from 0 to 1. These are the symmetries that keep rows, columns and blocks
    what they are.
    """
    names = [0, *shuffled(range(1, 10), draw)]
    rows, columns = _lines(draw), _lines(draw)
    turned = draw() < 0.5
    return tuple(names[clues[c * 9 + r if turned else r * 9 + c]] for r in rows for c in columns)


def _lines(draw: Draw) -> list[int]:
    bands = shuffled(range(3), draw)
    return [3 * band + line for band in bands for line in shuffled(range(3), draw)]


def _rows(pack: Pack) -> dict[str, Technique | Row]:
    """The row of each technique, as the pack's own ladder has it; of several, the easiest."""
    from packbuilder.ladder.overrides import chosen
    from packbuilder.ladder.puzzle_ladder import rule_rows

    rows: list[Technique | Row] = [
        *chosen(pack.ladder, pack.assume_unique).techniques,
        *rule_rows(),
    ]
    return {row.slug: row for row in sorted(rows, key=lambda row: row.rung, reverse=True)}


def _lesson(slug: str, row: Technique | Row, pack: Pack) -> Lesson:
    known = shipped().get(slug, Shipped())
    lesson = Lesson(slug, row.name, row.rung, row.about, row.idea, look=known.look)
    if not known.clues:
        return lesson
    # Only random() is promised to draw the same numbers in every Python.
    draw = random.Random(f"{pack.issue}/{pack.slug}/{slug}").random
    clues = disguised(known.clues, draw)
    path = walk(GEOMETRY, clues, ladder=allowance(slug))
    k = first_step(path, slug)
    assert k is not None  # what is shipped is tested to need it, in every disguise
    return replace(
        lesson,
        geometry=GEOMETRY,
        clues=clues,
        hint=_bare(path, k),
        seen=seen_in_digits(path, k),
        then=_opened(path, k),
    )


def _bare(path: Path, k: int) -> Hint:
    """The hint of a step, in words that say no reasons: a lesson says them apart."""
    hint = hint_at(Reasons(path), k, onward=False)
    return replace(hint, told=tell(path.steps[k], path.geometry), because=())


def _opened(path: Path, k: int) -> Hint | None:
    """The digit that can be written once step ``k`` is taken, written; None if it opens none."""
    if k + 1 == len(path.steps) or not path.steps[k].removes or not path.steps[k + 1].places:
        return None
    hint = _bare(path, k + 1)
    ((cell, digit),) = hint.step.places
    position = tuple(digit if at == cell else value for at, value in enumerate(hint.position))
    acted = tuple(dict.fromkeys(at for at, _ in path.steps[k].removes))
    return replace(hint, position=position, step=replace(hint.step, cells=acted))
