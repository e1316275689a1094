"""All sentences that say what a grid, a rule or a technique is, built from the code, as one text.

``expected.txt`` is that text as it was read and approved, sentence by sentence, against the
definitions. After a change, ``python -m tests.words.said`` prints it anew: read what differs before
you put it there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from packbuilder.book import how_to_play
from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.book.cover import FOLDING, cover_picture, grades_told
from packbuilder.book.lessons import Shipped, lessons, shipped
from packbuilder.book.pictures import whole_grid
from packbuilder.book.rule_lessons import TRIAL, rule_grids
from packbuilder.book.wording import numerals
from packbuilder.editions import SAMPLER
from packbuilder.grid import Geometry, blocks, irregular, latin
from packbuilder.ladder.english import in_regions
from packbuilder.ladder.head.sentences import SAID
from packbuilder.ladder.hint_words import in_terms
from packbuilder.ladder.hints import hint_at
from packbuilder.ladder.path import walk
from packbuilder.ladder.puzzle_ladder import rule_rows, with_rules
from packbuilder.ladder.reasons import Reasons
from packbuilder.ladder.table import ASSUMING_UNIQUE, TABLE, UNIQUENESS
from packbuilder.manifest import load
from packbuilder.pages.draft import BLANK
from packbuilder.puzzle import BEYOND, Cover, Grade
from packbuilder.rules import kinds
from packbuilder.rules.cases import Choices
from packbuilder.rules.contract import Kind, Wording
from packbuilder.script.wording import BOARD, SCRIPT
from tests.ladder import grids
from tests.plaintext.small_book import small_book
from tests.readback.test_covers import covered

PACK = load(Path(__file__).parents[2] / "packs/cold-kettle-hill")
SIZES = range(4, 17)
CROOKED = "AAAB\nCABB\nCCDB\nCDDD"
ALL = {"": None}
LINE = {"": ["r1c1 r1c2 r2c3 r3c3"]}


def _picture(size: int, *regions: list[tuple[int, int]]) -> str:
    rows = [["."] * size for _ in range(size)]
    for letter, cells in zip("abc", regions, strict=False):
        for r, c in cells:
            rows[r][c] = letter
    return "\n".join("".join(row) for row in rows)


def _regions(size: int) -> dict[str, Any]:
    last = size - 1
    whole = [*((0, c) for c in range(last)), (1, 0)]
    small = [(3, 0), (3, 1), (2, 1)]
    spread = [(0, 0), (2, 1), (3, 3)]
    return {
        "as many cells as digits": _picture(size, whole),
        "fewer cells": _picture(size, small),
        "some of either": _picture(size, whole, small),
        "one of single cells": _picture(size, spread),
        "one in larger pieces": _picture(size, [(0, 0), (0, 1), (3, 3)]),
        "two in pieces": _picture(size, spread, [(0, 1), (1, 3)]),
    }


def _marks(one: str, other: str) -> dict[str, Any]:
    found = {one: {one: ["r1c1 r1c2"]}, other: {other: ["r2c1 r2c2"]}}
    found["both"] = found[one] | found[other]
    told: dict[str, Any] = {f"{name}, some shown": value for name, value in found.items()}
    return told | {
        f"{name}, all shown": {**value, "all-shown": "true"}
        for name, value in {**found, "none": {}}.items()
    }


def options(slug: str, size: int) -> dict[str, Any]:
    """Values of a rule, one for each thing that its wording may depend on."""
    line = " ".join(["1"] + ["."] * (size - 1))
    summed, bare = {"sum": "3", "cells": "r1c1 r1c2"}, {"cells": "r2c1 r2c2"}
    even, odd = {"even": "r1c1"}, {"odd": "r1c2"}
    xv = {key: v for key, v in _marks("x", "v").items() if size > 5 or key[0] not in "xb"}
    table: dict[str, dict[str, Any]] = {
        "arrows": {"": [{"circle": "r1c1", "shaft": "r1c2 r2c3"}]},
        "between-lines": LINE,
        "cages": {"with sums": [summed], "without": [bare], "some with sums": [summed, bare]},
        "dots": _marks("white", "black"),
        "extra-regions": _regions(size),
        "inequalities": {"": ["r1c1 < r1c2"]},
        "little-sums": {"": [{"sum": "5", "from": "r1c2", "towards": "down-left"}]},
        "palindromes": LINE,
        "parity": {"even": even, "odd": odd, "both": even | odd},
        "renban": LINE,
        "sandwich": {"": {"left": line.replace("1", "0")}},
        "sightlines": {"": {"left": line}, "on all sides": {"right": line, "bottom": line}},
        "thermometers": LINE,
        "whispers": LINE,
        "xv": xv,
    }
    return table.get(slug, ALL)


def lines() -> Iterator[str]:
    """The whole text."""
    yield "== grids"
    yield from _grids()
    for kind in kinds().values():
        yield f"\n== {kind.slug}: {kind.title}"
        yield from _rule(kind)
    yield "\n== techniques"
    own = {row.slug for kind in kinds().values() for row in kind.techniques}
    for row in (*TABLE, *UNIQUENESS, *(row for row in rule_rows() if row.slug not in own)):
        yield from _technique(row)
        yield from (
            f"    {k}. {text}"
            for k, text in enumerate(shipped().get(row.slug, Shipped()).look, start=1)
        )
    yield "\n== in the head"
    for what, wordings_ in SAID.items():
        yield from (f"{what}: {one}" for one in wordings_)
    yield "\n== on the board"
    yield from (f"{what}: {one}" for what, one in BOARD.items())
    yield "\n== in the script"
    yield from (f"{what}: {one}" for what, one in SCRIPT.items())
    yield "\n== steps as they are told, the first of each technique"
    yield from _steps()
    yield "\n== lessons, the example of each technique"
    yield from _lessons()
    yield "\n== covers"
    yield from _covers()
    yield "\n== how to play"
    yield from _how_to_play(small_book())


def _grids() -> Iterator[str]:
    of_blocks = [blocks(high, wide) for n in SIZES for high in range(2, 9) for wide in range(2, 9)
                 if high * wide == n]  # fmt: skip
    crooked = [irregular("\n".join(chr(65 + r) * n for r in range(n))) for n in SIZES]
    for geometry in (*map(latin, SIZES), *of_blocks, *crooked):
        yield from _wording(geometry.name(), how_to_play.grid_wording(geometry))
    usual = blocks(3, 3)
    others = (blocks(2, 3), blocks(3, 4), latin(7), latin(10), irregular(CROOKED))
    for geometry in others:
        yield f"{geometry.name()} beside 9x9: {how_to_play.difference(geometry, usual)}"
    yield f"7x7 beside 5x5: {how_to_play.difference(latin(7), latin(5))}"
    yield f"7x7 beside regions: {how_to_play.difference(latin(7), irregular(CROOKED))}"
    yield f"regions beside 5x5: {how_to_play.difference(irregular(CROOKED), latin(5))}"
    for geometry in (usual, latin(5), irregular(CROOKED)):
        yield f"picture of {geometry.name()}: {whole_grid(geometry).words}"


def wordings(kind: Kind) -> dict[Wording, dict[str, list[int]]]:
    """Every wording of a rule, with the options and the sizes that have it."""
    found: dict[Wording, dict[str, list[int]]] = {}
    for size in SIZES:
        for option, value in options(kind.slug, size).items():
            wording = kind.wording(kind.read(value, latin(size)), size)
            found.setdefault(wording, {}).setdefault(option, []).append(size)
    return found


def _rule(kind: Kind) -> Iterator[str]:
    yield f"about: {kind.about}"
    for wording, where in wordings(kind).items():
        told = [f"{option + ', ' if option else ''}size {numerals(sizes, to=' to ')}"
                for option, sizes in where.items()]  # fmt: skip
        yield from _wording("; ".join(told), wording)
    for verdict, words in cases_told(kind).items():
        yield from (f"{verdict}: {some}" for some in words)
    for row in kind.techniques:
        yield from _technique(row)


def cases_told(kind: Kind) -> dict[str, list[str]]:
    """What is said of the pictures of a rule, in grids of some sizes, each sentence once."""
    found: dict[str, dict[str, None]] = {"star": {}, "table": {}, "right": {}, "wrong": {}}
    for geometry in (blocks(2, 2), blocks(2, 3), blocks(3, 3), latin(7)):
        for value in options(kind.slug, geometry.size).values():
            cases = kind.cases(kind.read(value, latin(geometry.size)), geometry)
            if isinstance(cases.aside, Choices):
                table = " / ".join(": ".join(row) for row in (cases.aside.heads, *cases.aside.rows))
                found["table"][table] = None
            elif cases.aside:
                found["star"][cases.aside.words] = None
            found["right"][cases.right.words] = found["wrong"][cases.wrong.words] = None
    return {verdict: list(words) for verdict, words in found.items()}


def _wording(name: str, wording: Wording) -> Iterator[str]:
    yield f"{name}:"
    for part in ("means", "printed", "page", "text"):
        if said := getattr(wording, part):
            yield f"    {part}: {said}"


def _technique(row: Any) -> Iterator[str]:
    yield f"{row.slug}, grade {row.rung}: {row.name}"
    yield f"    about: {row.about}"
    if in_regions(row.about) != row.about:
        yield f"    about, regions: {in_regions(row.about)}"
    yield f"    idea: {row.idea}"
    told = {"regions": in_regions(row.idea)}
    of_block = in_terms(row.idea, "", "here") == row.idea.replace("a block", "here", 1)
    house = "block 4" if of_block else "row 4"
    for d, here in (("5", ""), ("", house), ("5", house)):
        told[" in ".join(filter(None, (d, here)))] = in_terms(row.idea, d, here)
    known = {row.idea}
    for terms, words in told.items():
        if words not in known:
            known.add(words)
            yield f"    idea, {terms}: {words}"


def _steps() -> Iterator[str]:
    """Each technique on our own grids: the three tiers of its hint."""
    ladder = ASSUMING_UNIQUE
    solves = [(geometry, clues, ()) for geometry, clues in grids.everything()]
    solves += [(p.geometry, p.clues, p.rules) for p in PACK.puzzles]
    known: set[tuple[str, int, str]] = set()
    told = []
    for geometry, clues, rules in solves:
        reasons = Reasons(walk(geometry, clues, ladder=with_rules(ladder, rules)))
        for k, step in enumerate(reasons.path.steps):
            # of a single, one where a rule has a part in it, too
            kinds_of = {one.kind for one in reasons.because(k)} if step.places else set()
            key = step.technique, step.rung, " ".join(sorted(kinds_of))
            if key not in known:
                known.add(key)
                hint = hint_at(reasons, k)
                told.append((step.rung, *key, f"{hint.where} {hint.idea}\n    {hint.told}"))
    for rung, slug, _, kinds_told, words in sorted(told):
        yield f"{slug}, grade {rung}{f' ({kinds_told})' if kinds_told else ''}: {words}"


def _lessons() -> Iterator[str]:
    """Each lesson that has an example, frame by frame."""
    slugs = (*shipped(), *(name for name in rule_grids() if not name.endswith(TRIAL)))
    pack = replace(PACK, needs=slugs, assume_unique=True)
    asked: set[str] = set()
    for lesson in lessons(pack):
        for frame in lesson.frames:
            yield f"{lesson.slug}, {frame.title.lower()}: {' '.join(frame.said)}"
        asked |= {lesson.asks} if lesson.trial else set()
    yield from (f"a grid to try: {words}" for words in sorted(asked))


def _covers() -> Iterator[str]:
    """Each design with its riddle and its answer, in a pack and in a sampler."""
    book = covered("technique")
    for whole in (book, book_of(book, SAMPLER)):
        for design in ("technique", "discs", "clues"):
            made = replace(whole, pack=replace(whole.pack, cover=Cover(design)))
            if (picture := cover_picture(made)) is not None:
                told = f"{picture.about} {picture.riddle} {picture.answer}"
                yield f"{design}, {len(made.entries)} puzzles: {told}"
    grades: list[tuple[Grade, ...]] = [(3,), (1, 4), (2, 6, BEYOND), (BEYOND,)]
    for some in grades:
        entries = tuple(replace(book.entries[0], grade=grade) for grade in some)
        yield f"grades: {grades_told(replace(book, entries=entries))}"
    yield f"folding: {FOLDING}"
    yield f"bare pages: {BLANK}"


def _how_to_play(book: Book) -> Iterator[str]:
    entry = book.entries[0]

    def of(geometry: Geometry) -> Book:
        puzzle = replace(entry.puzzle, geometry=geometry)
        return replace(book, entries=(replace(entry, puzzle=puzzle),))

    crooked = irregular(CROOKED)
    yield f"lead: {how_to_play.LEAD}"
    yield f"lead of the rules: {how_to_play.RULES_LEAD}"
    yield f"lead of the ideas: {how_to_play.IDEAS_LEAD}"
    yield from (f"rules, {form}: {words}" for form, words in how_to_play.RULES_TOLD.items())
    for geometry in (latin(4), blocks(2, 2), crooked):
        yield from _wording(f"names, {geometry.name()}", how_to_play.names_wording(of(geometry)))
    yield from _wording("grades", how_to_play.grades_wording(book))
    beyond = replace(book, entries=(replace(entry, grade="beyond"),))
    yield from _wording("grades, one beyond", how_to_play.grades_wording(beyond))
    promise = replace(entry.puzzle.promise, minimal=True, only=("x-wing",))
    promised = replace(entry, puzzle=replace(entry.puzzle, promise=promise))
    told = how_to_play.promises_words(replace(book, entries=(promised,)))
    yield from (f"promises: {words}" for words in told)
    yield from (f"hints, {form}: {words}" for form, words in how_to_play.HINTS.items())
    yield f"typing: {how_to_play.TYPING}"
    for geometry in (latin(4), blocks(2, 2), crooked, blocks(3, 4)):
        plain = replace(of(geometry).entries[0].puzzle, rule_names=())
        (words,) = how_to_play.card_words(plain)
        yield f"on a card, {geometry.name()}: {words}"
    resting = replace(book, entries=(replace(entry, techniques=(("unique-rectangle-1", 1),)),))
    yield f"uniqueness: {how_to_play.uniqueness_words(resting, 'page')}"


if __name__ == "__main__":
    print("\n".join(lines()))
