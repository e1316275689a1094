"""Captions: what a third hint says is to be seen in its picture, by the letters there."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from itertools import combinations
from pathlib import Path as File

import pytest

from packbuilder.gate.checking import ladder_of, promising
from packbuilder.grid import Geometry, cell_name
from packbuilder.ladder.head.hints import head_hints
from packbuilder.ladder.head.solve import tell
from packbuilder.ladder.hint_words import once_more
from packbuilder.ladder.hints import Hint, hint_at, hints, unlike
from packbuilder.ladder.path import walk
from packbuilder.ladder.reasons import Reasons, without_detours
from packbuilder.ladder.telling import Telling
from packbuilder.manifest import load
from packbuilder.pages.evidence_marks import closed, closing
from packbuilder.pages.hint_grids import signs_of
from packbuilder.puzzle import HintWords
from tests.ladder import grids

PACKS = ("cold-kettle-hill", "lantern-week", "night-train")
FOLDER = File(__file__).parents[2] / "packs"
HAZY = ("almost-locked-sets", "forcing-cell", "forcing-house", "refutation")
"""Their links are told in words only: a picture of them would be a tangle."""
CELL = r"\br\d+c\d+\b"
HOUSE = r"(?:regions? of|region at) r\d+c\d+(?:(?:, | and )r\d+c\d+)*"
EARLIER = r"(?:An earlier step|Another): .*? That closes |[Tt]he (?:naked|locked) \w+ [^;.]*"
LETTERED = r"\b([A-Z]) \((r\d+c\d+)(?:, ([^()]*))?\)"


@cache
def of_grids() -> tuple[tuple[Geometry, Hint], ...]:
    """A hint for each step of every third path with strikes, and for each colouring."""
    found = []
    for n, (geometry, clues) in enumerate(grids.everything()):
        path = walk(geometry, clues)
        if n % 3 == 0 and any(step.removes for step in path.steps):
            reasons = Reasons(without_detours(path))
            steps = range(len(reasons.path.steps))
            found += [(geometry, hint_at(reasons, k)) for k in steps]
        coloured = [k for k, s in enumerate(path.steps) if s.technique == "simple-colouring"]
        found += [(geometry, hint_at(Reasons(path), k)) for k in coloured]
    return tuple(found)


@cache
def of_packs() -> tuple[tuple[str, Geometry, tuple[Hint, ...]], ...]:
    """The hints of each puzzle of the sample packs."""
    found = []
    for name in PACKS:
        pack = load(FOLDER / name)
        for one in pack.puzzles:
            path = walk(one.geometry, one.clues, ladder=promising(ladder_of(pack), one, pack))
            own = hints(path)
            if one.promise.no_notes is not None:
                own = head_hints(tell(one.geometry, one.clues, one.rules), one.geometry) or own
            found.append((one.id, one.geometry, own))
    return tuple(found)


@cache
def of_heads() -> tuple[tuple[Geometry, Hint], ...]:
    """Hints for those who write nothing but digits."""
    solves = [clues for grade in (3, 4, 5) for clues in grids.lines(grids.BY_GRADE[grade])[::2]]
    told = (tell(grids.CLASSIC, clues) for clues in solves)
    return tuple((grids.CLASSIC, hint) for one in told for hint in head_hints(one, grids.CLASSIC))


@pytest.mark.parametrize("tier", ["where", "idea", "told", "caption"])
def test_no_two_hints_of_a_puzzle_are_alike(tier: str) -> None:
    packs = [some for _, _, some in of_packs()]
    solved = [hints(walk(geometry, clues)) for geometry, clues in grids.everything()[::2]]
    said_again = 0
    for some in (*packs, *solved):
        told = [getattr(hint, tier) for hint in some]
        assert len(set(told)) == len(told)
        said_again += any("nce more" in words for words in told)
    assert said_again or tier in ("told", "caption")


def marked(hint: Hint, geometry: Geometry) -> set[int]:
    """The cells that a picture has a sign in, and those in which a part of the rules is drawn."""
    signs = signs_of(hint, geometry)
    drawn = {*dict(signs.tiles), *signs.frames, *signs.held, *signs.boxes, *dict(hint.letters)}
    drawn |= {*closing(hint), *closed(hint), *dict(hint.shown)}
    parts = [one.part for one in hint.because if one.part]
    drawn |= {c for part in (*parts, hint.step.part) if part for c in part.cells}
    return drawn | {c for one in hint.because if one.part for c in one.about}


def test_every_cell_that_is_named_is_marked() -> None:
    """Common practice, no source: who reads of a cell looks for it in the picture."""
    named = 0
    of_all = [(geometry, hint) for _, geometry, some in of_packs() for hint in some]
    assert of_heads()
    for geometry, hint in (*of_grids(), *of_heads(), *of_all):
        if hint.step.technique in HAZY:
            continue
        cells = set(re.findall(CELL, re.sub(HOUSE, "", hint.caption)))
        known = {cell_name(cell, geometry.size) for cell in marked(hint, geometry)}
        # Of what was seen earlier some cells may have their digits by now.
        earlier = re.findall(EARLIER, hint.caption)
        filled = {cell_name(cell, geometry.size) for cell, d in enumerate(hint.position) if d}
        known |= filled & set(re.findall(CELL, " ".join(earlier)))
        assert cells <= known, hint.caption
        named += len(cells)
    assert named > 1000


def test_letters_stand_for_the_cells_that_they_are_told_with() -> None:
    """Read back, a caption is the step as it is told without a picture."""
    lettered = set()
    for geometry, hint in of_grids():
        if not hint.letters:
            assert hint.caption == hint.told
            continue
        lettered.add(hint.step.technique)
        shown = {letter for _, letter in hint.letters}
        argument = re.split(r" That (?:takes|leaves)", hint.caption)[0]
        assert shown == set(re.findall(r"\b[A-Z]\b(?= \(| in r\d)", argument))
        if hint.step.technique == "simple-colouring":
            for letter, cell in re.findall(r"\bthe ([AB]) in (r\d+c\d+)", hint.caption):
                at = {cell_name(c, geometry.size) for c, own in hint.letters if own == letter}
                assert cell in at
            continue
        names = {cell_name(cell, geometry.size): letter for cell, letter in hint.letters}
        told = re.findall(LETTERED, hint.caption)
        assert {cell: letter for letter, cell, _ in told} == names and len(told) == len(names)
        cells = {letter: cell for cell, letter in names.items()}
        plain = re.sub(LETTERED, lambda m: f"{m[2]} ({m[3]})" if m[3] else m[2], hint.caption)
        letter = rf"\b([{''.join(cells)}])\b(?! \w+ joins)"
        plain = re.sub(letter, lambda m, cells=cells: cells[m[1]], plain)
        assert plain == re.sub(r"\bA(?= \w+ step)", "A", hint.told)
    assert {"skyscraper", "xy-wing", "w-wing", "chain", "xy-chain", "simple-colouring"} <= lettered


def test_a_hint_strikes_no_more_than_its_placement_takes() -> None:
    """In the house of the placement its digit alone, or in its cell; or the words speak of more."""
    given = 0
    for geometry, hint in of_grids():
        if not hint.gives or hint.step.technique == "simple-colouring":
            continue
        ((cell, digit),) = hint.gives
        of_cell = all(at == cell for at, _ in hint.step.removes)
        house = re.search(r"leaves only \S+ in |only \S+ is left in ", hint.told)
        seen = all(
            d == digit and any({at, cell} <= {*h.cells} for h in geometry.houses)
            for at, d in hint.step.removes
        )
        assert seen if house else of_cell
        given += 1
    assert given > 20


def test_an_earlier_step_is_told_whole_and_its_cells_are_outlined() -> None:
    found = 0
    for geometry, hint in of_grids():
        for one in hint.because:
            if one.kind != "step":
                continue
            found += 1
            assert re.match(r"An earlier step: ", hint.told)
            assert all(cell_name(c, geometry.size) in hint.told for c in one.closes)
            empty = {c for c in one.cells if not hint.position[c]}
            assert empty <= marked(hint, geometry)
    assert found > 5
    assert not any(
        a.step != b.step and a.kind == b.kind == "step" and "Another: " not in hint.told
        for _, hint in of_grids()
        for a, b in combinations(hint.because, 2)
    )


def test_a_creator_s_own_words_have_no_letters() -> None:
    """They are printed as they are typed, and no letter stands in the picture that they lack."""
    hint = next(hint for _, hint in of_grids() if hint.step.technique == "skyscraper")
    own = HintWords(told="Look how r2c7 and r8c9 stand.")
    (ours,), (theirs,) = unlike([hint], [HintWords()]), unlike([hint], [own])
    assert ours.letters and ours.caption != ours.told
    assert not theirs.letters and theirs.caption == own.told


def test_once_more_is_said_of_what_is_printed_before() -> None:
    hint = next(hint for _, hint in of_grids() if hint.step.technique == "skyscraper")
    again = hint.idea.replace("A skyscraper", "Once more a skyscraper")
    said = [one.idea for one in unlike([hint] * 2)]
    assert said == [hint.idea, again]
    # Where a creator's words stand in its place, nothing was said before.
    own = HintWords(idea="Mind the towers.")
    assert [one.idea for one in unlike([hint] * 3, [own])] == [own.idea, hint.idea, again]
    # What he says himself counts, and is his own affair.
    same = HintWords(idea=hint.idea)
    assert [one.idea for one in unlike([hint] * 2, [same])] == said
    assert [one.idea for one in unlike([hint] * 2, [same, same])] == [hint.idea] * 2


@pytest.mark.parametrize(
    ("idea", "again"),
    [
        ("Pointing: one digit is held.", "Once more pointing: one digit is held."),
        ("A missing dot: none is there.", "Once more a missing dot: none is there."),
        ("Two almost locked sets: each.", "Once more two almost locked sets: each."),
        ("Follow the signs: each one does.", "Once more: follow the signs: each one does."),
        ("What a house makes: some.", "Once more: what a house makes: some."),
        ("A digit that it repeats.", "Once more: a digit that it repeats."),
    ],
)
def test_once_more_goes_before_the_name_of_a_technique(idea: str, again: str) -> None:
    assert once_more("", idea, (1, 2)) == ("", again)


def test_a_hint_names_the_digits_that_all_its_cells_lose() -> None:
    named = Counter[bool]()
    for _, _, some in of_packs():
        for hint in some:
            found = re.search(r"Here that rules out (.*) in \w+ cells?\.", hint.idea)
            if not found:
                continue
            digits = {int(sign) for sign in re.findall(r"\b\d\b", found[1])}
            lost: dict[int, set[int]] = {}
            for cell, d in hint.step.removes:
                lost.setdefault(cell, set()).add(d)
            alike = all(ds == digits for ds in lost.values())
            assert alike if digits else len({frozenset(ds) for ds in lost.values()}) > 1
            named[alike] += 1
    assert named[True] and named[False]


def test_letters_begin_with_the_argument_and_follow_it() -> None:
    """A before B before C, as they are read; what closes cells before it is told by cells."""
    begun = 0
    for _, hint in (*of_grids(), *((g, hint) for _, g, some in of_packs() for hint in some)):
        first = re.findall(r"\b([A-Z]) (?:\(|in r\d)", hint.caption)
        assert list(dict.fromkeys(first)) == sorted({*first}), hint.caption
        before = re.match(r".*That closes [^.]*\.", hint.caption)
        if before and hint.letters:
            begun += 1
            assert hint.told.startswith(before[0])
    assert begun


def test_a_solve_told_from_its_beginning_does_not_say_a_step_twice() -> None:
    """Its earlier steps go by name: whoever reads them has read each of them before."""
    named = 0
    for geometry, clues in grids.everything()[::3]:
        reasons = Reasons(without_detours(walk(geometry, clues)))
        for k in range(len(reasons.path.steps)):
            words = Telling(reasons).words(k)
            assert "An earlier step: " not in words and "that step" not in words
            named += "earlier " in words
    assert named > 5


def test_what_a_hint_gives_follows_from_its_page() -> None:
    """By brute force: from the digits that are drawn and from what is told to be closed."""
    given = 0
    for geometry, hint in (*of_grids(), *((g, hint) for _, g, some in of_packs() for hint in some)):
        if not hint.gives:
            continue
        ((cell, digit),) = hint.gives
        told = {(c, one.digit) for one in hint.because for c in one.closes}
        told |= {*hint.step.removes, *hint.step.untold}

        def is_closed(at: int, d: int, hint: Hint = hint, geometry: Geometry = geometry,
                      told: set[tuple[int, int]] = told) -> bool:  # fmt: skip
            seen = {hint.position[peer] for peer in geometry.peers[at]}
            return bool(hint.position[at]) or d in seen or (at, d) in told

        every = range(1, geometry.size + 1)
        alone = all(is_closed(cell, d) for d in every if d != digit)
        houses = (geometry.houses[h].cells for h in geometry.houses_of[cell])
        last = (
            all(is_closed(at, digit) for at in cells if at != cell)
            for cells in houses
            if len(cells) == geometry.size
        )
        assert alone or any(last), hint.told
        for one in hint.because:
            placed = [at for at in one.cells if one.kind in ("digit", "part")]
            assert all(hint.position[at] for at in placed), hint.told
        given += 1
    assert given > 60
