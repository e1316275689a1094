"""Kindred: the puzzles of packs that are a given one in disguise, and how."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from packbuilder.archive.index import solution_of
from packbuilder.archive.known import Archive, Found, Known, puzzle_of
from packbuilder.kinship import (
    SMALL,
    Disguise,
    Posed,
    disguise,
    fingerprint,
    solution_fingerprint,
)
from packbuilder.rules.houses import without_houses


@dataclass(frozen=True)
class Kin:
    """One of them: the same ``puzzle``, or only the same ``solution``, a clue or two apart.

    ``disguise`` makes the puzzle that was asked about of it; None where its pack has just changed.
    """

    known: Known
    same: Literal["puzzle", "solution"]
    disguise: Disguise | None

    @property
    def words(self) -> str:
        """In a sentence for the shell."""
        what = {"puzzle": "the same puzzle as", "solution": "the same solved grid as"}[self.same]
        how = f": {self.disguise.words}" if self.disguise else ""
        return f"{what} {self.known.name}{how}"

    @property
    def as_json(self) -> dict[str, Any]:
        """For other programs: ``map`` says what each row, column and digit of it becomes."""
        known = self.known
        return {
            "pack": known.slug,
            "folder": str(known.folder),
            "title": known.title,
            "issue": known.issue,
            "id": known.id,
            "same": self.same,
            "words": self.disguise.words if self.disguise else None,
            "map": self.disguise.as_json if self.disguise else None,
        }


@dataclass(frozen=True)
class Kindred:
    """All that were found, and what there is to say of the packs: see `known.Found`."""

    kin: tuple[Kin, ...]
    found: Found

    @property
    def as_json(self) -> dict[str, Any]:
        """For other programs."""
        unread = [*self.found.missing, *self.found.unread]
        return {"kin": [one.as_json for one in self.kin], "unread": unread}


def kindred(posed: Posed, archive: Archive, own: tuple[Path, str] | None = None) -> Kindred:
    """The puzzles of an archive that are the given one in disguise, or have its solved grid.

    ``own`` is the folder and the id of the puzzle itself, which is not told.
    """
    mark = fingerprint(posed.geometry, posed.clues, posed.parts)
    answer = solution_of(posed)
    solved = solution_fingerprint(posed.geometry, answer, posed.parts) if answer else None
    found = archive.find([mark], [solved] if solved else [])
    kin = []
    for known in found.puzzles:
        if own and (known.folder, known.id) == (own[0].resolve(), own[1]):
            continue
        puzzle = puzzle_of(known)
        other = Posed(puzzle.geometry, puzzle.clues, puzzle.rules) if puzzle else None
        if known.kin == mark:
            kin.append(Kin(known, "puzzle", disguise(other, posed) if other else None))
        else:
            kin.append(Kin(known, "solution", _of_solved(other, posed) if other else None))
    return Kindred(tuple(sorted(kin, key=lambda one: one.same)), found)


def _of_solved(other: Posed, posed: Posed) -> Disguise | None:
    """What makes the one solved grid of the other; with their rules, where they are small."""
    answers = solution_of(other), solution_of(posed)
    if None in answers:
        return None
    one, two = (
        Posed(p.geometry, answer or (), p.parts)
        if p.geometry.size <= SMALL
        else Posed(without_houses(p.geometry, p.parts), answer or ())
        for p, answer in zip((other, posed), answers, strict=True)
    )
    return disguise(one, two)
