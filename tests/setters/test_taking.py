"""A grid in the forms in which people send them; common practice, no source."""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.grid import SYMBOLS, default_shape
from packbuilder.setters.taking import TakeFault, take, take_solution
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED

VALUES = tuple(int(sign) if sign != "." else 0 for sign in EXAMPLE)
SOLVED = tuple(map(int, EXAMPLE_SOLVED))

Form = Callable[[list[list[str]], int, int], str]
"""Rows of signs ("" for an empty cell) and the block's height and width, as a text."""


def drawn(empty: str, bar: str, rule: str, apart: str = " ") -> Form:
    def form(rows: list[list[str]], high: int, wide: int) -> str:
        lines = []
        for r, row in enumerate(rows):
            if r and r % high == 0 and rule:
                lines.append(rule)
            bands = [row[k : k + wide] for k in range(0, len(row), wide)]
            lines.append(bar.join(apart.join(sign or empty for sign in band) for band in bands))
        return "\n".join(lines)

    return form


def framed(rows: list[list[str]], high: int, wide: int) -> str:
    rule = "+" + "+".join(["-" * (2 * wide + 1)] * (len(rows) // wide)) + "+"
    body = drawn(".", " | ", rule)(rows, high, wide).splitlines()
    lines = [line if line == rule else f"| {line} |" for line in body]
    return "\n".join([rule, *lines, rule])


def boxes(rows: list[list[str]], high: int, wide: int) -> str:
    """A cell in a box of its own, blanks for empty ones."""
    rule = "┼".join(["───"] * len(rows))
    return f"\n{rule}\n".join("│".join(f" {sign or ' '} " for sign in row) for row in rows)


def sheet(sign: str) -> Form:
    def form(rows: list[list[str]], high: int, wide: int) -> str:
        out = io.StringIO()
        csv.writer(out, delimiter=sign).writerows(rows)
        return out.getvalue()

    return form


FORMS: dict[str, Form] = {
    "a line of dots": lambda rows, _h, _w: "".join(s or "." for row in rows for s in row),
    "a line of noughts": lambda rows, _h, _w: "".join(s or "0" for row in rows for s in row),
    "rows": drawn(".", "", "", ""),
    "rows of hyphens": drawn("-", "", "", ""),
    "rows with gaps": drawn("0", " ", "", ""),
    "rows with blank lines": lambda rows, h, w: drawn("*", " ", " ")(rows, h, w),
    "underlines": drawn("_", " ", ""),
    "bars and hyphens": drawn(".", " | ", "------+-------+------"),
    "bars and equals": drawn(".", "|", "===========", ""),
    "a frame": framed,
    "commas": sheet(","),
    "semicolons": sheet(";"),
    "tabs": sheet("\t"),
    "a picture": drawn(" ", "", "", ""),
    "a wide picture": drawn(" ", " ", ""),
    "a picture with bars": drawn(" ", "|", "---+---+---", ""),
    "a wide picture with bars": drawn(" ", " | ", "------+-------+------"),
    "a box a cell": boxes,
}


@pytest.mark.parametrize("name", FORMS)
def test_every_form_gives_the_grid(name: str) -> None:
    rows = [["" if s == "." else s for s in EXAMPLE[k : k + 9]] for k in range(0, 81, 9)]
    text = FORMS[name](rows, 3, 3)
    assert take(text).clues == VALUES
    assert take(f"My best one yet:\r\n\r\n{text}\n\nyours, Bo\n").clues == VALUES
    assert take("\ufeff" + text.replace("\n", "\r\n")).clues == VALUES


@settings(max_examples=500, deadline=None)
@given(st.sampled_from(sorted(FORMS)), st.sampled_from([4, 6, 9, 12, 16]), st.randoms())
def test_what_is_taken_is_the_grid_or_nothing(name: str, size: int, rng: random.Random) -> None:
    """Never another grid. A form that cannot tell a sparse grid says so."""
    high, wide = default_shape(size) or (1, size)
    values = [0] * (size * size)
    for cell in rng.sample(range(size * size), size * 2):
        values[cell] = rng.randint(1, size)
    signs = [SYMBOLS[v] if v else "" for v in values]
    rows = [signs[k : k + size] for k in range(0, size * size, size)]
    text = FORMS[name](rows, high, wide)
    try:
        found = take(text)
    except TakeFault:
        assert "picture" in name or "box" in name
        return
    assert found.clues == tuple(values)


@pytest.mark.parametrize("sign", ["> ", ">", "> > ", ">> "])
@pytest.mark.parametrize("name", FORMS)
def test_a_mail_that_is_quoted(name: str, sign: str) -> None:
    """RFC 3676, 4.5: a sign before each line, once for each time that it was sent on."""
    rows = [list(EXAMPLE[k : k + 9].replace(".", " ")) for k in range(0, 81, 9)]
    text = FORMS[name]([[one.strip() for one in row] for row in rows], 3, 3)
    quoted = "\n".join(sign + line for line in text.splitlines())
    try:
        plain = take(text)
    except TakeFault:
        return
    assert take(f"Ada wrote:\n{quoted}\n").clues == plain.clues == VALUES


def test_the_solution_is_taken_too() -> None:
    for text in (
        f"{EXAMPLE}\n{EXAMPLE_SOLVED}\n",
        f"Puzzle\n{EXAMPLE}\nSolution:\n{EXAMPLE_SOLVED}",
    ):
        assert (take(text).clues, take(text).solution) == (VALUES, SOLVED)


def test_a_slip_of_one_digit_is_caught() -> None:
    assert take_solution(f"Here it is: \n{EXAMPLE_SOLVED}") == SOLVED
    place = EXAMPLE.index("9")
    slipped = EXAMPLE[:place] + "8" + EXAMPLE[place + 1 :]
    with pytest.raises(TakeFault, match=r"r1c\d is 8 and 9"):
        take(f"{slipped}\n{EXAMPLE_SOLVED}\n")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "holds no grid"),
        ("1 is here", r"\(1 digit on 1 line\)"),
        ("Dear Ada, here is my puzzle.\n", "holds no grid"),
        (EXAMPLE[:80], "holds no grid that can be read"),
        (EXAMPLE_SOLVED, "only a filled grid"),
        (f"{EXAMPLE}\n{EXAMPLE[::-1]}", "holds 2 puzzles"),
        ("\n".join([EXAMPLE[k : k + 9] for k in range(0, 72, 9)]), "holds no grid"),
    ],
)
def test_what_is_no_grid_is_told(text: str, told: str) -> None:
    with pytest.raises(TakeFault, match=told):
        take(text)
