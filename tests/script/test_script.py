"""The script: what is shown is the solve, what is said is in the list, and nothing is half made."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pdfplumber
import pytest

from packbuilder import cli, gate, manifest
from packbuilder.errors import Exit, Mismatch
from packbuilder.gate import Checked
from packbuilder.grid import parse_grid
from packbuilder.ladder.reasons import without_detours
from packbuilder.plan.items import Glyphs, Page, Plan
from packbuilder.puzzle import Pack
from packbuilder.script import making
from packbuilder.script.beats import MINUTE, PACE, beats, clock, seconds, spoken
from packbuilder.script.board import HIGH, WIDE, board, board_pages
from packbuilder.script.looks import Look, looks_with_notes, pointed
from packbuilder.script.making import Wanted, looks_of, make, solution
from packbuilder.script.markdown import markdown
from packbuilder.script.reading import read_board
from packbuilder.script.told import script_of
from packbuilder.script.wording import BOARD, MOST_WORDS

PACKS = Path(__file__).resolve().parents[2] / "packs"


@cache
def checked(pack: str, puzzle_id: str) -> tuple[Pack, Checked]:
    whole = manifest.load(PACKS / pack)
    puzzle = next(p for p in whole.puzzles if p.id == puzzle_id)
    (one,) = gate.check(replace(whole, puzzles=(puzzle,))).checked
    return whole, one


CASES = [("lantern-week", "weir"), ("night-train", "ticket-window")]


@pytest.mark.parametrize(("pack", "puzzle_id"), CASES)
@pytest.mark.parametrize("notes", [False, True])
def test_all_files_are_made_and_read_back(
    pack: str, puzzle_id: str, notes: bool, tmp_path: Path
) -> None:
    whole, one = checked(pack, puzzle_id)
    wanted = Wanted(board=True, rehearsal=True, notes=notes)
    places = make(whole, one, wanted, tmp_path / "out", lambda _: None)
    kinds = ("script.md", "script.pdf", "board.pdf", "rehearsal.pdf")
    assert [place.name for place in places] == [f"{puzzle_id}-{kind}" for kind in kinds]
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == sorted(p.name for p in places)
    looks = looks_of(one, notes=notes)
    with pdfplumber.open(places[2]) as file:  # a library that had no part in making it
        assert len(file.pages) == len(looks) + 1
        assert all((page.width, page.height) == (960, 540) for page in file.pages[::9])
        clues = [v for v in one.puzzle.clues if v]
        letters = [
            c["text"] for c in file.pages[0].chars if c["fontname"].endswith("SansPro-Semibold")
        ]
        assert len(letters) == len(clues)
    with pdfplumber.open(places[3]) as file:
        assert len(file.pages) == 1
    again = make(whole, one, wanted, tmp_path / "again", lambda _: None)
    assert [a.read_bytes() for a in again] == [p.read_bytes() for p in places]


@pytest.mark.parametrize(("pack", "puzzle_id"), CASES)
def test_each_look_follows_and_points_in_order(pack: str, puzzle_id: str) -> None:
    _, one = checked(pack, puzzle_id)
    looks = looks_of(one, notes=False)
    values = one.puzzle.clues
    peers = one.puzzle.geometry.peers
    for look in looks:
        assert look.before == values
        values = look.after
        cells = pointed(look)
        if look.place:
            cell, digit = look.place
            assert cells[-1] == cell and not look.before[cell]
            for ringed in look.ringed:
                assert look.before[ringed]
                if look.house >= 0:
                    assert look.before[ringed] == digit
            held = {c for mark in look.held for c in mark.cells}
            closed = {c for c in look.crossed if any(r in peers[c] for r in look.ringed)}
            if not held and not one.puzzle.rules:
                assert closed == set(look.crossed)
        else:
            assert look.held
    assert values == one.solution


@pytest.mark.parametrize("notes", [False, True])
def test_a_board_page_says_a_dozen_words_at_most_and_all_of_them_are_in_the_list(
    notes: bool,
) -> None:
    _, one = checked("lantern-week", "weir")
    looks = looks_of(one, notes=notes)
    names = "|".join(re.escape(look.name) for look in looks if look.name) or "-"
    house = r"(Row|Column|Block) \d|r\dc\d"
    listed = [re.sub(r"\\\{\w+\\\}", r"[\\w, ]+", re.escape(words)) for words in BOARD.values()]
    allowed = re.compile("|".join((names, house, *listed)))
    for page in board_pages(one.puzzle, looks)[1:]:
        assert sum(len(words.split()) for words in page.words) <= MOST_WORDS
        assert all(allowed.fullmatch(words) for words in page.words), page.words


def a_board() -> tuple[Checked, Plan, tuple[Look, ...]]:
    whole, one = checked("lantern-week", "weir")
    looks = looks_of(one, notes=False)[:8]
    return one, board(whole, one.puzzle, board_pages(one.puzzle, looks)), looks


def found(one: Checked, plan: Plan, looks: tuple[Look, ...], printed: Plan) -> set[str]:
    positions = (one.puzzle.clues, *(look.after for look in looks))
    data = making._printed(printed)
    return {f.code for f in read_board(data, plan, one.puzzle, positions, solution)}


def test_a_true_board_is_good_and_false_ones_are_seen() -> None:
    one, plan, looks = a_board()
    assert found(one, plan, looks, plan) == set()

    def altered(page: Page) -> Page:
        items = [
            replace(item, places=item.places[1:]) if isinstance(item, Glyphs) else item
            for item in page.items
        ]
        return replace(page, items=tuple(items))

    pages = (*plan.pages[:3], altered(plan.pages[3]), *plan.pages[4:])
    codes = found(one, plan, looks, replace(plan, pages=pages))
    assert "digit-wrong" in codes
    # Also where the plan itself is false: what is seen is held against the solve, not the plan.
    false = replace(plan, pages=pages)
    assert "digit-wrong" in found(one, false, looks, false)
    swapped = replace(plan, pages=(*plan.pages[:2], plan.pages[3], plan.pages[2], *plan.pages[4:]))
    assert "digit-wrong" in found(one, plan, looks, swapped)


def test_a_digit_that_does_not_follow_is_seen() -> None:
    """A board whose positions are false, page for page as they were meant."""
    whole, one = checked("lantern-week", "weir")
    looks = list(looks_of(one, notes=False)[:4])
    cell, digit = looks[2].place or (0, 0)
    wrong = digit % 9 + 1
    looks[2] = replace(looks[2], place=(cell, wrong))
    looks[3] = replace(looks[3], before=looks[2].after)
    plan = board(whole, one.puzzle, board_pages(one.puzzle, looks))
    positions = (one.puzzle.clues, *(look.after for look in looks))
    data = making._printed(plan)
    codes = {f.code for f in read_board(data, plan, one.puzzle, positions, solution)}
    assert codes == {"not-unique"}


def test_nothing_is_written_where_the_read_back_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole, one = checked("lantern-week", "weir")
    good = making.board_pages

    def false(*args: object) -> object:
        pages = good(*args)  # type: ignore[arg-type]
        return (*pages[:5], replace(pages[5], values=one.puzzle.clues), *pages[6:])

    monkeypatch.setattr(making, "board_pages", false)
    with pytest.raises(Mismatch, match=r"page 6: .*nothing was written"):
        make(whole, one, Wanted(board=True), tmp_path / "out", lambda _: None)
    assert not (tmp_path / "out").exists()


def test_beats_are_about_a_minute_at_the_pace() -> None:
    """150 words a minute: National Center for Voice and Speech (from memory)."""
    assert PACE == 150
    _, one = checked("lantern-week", "weir")
    looks = looks_of(one, notes=False)
    mark = next(look for look in looks if look.place is None)
    said = replace(mark, words="word " * 150)
    assert seconds(said, 150) == MINUTE and seconds(said, 75) == 2 * MINUTE
    slow, fast = beats(looks, 100), beats(looks, 200)
    assert slow[-1].end > fast[-1].end
    for some in (slow, fast):
        assert [look for beat in some for look in beat.looks] == list(looks)
        assert all(40 <= beat.end - beat.start <= 110 for beat in some[:-1])
        assert all(a.end == b.start for a, b in pairwise(some))


def test_what_is_spoken_has_no_codes_of_cells() -> None:
    assert spoken("r4c7 can only be 5. r1c12 too") == (
        "Row 4, column 7 can only be 5. Row 1, column 12 too"
    )
    assert clock(0) == "0:00" and clock(187.9) == "3:07"


def test_markdown_has_the_grids_the_words_and_the_chapters() -> None:
    _, one = checked("lantern-week", "weir")
    looks = looks_of(one, notes=False)
    script = script_of(one.puzzle, looks, PACE, notes=False)
    text = markdown(script, one.puzzle)
    *grids, chapters = re.findall(r"```text\n(.*?)```", text, re.DOTALL)
    positions = [parse_grid(grid, 9) for grid in grids]
    assert positions == [beat.looks[0].before for beat, _ in script.beats]
    assert not re.search(r"^> .*r\dc\d", text, re.MULTILINE)
    marks = re.findall(r"^(\d+):(\d\d) ", chapters, re.MULTILINE)
    times = [60 * int(m) + int(s) for m, s in marks]
    # Where video is published, the first chapter must begin at 0:00 (common practice, no source).
    assert times[0] == 0 and times == sorted(set(times)) and len(times) == len(script.beats)
    for _, lines in script.beats:
        for line in lines:
            assert line.words.split()[0].strip(".") in text


def test_with_notes_it_is_the_ladders_path() -> None:
    _, one = checked("lantern-week", "weir")
    assert one.path
    looks = looks_with_notes(one.path)
    assert len(looks) == len(without_detours(one.path).steps)
    assert "Skyscraper" in {look.name for look in looks}
    assert all(look.loses or look.place for look in looks)


def test_bad_input_is_told_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    pack = str(PACKS / "lantern-week")
    assert cli.run(["script", pack, "wier", "--out", str(out)]) == Exit.REFUSED
    assert "did you mean 'weir'?" in capsys.readouterr().err
    assert cli.run(["script", pack, "--out", str(out)]) == Exit.USAGE
    assert "say which" in capsys.readouterr().err
    own = tmp_path / "pack"
    own.mkdir()
    head = "pack: {title: T, issue: 2027-01, byline: B}\npuzzles:\n"
    grids = {
        "twice": "11" + "." * 79,
        "hard": "...74..2.68.....5......8..3..5.....7.319...6..6...3.8.2..3..4........2..5....187.",
    }
    entries = "".join(
        f"  - {{id: {name}, title: T, grid: '{grid}', promise: {{grade: 8}}}}\n"
        for name, grid in grids.items()
    )
    (own / "manifest.yaml").write_text(head + entries, encoding="utf-8")
    assert cli.run(["script", str(own), "twice", "--board", "--out", str(out)]) == Exit.REFUSED
    assert "clue-clash" in capsys.readouterr().err
    assert cli.run(["script", str(own), "hard", "--board", "--out", str(out)]) == Exit.REFUSED
    assert "cannot be solved without notes" in capsys.readouterr().err
    assert not out.exists()


def test_the_size_of_the_deck() -> None:
    assert (WIDE, HIGH) == (960.0, 540.0)
    assert WIDE / HIGH == 16 / 9
    assert io.BytesIO(making._printed(a_board()[1])).read(8).startswith(b"%PDF-1.7")
