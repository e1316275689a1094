"""Puzzle and Pack: the plain values that the manifest becomes and every later room reads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from packbuilder.grid import Geometry, Values
from packbuilder.rules.contract import Part

BEYOND: Literal["beyond"] = "beyond"
"""The grade of a puzzle that the ladder cannot finish."""

Grade = int | Literal["beyond"]


@dataclass(frozen=True)
class Promise:
    """What the manifest claims of a puzzle. None or empty: nothing is claimed."""

    grade: Grade | None = None
    needs: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    no_notes: int | None = None
    clues: int | None = None
    symmetry: str | None = None
    minimal: bool | None = None


@dataclass(frozen=True)
class HintWords:
    """A creator's own words for one hint; None keeps the computed ones."""

    where: str | None = None
    idea: str | None = None
    told: str | None = None


@dataclass(frozen=True)
class Puzzle:
    """One puzzle as the manifest gives it.

    ``clues`` has size*size entries, 0 for an empty cell. ``where`` is ``file:line`` of its entry,
    for messages. ``setter`` is never empty: where the manifest names none, it is the byline.
    ``rules`` are the parts of its rules beyond houses and clues; the houses that they bring are in
    ``geometry`` already. ``rule_names`` are the slugs of its rules, as listed. The k-th of
    ``hints`` rewords the puzzle's k-th hint; where it is not ``hinted``, print has none for it.
    ``entry`` asks for letters in some of its cells, by which solvers enter. ``answers`` are (name,
    answer) pairs, what the setter says to the pack's questions.
    Where it may not ``spoil``, its page does not name what it turns on.
    """

    id: str
    title: str
    setter: str
    geometry: Geometry
    clues: Values
    promise: Promise = Promise()
    solution: Values | None = None
    permission: str | None = None
    intro: str | None = None
    link: str | None = None
    where: str = ""
    rules: tuple[Part, ...] = ()
    rule_names: tuple[str, ...] = ()
    hints: tuple[HintWords, ...] = ()
    hinted: bool = True
    entry: bool = False
    answers: tuple[tuple[str, str], ...] = ()
    spoil: bool = True

    @property
    def size(self) -> int:
        """Cells along one side."""
        return self.geometry.size


DESIGNS = ("technique", "discs", "clues", "plain")
"""The designs of a cover that the house draws itself."""


@dataclass(frozen=True)
class Cover:
    """What the cover shows: a design, by its name, or a picture of the creator's own.

    ``design`` is empty where the house chooses, or where there is a picture: ``file`` is its name
    and ``data`` what the file holds; ``about`` explains it, ``riddle`` asks something of it, and
    ``answer`` is printed among the answers.
    """

    design: str = ""
    file: str = ""
    data: bytes = b""
    about: str = ""
    riddle: str = ""
    answer: str = ""


@dataclass(frozen=True)
class Pack:
    """A month's pack: what is printed around the puzzles, and the puzzles in printing order.

    ``slug`` is the folder's name, which names the built files. ``foreword`` is the page of theme
    text, paragraphs parted by blank lines. ``ladder`` has the creator's
    changes to the ladder (see `ladder.overrides`); ``assume_unique`` lets it use techniques that
    rest on the puzzle having one solution. ``sampler`` is how many puzzles the sampler holds,
    ``creep`` the thickness of a booklet's paper in millimetres, ``entry`` how many letters each
    puzzle has by which solvers enter. ``questions`` are (name, question) pairs, what each setter
    is asked. ``link`` is where the full pack is to be had. ``archive`` names folders of earlier
    packs, from the pack's own: its puzzles must be
    new against theirs too.
    """

    slug: str
    folder: Path
    title: str
    issue: str
    byline: str
    puzzles: tuple[Puzzle, ...]
    theme: str = ""
    foreword: str = ""
    needs: tuple[str, ...] = ()
    paper: str = "a4"
    layout: str = "one-up"
    order: str = "as-listed"
    licence: str = ""
    layouts_folder: Path | None = field(default=None)
    ladder: Mapping[str, object] = field(default_factory=dict)
    assume_unique: bool = False
    sampler: int = 3
    creep: float = 0.0
    archive: tuple[str, ...] = ()
    entry: int = 6
    questions: tuple[tuple[str, str], ...] = ()
    cover: Cover = Cover()
    link: str | None = None
