"""May it be printed? Findings on permission, letters, room, and what looks like a slip."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict

from packbuilder import layouts, rules
from packbuilder.artwork import read_drawing
from packbuilder.errors import InputError
from packbuilder.gate.entry_cells import SHORT_ODDS, EntryCells
from packbuilder.gate.report import Checked, Finding
from packbuilder.grid import Geometry
from packbuilder.ladder.hints import hints
from packbuilder.ladder.path import Path
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.typography.typeface import lacking


def permission(puzzle: Puzzle, pack: Pack) -> Iterator[Finding]:
    """A guest's puzzle needs the guest's permission, noted in the manifest."""
    if puzzle.setter != pack.byline and not puzzle.permission:
        yield Finding("no-permission", f"the setter is {puzzle.setter}, and no permission is noted")


def letters_of_puzzle(puzzle: Puzzle) -> Iterator[Finding]:
    """Letters of a puzzle's texts that the type cannot print."""
    texts = {"title": puzzle.title, "setter": puzzle.setter, "intro": puzzle.intro}
    for k, words in enumerate(puzzle.hints, start=1):
        texts |= {f"hints[{k}].{tier}": text for tier, text in asdict(words).items()}
    texts |= {f"answers.{name}": text for name, text in puzzle.answers}
    yield from _letters(texts)


def letters_of_pack(pack: Pack) -> Iterator[Finding]:
    """Letters of the pack's own texts that the type cannot print."""
    names = ("title", "byline", "theme", "foreword", "licence")
    texts = {f"pack.{name}": getattr(pack, name) for name in names}
    texts |= {f"pack.cover.{n}": getattr(pack.cover, n) for n in ("about", "riddle", "answer")}
    texts |= {f"pack.questions.{name}": text for name, text in pack.questions}
    for slug, change in pack.ladder.items():
        if isinstance(change, Mapping):  # or `off`
            texts[f"pack.ladder.{slug}.name"] = change.get("name") or ""
    yield from _letters(texts)


def _letters(texts: Mapping[str, str | None]) -> Iterator[Finding]:
    for field, text in texts.items():
        if lost := lacking(text or ""):
            shown = ", ".join(f"{letter!r} (U+{ord(letter):04X})" for letter in lost)
            yield Finding("unprintable", f"{field} has {shown}, which the type does not have")


def scattered_regions(geometry: Geometry) -> Iterator[Finding]:
    """An irregular region in two pieces is legal, but is mostly a slip in the picture."""
    for house in geometry.houses:
        if house.kind == "region" and not _connected(house.cells, geometry.size):
            yield Finding("region-in-pieces", f"{house.label} is not connected", cells=house.cells)


def _connected(cells: tuple[int, ...], size: int) -> bool:
    todo, left = [cells[0]], set(cells[1:])
    while todo:
        cell = todo.pop()
        near = {cell - size, cell + size}
        near |= {cell - 1} if cell % size else set()
        near |= {cell + 1} if cell % size < size - 1 else set()
        todo += near & left
        left -= near
    return not left


def letters_to_enter(pack: Pack, entry: EntryCells | None) -> Iterator[Finding]:
    """Letters by which solvers enter need cells, and must not be guessed."""
    if entry is None:
        yield Finding("no-entry", f"fewer than {pack.entry} cells are free for letters")
    elif entry.odds < SHORT_ODDS:
        told = f"who only looks at the clues guesses the code once in {entry.odds} times"
        yield Finding("guessable", told, cells=entry.cells)


def spare_hints(puzzle: Puzzle, path: Path) -> Iterator[Finding]:
    """Words for a hint that the puzzle does not have would be lost without a sound."""
    found = len(hints(path)) if puzzle.hints else 0
    if len(puzzle.hints) > found:
        told = f"there are words for {len(puzzle.hints)} hints, and the puzzle has {found}"
        yield Finding("spare-hint", told)


def odd_rules(puzzle: Puzzle) -> Iterator[Finding]:
    """Pieces of rules that are legal, but mostly a slip: a cage in two pieces, say."""
    for slug in puzzle.rule_names:
        kind = rules.kinds()[slug]
        for message, cells in kind.warnings(rules.parts_of(kind, puzzle.rules), puzzle.size):
            mend = f"look at `{slug}:` under `rules:`; leave it if it is meant so"
            yield Finding("odd-rule", message, mend, tuple(cells))


def whole_sampler(pack: Pack) -> Iterator[Finding]:
    """A number under ``sampler:`` that gives the pack away. The usual number is nobody's slip."""
    count = len(pack.puzzles)
    if pack.sampler >= count and pack.sampler != Pack.sampler:
        yield Finding(
            "whole-sampler",
            f"`sampler:` is {pack.sampler} and the pack has {count}: that gives all of it away",
            f"write a number below {count} under `sampler:`, or build no sampler"
            if count > 1
            else "take the line `sampler:` out, and build no sampler",
        )


def cover_picture(pack: Pack) -> Iterator[Finding]:
    """A picture of the creator's own that cannot be printed, and why."""
    if pack.cover.file:
        try:
            read_drawing(pack.cover.data, pack.cover.file)
        except InputError as error:
            yield Finding("bad-picture", f"pack.cover.picture: {error}")


def mark_room(checked: Iterable[Checked], pack: Pack) -> tuple[list[Checked], list[Finding]]:
    """Refuse puzzles that the pack's layout cannot hold, and a layout that cannot be used at all.

    Gives the puzzles, and the findings on the pack.
    """
    puzzles = list(checked)
    try:
        layout = layouts.load(pack.layout, pack.layouts_folder).for_paper(pack.paper)
    except InputError as error:
        return puzzles, [Finding("bad-layout", str(error))]
    for k, one in enumerate(puzzles):
        if trouble := layouts.misfit(layout, pack.paper, one.puzzle):
            message = f"{layout.file.name}: {trouble.message}"
            puzzles[k] = one.also(Finding("no-room", message, trouble.mend))
    return puzzles, []
