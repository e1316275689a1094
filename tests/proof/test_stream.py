"""Streams of grids: order, faults with their line numbers, constant memory."""

from __future__ import annotations

import io
import itertools
import json
import tracemalloc

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from packbuilder.errors import InputError
from packbuilder.grid import blocks, format_grid, parse_grid
from packbuilder.proof import grid_lines, kernel, stream
from packbuilder.proof.proving import Prove
from packbuilder.proof.stream import Tally
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED
from tests.proof.geometries import random_clues

NINE = blocks(3, 3)
SEVERAL = "." * 81
NONE = "55" + "." * 79


class Drip(io.RawIOBase):
    """A source that gives the bytes in pieces of the given sizes, over and over."""

    def __init__(self, data: bytes, sizes: list[int]) -> None:
        self.rest, self.sizes = data, itertools.cycle(sizes)

    def readable(self) -> bool:
        return True

    def read(self, size: int = -1) -> bytes:
        size = min(next(self.sizes), size)
        piece, self.rest = self.rest[:size], self.rest[size:]
        return piece


def proved(
    data: bytes | io.RawIOBase, *, jsonl: bool = False, workers: int | None = None, **limit: int
) -> tuple[list[str], list[str], Tally]:
    """Lines of output, faults and the tally."""
    sink, faults = io.StringIO(), list[str]()
    source = io.BytesIO(data) if isinstance(data, bytes) else data
    tally = stream.run(Prove(jsonl, **limit), source, sink, report=faults.append, workers=workers)
    return sink.getvalue().splitlines(), faults, tally


def test_a_digit_a_line() -> None:
    answers, faults, tally = proved(f"{EXAMPLE}\n{SEVERAL}\n{NONE}\n".encode())
    assert answers == ["1", "2", "0"]
    assert faults == []
    assert tally == Tally(none=1, unique=1, several=1, lines=3)


def test_an_object_a_line() -> None:
    with_zeros = EXAMPLE.replace(".", "0")
    answers, _, _ = proved(f"{with_zeros}\n{SEVERAL}\n{NONE}\n".encode(), jsonl=True)
    assert [json.loads(line) for line in answers] == [
        {"grid": with_zeros, "solutions": 1, "solution": EXAMPLE_SOLVED},
        {"grid": SEVERAL, "solutions": 2, "solution": None},
        {"grid": NONE, "solutions": 0, "solution": None},
    ]


def test_undecided_is_a_question_mark_or_null() -> None:
    data = f"{SEVERAL}\n{EXAMPLE}\n".encode()
    answers, _, tally = proved(data, node_limit=1)
    assert answers == ["?", "1"]
    assert (tally.undecided, tally.unique) == (1, 1)
    answers, _, _ = proved(data, jsonl=True, node_limit=1)
    assert json.loads(answers[0]) == {"grid": SEVERAL, "solutions": None, "solution": None}


TOO_LONG = "it is longer than 1000 characters; a grid is 81 cells in one line"
CELL = "a cell is '.' or 0 if empty, else 1 to 9"
FAULTS = [
    pytest.param(
        EXAMPLE.encode()[:-1],
        "it has 80 characters; a grid is 81 cells in one line, no blanks",
        id="short",
    ),
    pytest.param(
        EXAMPLE.encode() + b"8",
        "it has 82 characters; a grid is 81 cells in one line, no blanks",
        id="long",
    ),
    pytest.param(b"x" + EXAMPLE.encode()[1:], f"row 1, column 1 is 'x'; {CELL}", id="letter"),
    pytest.param(EXAMPLE.encode()[:-1] + b"A", f"row 9, column 9 is 'A'; {CELL}", id="last"),
    pytest.param(
        EXAMPLE.encode()[:10] + b" " + EXAMPLE.encode()[11:],
        f"row 2, column 2 is ' '; {CELL}",
        id="blank-inside",
    ),
    pytest.param(
        EXAMPLE.encode()[:4] + b"\xff" + EXAMPLE.encode()[5:],
        f"row 1, column 5 is byte 0xff; {CELL}",
        id="not-utf-8",
    ),
    pytest.param(
        "٣".encode() + EXAMPLE.encode()[1:], f"row 1, column 1 is '٣'; {CELL}", id="other-digits"
    ),
    pytest.param(
        EXAMPLE.encode()[:9] + b"\x1b" + EXAMPLE.encode()[10:],
        f"row 2, column 1 is '\\x1b'; {CELL}",
        id="control",
    ),
    pytest.param(b"\x00" * 81, f"row 1, column 1 is '\\x00'; {CELL}", id="zero-bytes"),
    pytest.param(b"1" * 5000, TOO_LONG, id="much-too-long"),
    pytest.param(b"1" * 500_000, TOO_LONG, id="longer-than-a-block"),
]


