"""Lessons: what the primer teaches of the techniques that a pack turns on.

The examples are this program's own: each grid of ``lessons.yaml`` was found by `lesson_search` and
needs its technique. A pack sees it in a disguise of its own, so that each month has another
picture; what a grid needs is the same in all of them.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations
from typing import Any

from packbuilder.book.book import Entry, Lesson
from packbuilder.book.lesson_frames import frames
from packbuilder.book.rule_lessons import TRIAL, rule_grids, rule_path
from packbuilder.files import shipped as of_package
from packbuilder.grid import Geometry, Values, blocks, parse_grid
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.rungs import Ladder, Technique
from packbuilder.ladder.step import Step
from packbuilder.ladder.table import ASSUMING_UNIQUE, DEFAULT
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.rules.contract import Draw, Row
from packbuilder.rules.tools.random_clues import shuffled

GEOMETRY: Geometry = blocks(3, 3)
"""All examples are of the common kind of grid."""

DATA = "book/lessons.yaml"
"""For each technique of the ladder how to look for it, and its example: see its head."""


LINED = ("x-wing", "skyscraper", "swordfish", "jellyfish", "finned-x-wing", "finned-swordfish")
"""Techniques whose words speak of rows, and of columns that cross them."""

_ASKS = (
    "Easier steps alone do not finish this grid; with this idea they do. Look for it where you are "
    "stuck."
)
_ASKS_FIRST = "This idea is all that the grid takes."

_LOOKS = 24  # disguises, of which the one that shows a step best is taken


@dataclass(frozen=True)
class Shipped:
    """What the data file has of one technique.

    ``look`` says what is done in each frame: see `lesson_frames`. ``clues`` are those of its
    example, made in ``attempt`` of `lesson_search`, ``trial`` those of the grid for the reader, in
    ``trial_attempt``; empty where no grid has been found yet.
    """

    look: tuple[str, ...] = ()
    clues: Values = ()
    attempt: int = 0
    trial: Values = ()
    trial_attempt: int = 0


def lessons(pack: Pack) -> tuple[Lesson, ...]:
    """A lesson for each technique of the pack's ``needs``, in their order; none where it has none.

    The same issue and slug give the same lessons, on any machine. A technique without an example
    has words alone.
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
            parse_grid(entry["trial"], GEOMETRY.size) if "trial" in entry else (),
            int(entry.get("trial-attempt", "0")),
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


Cells = tuple[int, ...]
"""For each cell of a disguise the cell that comes there."""


def disguised(clues: Values, draw: Draw) -> Values:
    """A 9x9 grid with its digits renamed, bands and lines within them shuffled, perhaps turned.

    ``draw`` gives numbers from 0 to 1. These are the symmetries that keep rows, columns and blocks
    what they are.
    """
    return _renamed(clues, _shuffle(draw, turned=draw() < 0.5), draw)


def _renamed(clues: Values, cells: Cells, draw: Draw) -> Values:
    names = [0, *shuffled(range(1, 10), draw)]
    return tuple(names[clues[cell]] for cell in cells)


def _shuffle(draw: Draw, *, turned: bool) -> Cells:
    rows, columns = _lines(draw), _lines(draw)
    return tuple(c * 9 + r if turned else r * 9 + c for r in rows for c in columns)


def _lines(draw: Draw) -> list[int]:
    bands = shuffled(range(3), draw)
    return [3 * band + line for band in bands for line in shuffled(range(3), draw)]


