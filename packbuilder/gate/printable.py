"""May it be printed? Findings on permission, repeats, and pictures that look like slips."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, replace

from packbuilder import layouts, rules
from packbuilder.errors import InputError
from packbuilder.gate.report import Checked, Finding
from packbuilder.grid import Geometry
from packbuilder.ladder.hints import hints
from packbuilder.ladder.path import Path
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.typography.fonts import lacking


def permission(puzzle: Puzzle, pack: Pack) -> Iterator[Finding]:
    """A guest's puzzle needs the guest's permission on record."""
    if puzzle.setter != pack.byline and not puzzle.permission:
        yield Finding(
            "refuse",
            "no-permission",
            f"the setter is {puzzle.setter}, and no permission is on record",
            "ask the setter, then say under `permission:` how and when it was given",
        )


def nothing_to_solve(puzzle: Puzzle) -> Iterator[Finding]:
    """A full grid is an answer, not a puzzle."""
    if 0 not in puzzle.clues:
        yield Finding(
            "refuse",
            "nothing-to-solve",
            "every cell has its digit already",
            "give the puzzle's clues under `grid:`; the answer may stand under `solution:`",
        )


def unprintable(puzzle: Puzzle) -> Iterator[Finding]:
    """Letters of a puzzle's texts that the type cannot print."""
    texts = {"title": puzzle.title, "setter": puzzle.setter, "intro": puzzle.intro}
    for k, words in enumerate(puzzle.hints, start=1):
        texts |= {f"hints[{k}].{tier}": text for tier, text in asdict(words).items()}
    yield from _lacking(texts)


def pack_findings(pack: Pack) -> Iterator[Finding]:
    """What there is to say of the pack itself, but for its layout."""
    yield from _unprintable_pack(pack)
    yield from _whole_sampler(pack)


def _unprintable_pack(pack: Pack) -> Iterator[Finding]:
    """Letters of the pack's own texts that the type cannot print."""
    names = ("title", "byline", "theme", "foreword", "licence")
    yield from _lacking({f"pack.{name}": getattr(pack, name) for name in names})


def _lacking(texts: Mapping[str, str | None]) -> Iterator[Finding]:
    for field, text in texts.items():
        lost = lacking(text or "")
        if lost:
            shown = ", ".join(f"{letter!r} (U+{ord(letter):04X})" for letter in lost)
            yield Finding(
                "refuse",
                "unprintable",
                f"{field} has {shown}, which the type does not have",
                "write it in Latin, Greek or Cyrillic letters",
            )


def scattered_regions(geometry: Geometry) -> Iterator[Finding]:
    """An irregular region in two pieces is legal, but is mostly a slip in the picture."""
    for house in geometry.houses:
        if house.kind == "region" and not _connected(house.cells, geometry.size):
            yield Finding(
                "warn",
                "region-in-pieces",
                f"{house.label} is not connected",
                "look at the picture under `blocks:`; leave it if it is meant so",
                house.cells,
            )


def spare_hints(puzzle: Puzzle, path: Path) -> Iterator[Finding]:
    """Words for a hint that the puzzle does not have would be lost without a sound."""
    found = len(hints(path)) if puzzle.hints else 0
    if len(puzzle.hints) > found:
        yield Finding(
            "refuse",
            "spare-hint",
            f"there are words for {len(puzzle.hints)} hints, and the puzzle has {found}",
            "take the last of them out under `hints:`",
        )


def odd_rules(puzzle: Puzzle) -> Iterator[Finding]:
    """Pieces of rules that are legal, but mostly a slip: a cage in two pieces, say."""
    for slug in puzzle.rule_names:
        kind = rules.kinds()[slug]
        for message, cells in kind.warnings(rules.parts_of(kind, puzzle.rules), puzzle.size):
            yield Finding(
                "warn",
                "odd-rule",
                message,
                f"look at `{slug}:` under `rules:`; leave it if it is meant so",
                tuple(cells),
            )


def _whole_sampler(pack: Pack) -> Iterator[Finding]:
    """A number under ``sampler:`` that gives the pack away. The usual number is nobody's slip."""
    count = len(pack.puzzles)
    if pack.sampler >= count and pack.sampler != Pack.sampler:
        yield Finding(
            "warn",
            "whole-sampler",
            f"`sampler:` is {pack.sampler} and the pack has {count}: that gives all of it away",
            f"write a number below {count} under `sampler:`, or build no sampler"
            if count > 1
            else "take the line `sampler:` out, and build no sampler",
        )


def mark_room(checked: Iterable[Checked], pack: Pack) -> tuple[list[Checked], list[Finding]]:
    """Refuse puzzles that the pack's layout cannot hold, and a layout that cannot be used at all.

    Gives the puzzles, and the findings on the pack.
    """
    puzzles = list(checked)
    try:
        layout = layouts.load(pack.layout, pack.layouts_folder).for_paper(pack.paper)
    except InputError as error:
        mend = "choose another under `layout:` or `paper:`, or mend the layout's file"
        return puzzles, [Finding("refuse", "bad-layout", str(error), mend)]
    for k, one in enumerate(puzzles):
        if trouble := layouts.misfit(layout, pack.paper, one.puzzle):
            message = f"{layout.file.name}: {trouble.message}"
            finding = Finding("refuse", "no-room", message, trouble.mend)
            puzzles[k] = replace(one, findings=(*one.findings, finding))
    return puzzles, []


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


def mark_repeats(checked: Iterable[Checked]) -> Iterator[Checked]:
    """Refuse a puzzle that is an earlier one of the pack, in whatever disguise."""
    first: dict[str, Puzzle] = {}
    for one in checked:
        earlier = first.setdefault(one.kin, one.puzzle)
        if earlier is one.puzzle:
            yield one
            continue
        plain = earlier.clues == one.puzzle.clues
        finding = Finding(
            "refuse",
            "same-puzzle",
            f"this is {earlier.id} again, "
            + (
                "clue for clue"
                if plain
                else "in disguise: digits renamed, or lines moved, or the grid turned"
            ),
            "leave one of the two out",
        )
        yield replace(one, findings=(*one.findings, finding))