@pytest.mark.parametrize(("line", "wrong"), FAULTS)
def test_a_bad_line_is_told_and_the_rest_goes_on(line: bytes, wrong: str) -> None:
    data = EXAMPLE.encode() + b"\n" + line + b"\n" + SEVERAL.encode() + b"\n"
    answers, faults, tally = proved(data)
    assert answers == ["1", "-", "2"]
    assert faults == [f"line 2: {wrong}"]
    assert (tally.bad, tally.unique, tally.several, tally.lines) == (1, 1, 1, 3)
    answers, _, _ = proved(data, jsonl=True)
    assert json.loads(answers[1]) == {
        "grid": None,
        "solutions": None,
        "solution": None,
        "error": f"line 2: {wrong}",
    }


def test_line_ends_blanks_and_a_byte_order_mark_do_not_matter() -> None:
    grid = EXAMPLE.encode()
    data = b"\xef\xbb\xbf" + grid + b"\r\n\r\n \t \n  " + grid + b"\t \r\n\n" + grid
    answers, faults, tally = proved(data)
    assert answers == ["1", "1", "1"]
    assert faults == []
    assert tally.lines == 6


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
@pytest.mark.parametrize("piece", [1, 82, 83, 10**6])
def test_every_kind_of_line_end(end: bytes, piece: int) -> None:
    rows = [EXAMPLE.encode(), b"hello", b"", SEVERAL.encode(), b" " + NONE.encode()]
    answers, faults, tally = proved(Drip(end.join(rows) + end, [piece]))
    assert answers == ["1", "-", "2", "0"]
    assert [fault.partition(":")[0] for fault in faults] == ["line 2"]
    assert tally.lines == 5


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("piece", [1, 10**6])
def test_a_file_in_another_encoding_is_told_by_name(encoding: str, piece: int) -> None:
    data = f"\ufeff{EXAMPLE}\r\n".encode(encoding)
    with pytest.raises(InputError) as refused:
        proved(Drip(data, [piece]))
    assert str(refused.value) == "the grids are UTF-16 text; save them as UTF-8 or as plain ASCII"


def test_lines_with_blanks_around_them_keep_their_place() -> None:
    answers, _, _ = proved(f" {NONE}\n{EXAMPLE}\n\t{SEVERAL}\nhello\n{NONE}\n".encode())
    assert answers == ["0", "1", "2", "-", "0"]


def test_a_line_one_character_too_long_in_two_pieces() -> None:
    found = list(grid_lines.chunks(Drip(b"1" * 1001 + b"\n", [1001, 1])))
    assert [chunk.faults for chunk in found] == [(f"line 1: {TOO_LONG}",)]


def test_blank_lines_are_counted_but_not_answered() -> None:
    answers, faults, _ = proved(f"\n\n{EXAMPLE}\n\nhello\n".encode())
    assert answers == ["1", "-"]
    assert faults[0].startswith("line 5: ")


@pytest.mark.parametrize("data", [b"", b"\n", b" \r\n\n"])
def test_nothing_in_nothing_out(data: bytes) -> None:
    answers, faults, tally = proved(data)
    assert (answers, faults, tally) == ([], [], Tally(lines=data.count(b"\n")))


def plain_reading(data: bytes) -> tuple[list[str | None], list[int]]:
    """The grids (None for a bad line) and the numbers of the bad lines, without any cleverness."""
    grids: list[str | None] = []
    bad = []
    data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    for number, raw in enumerate(data.split(b"\n"), start=1):
        line = raw.removeprefix(b"\xef\xbb\xbf") if number == 1 else raw
        line = line.strip(b" \t\v\f")
        if not line:
            continue
        good = len(line) == 81 and all(chr(byte) in ".0123456789" for byte in line)
        grids.append(line.decode() if good else None)
        if not good:
            bad.append(number)
    return grids, bad