def _posed(slug: str, clues: Values, draw: Draw, kind: str) -> tuple[Path, int]:
    """A grid in a disguise that shows its step well, and the number of that step.

    A technique of lines is told of those of one ``kind``; what is joined along a line stands far
    apart there, so that there is room for what joins it.
    """
    plain = walk(GEOMETRY, clues, ladder=allowance(slug))
    shown = first_step(plain, slug)
    assert shown is not None  # what is shipped is tested to need it, in every disguise
    step = plain.steps[shown]
    turned = slug in LINED and GEOMETRY.houses[step.houses[0]].kind != kind
    ways = [_shuffle(draw, turned=turned if slug in LINED else draw() < 0.5) for _ in range(_LOOKS)]
    best = min(ways, key=lambda cells: _crowded(step, cells))
    path = walk(GEOMETRY, _renamed(clues, best, draw), ladder=allowance(slug))
    k = first_step(path, slug)
    assert k is not None
    return path, k


def _crowded(step: Step, cells: Cells) -> int:
    """How much less than three cells apart those stand that one digit joins along a line."""
    if not step.removes or len(step.digits) > 1:
        return 0
    spots = [divmod(k, 9) for k, cell in enumerate(cells) if cell in step.cells]
    return sum(
        max(0, 3 - abs(r - q) - abs(c - k))
        for (r, c), (q, k) in combinations(spots, 2)
        if r == q or c == k
    )


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
    lesson = Lesson(slug, row.name, row.rung, row.about, row.idea, known.look)
    if slug in rule_grids():
        return _on_rules(lesson, pack)
    if not known.clues:
        return lesson
    # Only random() is promised to draw the same numbers in every Python.
    draw = random.Random(f"{pack.issue}/{pack.slug}/{slug}").random
    path, k = _posed(slug, known.clues, draw, "row")
    bare = allowance(slug).without(slug)
    return replace(
        lesson,
        example=Puzzle(f"primer: {slug}", row.name, "", GEOMETRY, path.clues),
        frames=frames(path, k, known.look),
        trial=_trial(lesson, pack, draw),
        asks=_ASKS if bare.techniques else _ASKS_FIRST,
    )


def _trial(lesson: Lesson, pack: Pack, draw: Draw) -> Entry | None:
    """A grid for the reader, its lines the other way."""
    clues = shipped()[lesson.slug].trial
    if not clues:
        return None
    path, _ = _posed(lesson.slug, clues, draw, "column")
    return _to_try(lesson, Puzzle("", "", "", GEOMETRY, path.clues), path, pack)


def _on_rules(lesson: Lesson, pack: Pack) -> Lesson:
    """A lesson on a technique of a rule. Its grids have no disguise: rules allow few."""
    slug, grids = lesson.slug, rule_grids()
    path = rule_path(slug, grids[slug])
    k = first_step(path, slug)
    assert k is not None  # it is tested to be needed
    other = grids.get(f"{slug}{TRIAL}")
    return replace(
        lesson,
        example=replace(grids[slug], id=f"primer: {slug}", title=lesson.name),
        frames=frames(path, k, (lesson.idea, "", "")),
        trial=_to_try(lesson, other, rule_path(slug, other), pack) if other else None,
        asks=_ASKS,
    )


def _to_try(lesson: Lesson, puzzle: Puzzle, path: Path, pack: Pack) -> Entry | None:
    """A grid and its answer; None where the pack has it as a puzzle."""
    if _is_in(pack, puzzle):
        return None
    puzzle = replace(puzzle, id=f"to try: {lesson.slug}", title=lesson.name)
    solution, rating = path.position_before(len(path.steps)).values, path.rating
    return Entry(
        0, puzzle, solution, lesson.rung, lesson.slug, rating.effort, rating.techniques, ()
    )


def _is_in(pack: Pack, puzzle: Puzzle) -> bool:
    """Whether a pack has a grid among its puzzles, in whatever disguise."""
    alike = [
        one
        for one in pack.puzzles
        if one.size == puzzle.size
        and one.clues.count(0) == puzzle.clues.count(0)
        and {*one.rule_names} == {*puzzle.rule_names}
    ]
    if not alike:
        return False
    from packbuilder.kinship import fingerprint

    own, *others = (fingerprint(p.geometry, p.clues, p.rules) for p in (puzzle, *alike))
    return own in others
