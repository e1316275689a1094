"""The text edition read back: a good file passes, and every kind of change is found."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from packbuilder.grid import Geometry, Values
from packbuilder.proof.verdict import Verdict
from packbuilder.readback import CODES, Finding, as_json
from tests.plaintext.reading import read_text
from tests.plaintext.small_book import NOTED, SOLUTION, checked_text, small_book, text_of
from tests.readback import books

BOOK = small_book(lessons=True)
GOOD = checked_text()


def codes(data: bytes) -> set[str]:
    """The codes of all findings, each of them known."""
    found = {one.code for one in read_text(data, BOOK).findings}
    assert found <= CODES.keys()
    return found


def changed(old: str, new: str, nth: int = 1) -> bytes:
    """The good file with one piece of text changed: the nth that is there."""
    parts = GOOD.decode().split(old)
    assert len(parts) > nth, f"{old!r} is not there so often"
    return (old.join(parts[:nth]) + new + old.join(parts[nth:])).encode()


def test_the_checked_file_is_read_without_a_finding() -> None:
    seen = read_text(GOOD, BOOK)
    assert [one.words() for one in seen.findings] == []
    assert (seen.pages, seen.grids) == (0, 6)  # two of them to try, and its answer


@pytest.mark.parametrize("name", ["mixed", "large", "single", "combined", "sixteen", "outside"])
def test_good_files_pass(name: str) -> None:
    book = getattr(books, name)()
    assert [one.words() for one in read_text(text_of(book), book).findings] == []


BY_ZOE = "Grade 4, set by Zoë Marl"


def at(text: str) -> int:
    """The number of the first line of the good file that is this text."""
    return GOOD.decode().split("\n").index(text) + 1


# --- bytes ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "code", "line"),
    [
        (b"\xef\xbb\xbf" + GOOD, "encoding", 1),
        (GOOD.replace(b"\n", b"\r\n"), "encoding", 1),
        (GOOD.replace(b"\nWe do not.\n", b"\nWe do not.\r\n"), "encoding", at("We do not.")),
        (GOOD.replace("Zoë".encode(), b"Zo\xeb", 1), "encoding", at(BY_ZOE)),
        (GOOD.replace("Zoë".encode(), b"Zoe\xcc\x88", 1), "encoding", at(BY_ZOE)),
        (GOOD[:-1], "encoding", None),
        (GOOD + b"\n", "text-form", None),
        (GOOD.replace(b"The harbour", b"The\tharbour", 1), "text-form", at("The harbour sleeps.")),
        (GOOD.replace(b"We do not.", b"We do not. ", 1), "text-form", at("We do not.")),
        (GOOD.replace(b"We do not.", b"We do\xc2\xadnot.", 1), "text-form", at("We do not.")),
        (GOOD.replace(b"\n\nWe do not.", b"\n\n\nWe do not.", 1), "text-form", at("We do not.")),
        (GOOD.replace(b"may not repeat a\ndigit", b"may not repeat a digit", 1), "text-form", None),
    ],
)  # fmt: skip
def test_bytes_that_are_not_plain(data: bytes, code: str, line: int | None) -> None:
    found = [one for one in read_text(data, BOOK).findings if one.code == code]
    assert found
    assert line is None or line in {one.line for one in found}


@pytest.mark.parametrize("share", [0.0, 0.2, 0.5, 0.9, 0.999])
def test_a_file_that_is_cut_off(share: float) -> None:
    assert "section" in codes(GOOD[: int(len(GOOD) * share)])


def test_a_file_of_something_else() -> None:
    assert {"section", "grid-missing"} <= codes(b"%PDF-1.7\n\x00\xff\xfe")
    assert {"section", "grid-missing"} <= codes(b"")


# --- grids ---------------------------------------------------------------------------------------

PUZZLE_ROW, POSITION_ROW, ANSWER_ROW = "r2  . 1  4 3", "r2  2 1  4 3", "r3  1 4  3 2"


@pytest.mark.parametrize(
    ("old", "new", "nth", "code"),
    [
        (PUZZLE_ROW, "r2  . 2  4 3", 1, "digit-wrong"),
        (PUZZLE_ROW, "r2  . .  4 3", 1, "digit-missing"),
        (PUZZLE_ROW, "r2  2 1  4 3", 1, "digit-extra"),
        (PUZZLE_ROW, "r2  . 5  4 3", 1, "digit-wrong"),
        (PUZZLE_ROW, "r2  . 1  4", 1, "grid-size"),
        (PUZZLE_ROW, "r2  . 1 4 3", 1, "border-wrong"),
        (PUZZLE_ROW, "r2  .1  4 3", 1, "grid-size"),
        (f"{PUZZLE_ROW}\n\n", f"{PUZZLE_ROW}\n", 1, "border-wrong"),
        (f"{PUZZLE_ROW}\n", "", 1, "grid-broken"),
        (f"r1  . .  . .\n{PUZZLE_ROW}", f"{PUZZLE_ROW}\nr1  . .  . .", 1, "grid-broken"),
        (POSITION_ROW, "r2  2 1  3 4", 2, "digit-wrong"),
        (POSITION_ROW, "r2  2 .  4 3", 2, "digit-missing"),
        (ANSWER_ROW, "r3  1 4  2 3", 1, "digit-wrong"),
        (ANSWER_ROW, "r3  1 4  3 .", 1, "digit-missing"),
        (f"{ANSWER_ROW}\nr4  3 2  1 4", "r3  3 2  1 4\nr4  1 4  3 2", 1, "digit-wrong"),
        ("blocks 2 rows, 2 columns\nGrade 4", "no blocks\nGrade 4", 1, "border-wrong"),
        ("r4  . .  . .\n\n** Even", "r4  . .  . .\n\nr1  1\n\n** Even", 1, "grid-unknown"),
    ],
)  # fmt: skip
def test_a_grid_that_is_another(old: str, new: str, nth: int, code: str) -> None:
    assert code in codes(changed(old, new, nth))


def test_a_finding_names_the_line_the_cell_and_the_puzzle() -> None:
    found = read_text(changed(PUZZLE_ROW, "r2  . 2  4 3"), BOOK).findings
    (one,) = [f for f in found if f.code == "digit-wrong"]
    line = at(PUZZLE_ROW)
    assert one == Finding(
        "digit-wrong", "r2c2 shows 2, not 1", None, ("r2c2",), 1, "low-water", line
    )
    assert one.words().startswith(f"line {line}, puzzle 1 (low-water), r2c2: ")
    told = as_json(read_text(changed(PUZZLE_ROW, "r2  . 2  4 3"), BOOK))["findings"]
    assert line in [f["line"] for f in told]


# --- words ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("Harbour Lights", "Harbour Light", "words"),
        ("December 2026", "December 2027", "words"),
        ("One grid, by lantern.", "One grid by lantern.", "words"),
        ("By Ada Quill", "By Ada Quilt", "words"),
        ("The harbour sleeps.\n\n", "", "words"),
        ("Ada Quill\n\n== How", "== How", "words"),
        ("## 1: Low Water, and", "## 1: Low Tide, and", "caption"),
        ("## 1: Low", "## 2: Low", "caption"),
        ("!! 1: answer, Low", "!! 1: answer, Law", "caption"),
        ("?? 1.2: third", "?? 1.1: third", "caption"),
        ("?? 1.2: second", "?? 1.3: second", "caption"),
        ("Set by Zoë Marl", "Set by Zoe Marl", "words"),
        ("Grade 4\nRules", "Grade 3\nRules", "words"),
        ("Rules: Even and odd", "Rules: Evens", "words"),
        ("Turns on: naked pair\n", "", "words"),
        ("at most 1 in", "at most 2 in", "words"),
        ("is out --", "is out -", "words"),
        ("https://example.org/low-water", "https://example.com/low-water", "words"),
        ("low-water\n\n** Grid\n", "low-water\n\nIt begins with 4.\n\n** Grid\n", "stray-text"),
        ("Look at row 2.", "Look at row 3.", "words"),
        ("A full house: one", "A full house: two", "words"),
        ("so it is 2.", "so it is 3.", "words"),
        ("Rests on: r2c2 ", "Rests on: r2c1 ", "outline"),
        ("Acts in: r2c1", "Acts in: r2c2", "outline"),
        ("Acts in: r2c1\n", "", "outline"),
        ("r3c1: 1 3 4; strike 3 4\nr4c1: 3 4\n\nAns", "r3c1: 3 4; strike 3 4\nr4c1: 3 4\n\nAns",
         "candidate"),
        ("r4c1: 3 4\n\nAns", "\nAns", "candidate"),
        ("strike 3 4\nr4c1: 3 4\n\nAns", "strike 3\nr4c1: 3 4\n\nAns", "struck"),
        ("Two cells hold two digits.", "Three cells hold two digits.", "lesson"),
        ("Both cells see the 1 and the 2.", "Both cells see 1 and 2.", "lesson"),
        ("1: Find", "1: Look", "lesson"),
        ("2: Conclude", "3: Conclude", "lesson"),
        ("Compare its cells.", "Compare the cells.", "lesson"),
        ("A and B hold 3 and 4.", "A and B hold 3 and 2.", "lesson"),
        ("A: r1c1", "A: r1c2", "lesson"),
        ("A: r1c1\nB: r4c1", "B: r1c1\nA: r4c1", "lesson"),
        ("r3c1 is 1: nothing else is left.\n\n", "", "lesson"),
        ("r1c1: 3 4\nr3c1: 1 3 4; strike 3 4\nr4c1: 3 4\n\nr3c1", "r1c1: 3 4\n\nr3c1", "lesson"),
        ("r1  1 .  . .", "r1  1 .  . 2", "lesson"),  # of the grid to try
        ("r2  3 2  1 4", "r2  3 2  4 1", "digit-wrong"),  # of its answer
        ("## To try, naked pair", "## To try, naked trio", "lesson"),
        ("!! To try, naked pair: answer", "!! To try: answer", "caption"),
        ("Look for it yourself.", "Look for it.", "lesson"),
        ("Licensed under CC BY 4.0.", "Licensed under CC BY 3.0.", "words"),
        ("Zoë Marl: puzzle 1", "Zoë Marl: puzzle 2", "words"),
        ("from 1 to 4", "from 1 to 5", "words"),
        ("every block of 2 rows", "every block of 3 rows", "words"),
        ("Cells marked even hold even", "Cells marked even hold odd", "words"),
        ("Puzzle 1.\n\nCells", "Puzzle 2.\n\nCells", "words"),
        ("house (grade 1): A", "house (grade 2): A", "words"),
        ("Puzzle: ##\n", "", "words"),
    ],
)  # fmt: skip
def test_words_that_differ(old: str, new: str, code: str) -> None:
    assert code in codes(changed(old, new))


# --- order, references, and what must not be there -----------------------------------------------


def test_references_that_lead_elsewhere() -> None:
    for found in re.finditer(rb"(?:line|Line|hints|answer) (\d+)(?!\d|\.\d)", GOOD):
        start, end = found.span(1)
        other = str(int(found[1]) + 1).encode()
        assert codes(GOOD[:start] + other + GOOD[end:]) == {"reference"}


@pytest.mark.parametrize("label", ["Answer: line ", "Second hint: line ", "Primer: line "])
def test_references_that_are_missing(label: str) -> None:
    found = re.search(rf"{label}\d+\n", GOOD.decode())
    assert found
    assert "reference-missing" in codes(changed(found[0], ""))


def section(name: str) -> str:
    """A section of the good file, whole."""
    found = re.search(rf"== {name}\n.*?(?=== |\Z)", GOOD.decode(), re.DOTALL)
    assert found
    return found[0]


@pytest.mark.parametrize(
    "name",
    ["Contents", "Foreword", "How to play", "Primer", "Puzzles", "Second hints", "Answers",
     "Credits", "End of the file"],
)  # fmt: skip
def test_a_section_that_is_missing(name: str) -> None:
    assert "section" in codes(GOOD.replace(section(name).encode(), b"", 1))


def test_answers_before_the_hints() -> None:
    answers = section("Answers").encode()
    moved = GOOD.replace(answers, b"", 1).replace(b"== First hints", answers + b"== First hints", 1)
    assert "section" in codes(moved)


SOLVED = "r1  4 3  2 1\nr2  2 1  4 3\n\nr3  1 4  3 2\nr4  3 2  1 4"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("r1  . .  . .\nr2  2 1  4 3\n\nr3  . 4  3 .\nr4  . .  . .", SOLVED),  # in the primer
        ("Look at row 2.\n", f"Look at row 2.\n\n{SOLVED}\n"),
        ("We do not.\n", f"We do not.\n\n{SOLVED}\n"),
        ("We do not.\n", "4321 2143 1432 3214\n"),
        ("We do not.\n", "Try 4321 214\n31432 3214 then\n"),
        ("** Grid\n", f"** Answer\n\n{SOLVED}\n\n** Grid\n"),
    ],
)
def test_an_answer_shown_early(old: str, new: str) -> None:
    assert "answer-shown" in codes(changed(old, new))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("== Puzzles\n", "== Puzzles\n\nSkip this one.\n"),
        ("== Answers\n", "== Answers\n\nWell done.\n"),
        ("== End of the file\n", "== End of the file\n\nP.S.\n"),
        ("== Credits\n", "== Notes\n\nNone.\n\n== Credits\n"),
        ("r4c1\n\n** From here\n", "r4c1\n\n** Extra\n\nMore.\n\n** From here\n"),
        ("\n\n== Credits", "\nMore.\n\n== Credits"),
    ],
)
def test_what_the_book_does_not_have(old: str, new: str) -> None:
    assert codes(changed(old, new)) & {"stray-text", "section", "reference-missing"}


def test_a_puzzle_that_stands_there_twice() -> None:
    found = re.search(r"## 1: .*?(?=== First)", GOOD.decode(), re.DOTALL)
    assert found
    assert "grid-doubled" in codes(changed("== First hints", found[0] + "== First hints"))


# --- proof ---------------------------------------------------------------------------------------


def test_the_printed_puzzle_is_proved() -> None:
    # without a clue and without its rules the grid has more than one solution
    assert "not-unique" in codes(changed(PUZZLE_ROW, "r2  . .  . ."))
    assert "not-unique" in codes(changed(ANSWER_ROW, "r3  1 4  2 3"))


def test_the_proof_is_asked_for_what_is_printed() -> None:
    asked: list[tuple[Geometry, Values, int]] = []

    def prove(geometry: Geometry, clues: Values, parts: object) -> Verdict:
        assert isinstance(parts, tuple)
        asked.append((geometry, clues, len(parts)))
        return Verdict(1, SOLUTION)

    book = replace(BOOK, lessons=())
    assert read_text(text_of(book), book, prove=prove).ok
    (only,) = asked
    puzzle = BOOK.entries[0].puzzle
    assert only == (puzzle.geometry, puzzle.clues, 3)


@pytest.mark.parametrize(
    ("verdict", "code"),
    [
        (Verdict(None), "not-proved"),
        (Verdict(0), "not-unique"),
        (Verdict(2, SOLUTION, SOLUTION[::-1]), "not-unique"),
        (Verdict(1, SOLUTION[::-1]), "not-unique"),
    ],
)
def test_a_proof_that_fails(verdict: Verdict, code: str) -> None:
    seen = read_text(GOOD, BOOK, prove=lambda *_: verdict)  # the grid to try is proved as well
    assert [one.code for one in seen.findings] == [code, code]


# --- every line counts ---------------------------------------------------------------------------


def without(lines: list[str], k: int) -> list[str]:
    return lines[:k] + lines[k + 1 :]


def doubled(lines: list[str], k: int) -> list[str]:
    return lines[: k + 1] + lines[k:]


def cut(lines: list[str], k: int) -> list[str]:
    return [*lines[:k], lines[k][:-1], *lines[k + 1 :]]


def replaced(lines: list[str], k: int) -> list[str]:
    middle = len(lines[k]) // 2
    other = "2" if lines[k][middle : middle + 1] != "2" else "3"
    return [*lines[:k], lines[k][:middle] + other + lines[k][middle + 1 :], *lines[k + 1 :]]


@pytest.mark.parametrize("change", [without, doubled, cut, replaced])
def test_every_line_counts(change: Callable[[list[str], int], list[str]]) -> None:
    lines, missed = GOOD.decode().splitlines(), []
    for k in range(len(lines)):
        other = change(lines, k)
        if other != lines:
            data = ("\n".join(other) + "\n").encode()
            seen = read_text(data, BOOK, prove=lambda *_: Verdict(1, SOLUTION))
            if seen.ok:
                missed.append((k + 1, lines[k]))
    assert missed == []


# --- hints of steps with links -------------------------------------------------------------------


def test_chains_and_colours_are_told_and_read() -> None:
    step = replace(
        NOTED.step, nodes=(((0,), 3), ((4, 5), 3), ((8,), 4), ((12,), 4)), ties=(0, 0, 0)
    )
    chain = replace(NOTED, step=step)
    colours = replace(NOTED, step=replace(step, nodes=(((0, 5), 3), ((8,), 3))))
    entry = BOOK.entries[0]
    book = replace(BOOK, entries=(replace(entry, hints=(chain, colours)),), lessons=())
    text = text_of(book).decode()
    told = "Chain: not 3 in r1c1, 3 in r2c1 or r2c2,\nnot 4 in r3c1, 4 in r4c1\n"
    assert told in text
    assert "One colour: r1c1 r2c2\nOther colour: r3c1\n" in text
    assert read_text(text.encode(), book).ok
    for old, new in (("not 4 in r3c1", "4 in r3c1"), ("colour: r1c1 r2c2", "colour: r1c1"),
                     ("Chain: ", "Links: ")):  # fmt: skip
        found = read_text(text.replace(old, new).encode(), book).findings
        assert "words" in {one.code for one in found}


# --- any file ------------------------------------------------------------------------------------

SIGNS = "0123456789.:;, rcABGabc=*#?!\n\t\u0663\u2212\ud7ff<>"


@pytest.mark.parametrize("seed", range(4))
def test_whatever_is_done_to_a_file_it_is_read_and_told(seed: int) -> None:
    rng, good = random.Random(seed), GOOD.decode()
    for _ in range(60):
        text = good
        for _ in range(rng.randint(1, 4)):
            k, j = rng.randrange(len(text)), rng.randrange(len(text))
            put = (
                rng.choice(SIGNS) * rng.choice((0, 1, 3, 5000)) + text[j : j + rng.choice((0, 90))]
            )
            text = text[:k] + put + text[k + rng.randint(0, 60) :]
        found = read_text(text.encode(), BOOK, prove=lambda *_: Verdict(1, SOLUTION)).findings
        assert {one.code for one in found} <= CODES.keys()


@pytest.mark.parametrize("old", ["even: r1c1", "First hint: line 302", "Size 4", "r2  . 1"])
def test_digits_of_other_scripts_are_no_digits(old: str) -> None:
    wide = str.maketrans("0123456789", "".join(chr(0x660 + d) for d in range(10)))
    assert not read_text(changed(old, old.translate(wide)), BOOK).ok