GRID_LINES = st.sampled_from([EXAMPLE.encode(), SEVERAL.encode(), b"0" * 81])
BLANKS = st.text(" \t\r", max_size=3).map(str.encode)
NOISE = st.one_of(
    st.binary(max_size=90),
    st.integers(60, 1200).map(lambda n: b"1" * n),
    st.tuples(GRID_LINES, st.integers(0, 80), st.binary(min_size=1, max_size=1)).map(
        lambda t: t[0][: t[1]] + t[2] + t[0][t[1] + 1 :]
    ),
)
LINE = st.one_of(st.tuples(BLANKS, GRID_LINES, BLANKS).map(b"".join), BLANKS, NOISE)


@settings(max_examples=200, deadline=None)
@given(
    st.lists(LINE, max_size=8).map(b"\n".join),
    st.lists(st.integers(1, 200), min_size=1, max_size=6) | st.just([10**6]),
)
def test_any_bytes_in_any_pieces_are_read_as_a_plain_reader_would(
    data: bytes, sizes: list[int]
) -> None:
    assume(data[:2] not in (b"\xff\xfe", b"\xfe\xff"))  # UTF-16 by its mark
    grids, bad = plain_reading(data)
    found = list(grid_lines.chunks(Drip(data, sizes)))
    good = np.concatenate([np.zeros(0, bool), *(chunk.good for chunk in found)]).tolist()
    texts = [bytes(row).decode() for chunk in found for row in chunk.texts]
    assert good == [grid is not None for grid in grids]
    assert texts == [grid for grid in grids if grid is not None]
    values = [tuple(row) for chunk in found for row in chunk.grids.tolist()]
    assert values == [parse_grid(text, 9) for text in texts]
    faults = [fault for chunk in found for fault in chunk.faults]
    assert [int(fault.split(":")[0].removeprefix("line ")) for fault in faults] == bad


def test_answers_keep_the_order_of_the_input_over_many_chunks() -> None:
    # Grids that take the kernel very different times, in chunks of some forty, on three threads.
    grids = [random_clues(NINE, seed, (0.25, 0.34, 0.6)[seed % 3], seed % 2) for seed in range(300)]
    expected = [str(kernel.prove(NINE, grid).solutions) for grid in grids]
    data = "".join(f"{format_grid(grid)}\n" for grid in grids).encode()
    many = Drip(data, [grid_lines.TRICKLE])
    assert proved(many, workers=3)[0] == expected
    assert set(expected) == {"0", "1", "2"}


def test_a_person_at_the_keyboard_is_answered_before_the_next_line() -> None:
    sink = io.StringIO()
    seen: list[str] = []

    class Keyboard(Drip):
        def read(self, size: int = -1) -> bytes:
            seen.append(sink.getvalue())
            return super().read(size)

    data = f"{EXAMPLE}\n{SEVERAL}\n".encode()
    stream.run(Prove(jsonl=False), Keyboard(data, [82]), sink, report=lambda _: None)
    assert seen == ["", "1\n", "1\n2\n"]


def test_progress_counts_every_line() -> None:
    done: list[int] = []
    data = f"{EXAMPLE}\n\nhello\n".encode() * 2000
    stream.run(
        Prove(jsonl=False), io.BytesIO(data), io.StringIO(), report=lambda _: None,
        progress=done.append,
    )  # fmt: skip
    assert sum(done) == 6000
    assert len(done) > 1


class Endless(io.RawIOBase):
    """So many bytes of one pattern, made as they are read."""

    def __init__(self, pattern: bytes, length: int) -> None:
        self.pattern, self.left = pattern, length

    def readable(self) -> bool:
        return True

    def read(self, size: int = -1) -> bytes:
        size = min(size, self.left) // len(self.pattern) * len(self.pattern)
        self.left -= size
        return self.pattern * (size // len(self.pattern))


class Nowhere(io.StringIO):
    def write(self, text: str) -> int:
        return len(text)


@pytest.mark.parametrize(
    "pattern", [b"1", EXAMPLE.encode() + b"\n", b"\n"], ids=["one-line", "grids", "blank-lines"]
)
def test_memory_does_not_grow_with_the_stream(pattern: bytes) -> None:
    def peak(length: int) -> int:
        tracemalloc.start()
        stream.run(Prove(jsonl=True), Endless(pattern, length), Nowhere(), report=lambda _: None)
        used = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return used

    peak(10_000)
    short = peak(1_000_000)
    assert peak(5_000_000) < 1.5 * short
