"""The command line: every exit code is reached, and no input gives a traceback."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packbuilder import cli
from packbuilder.errors import Exit
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED

WritePack = Callable[..., Path]


@pytest.fixture
def feed(monkeypatch: Any) -> Callable[[bytes], None]:
    """Put bytes on standard input."""

    def put(data: bytes) -> None:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))

    return put


def _good(_pack: WritePack) -> list[str]:
    return ["schema"]


def _fault(_pack: WritePack) -> list[str]:
    return ["explain", EXAMPLE]


def _usage(_pack: WritePack) -> list[str]:
    return ["check", "no-such-folder"]


def _refused(pack: WritePack) -> list[str]:
    return ["check", str(pack(f"- id: kettle\n  title: K\n  grid: {'.' * 81}"))]


def _mismatch(pack: WritePack) -> list[str]:
    folder = pack(f"- id: kettle\n  title: Kettle\n  grid: {EXAMPLE}")
    other = pack(f"- id: kettle\n  title: Cup\n  grid: {EXAMPLE}", name="other")
    assert cli.run(["build", str(other)]) == Exit.GOOD
    return ["readback", str(other / "out" / "other-print.pdf"), "--against", str(folder)]


def _unfinished(_pack: WritePack) -> list[str]:
    return ["set", "--count", "1", "--clues", "4", "--budget", "0.2"]


@pytest.mark.parametrize(
    ("code", "arrange"),
    [
        (Exit.GOOD, _good),
        (Exit.FAULT, _fault),
        (Exit.USAGE, _usage),
        (Exit.REFUSED, _refused),
        (Exit.MISMATCH, _mismatch),
        (Exit.UNFINISHED, _unfinished),
    ],
    ids=lambda x: x.name.lower() if isinstance(x, Exit) else "",
)
def test_every_exit_code_is_reached(
    code: Exit, arrange: Callable[..., list[str]], write_pack: WritePack, monkeypatch: Any
) -> None:
    args = arrange(write_pack)
    if code is Exit.FAULT:

        def breaks(*_args: Any, **_more: Any) -> None:
            raise ZeroDivisionError

        monkeypatch.setattr("packbuilder.proof.kernel.prove", breaks)
    assert cli.run(args) == code


def test_prove_answers_a_digit_a_line(feed: Any, capsys: Any) -> None:
    no_solution = "55" + "." * 79
    feed(f"{EXAMPLE}\n{'.' * 81}\n{no_solution}\n".encode())
    assert cli.run(["prove", "-"]) == Exit.GOOD
    assert capsys.readouterr().out.split() == ["1", "2", "0"]


def test_prove_goes_on_past_a_bad_line(feed: Any, capsys: Any) -> None:
    feed(f"{EXAMPLE}\nnonsense\n{EXAMPLE}\n".encode())
    assert cli.run(["prove", "-", "--jsonl"]) == Exit.USAGE
    out, err = capsys.readouterr()
    answers = [json.loads(line) for line in out.splitlines()]
    assert [a["solution"] for a in answers if a.get("solutions") == 1] == [EXAMPLE_SOLVED] * 2
    assert "line 2" in err
    assert "1 line could not be read; the rest is done" in err


def test_rate_gives_the_contract_fields(feed: Any, capsys: Any) -> None:
    feed(f"{EXAMPLE}\n".encode())
    assert cli.run(["rate", "-", "--jsonl"]) == Exit.GOOD
    (line,) = capsys.readouterr().out.splitlines()
    rating = json.loads(line)
    assert rating["solution"] == EXAMPLE_SOLVED
    assert rating["grade"] in (1, 2)  # 30 clues, singles only: the printed example is easy
    assert sum(rating["techniques"].values()) == 51  # 81 cells less 30 clues, a single for each
    assert set(rating) >= {"grid", "solutions", "hardest", "effort", "techniques"}


def test_rate_tells_what_is_needed_on_a_ladder_of_ones_own(
    feed: Any, capsys: Any, tmp_path: Path
) -> None:
    """On a ladder of two rungs the printed example needs its hidden singles, and nothing else."""
    own = tmp_path / "ladder.yaml"
    own.write_text("naked-single: off\nhidden-single: {rung: 5}\n", encoding="utf-8")
    feed(f"{EXAMPLE}\n".encode())
    assert cli.run(["rate", "-", "--jsonl", "--needs", "--ladder", str(own)]) == Exit.GOOD
    facts = json.loads(capsys.readouterr().out)
    assert (facts["grade"], facts["needs"]) == (5, ["hidden-single"])
    feed(f"{EXAMPLE}\n".encode())
    assert cli.run(["rate", "-", "--needs", "--ladder", str(own), "--assume-unique"]) == Exit.GOOD
    assert capsys.readouterr().out.endswith(f"{EXAMPLE}  hidden-single  hidden-single\n")


def test_rate_may_give_up_on_a_proof(feed: Any, capsys: Any) -> None:
    feed(f"{'.' * 81}\n".encode())
    assert cli.run(["rate", "-", "--node-limit", "1"]) == Exit.UNFINISHED
    assert "1 grid undecided" in capsys.readouterr().err


def test_explain_agrees_with_rate_and_fills_the_grid(feed: Any, capsys: Any) -> None:
    assert cli.run(["explain", EXAMPLE, "--json"]) == Exit.GOOD
    document = json.loads(capsys.readouterr().out)
    cells = list(EXAMPLE)
    for step in document["steps"]:
        assert set(step) >= {"technique", "rung", "places", "removes", "because", "words"}
        for name, digit in step["places"]:
            row, column = (int(x) for x in name[1:].split("c"))
            cells[(row - 1) * 9 + column - 1] = str(digit)
    assert "".join(cells) == EXAMPLE_SOLVED
    feed(f"{EXAMPLE}\n".encode())
    cli.run(["rate", "-", "--jsonl"])
    rating = json.loads(capsys.readouterr().out)
    assert document["grade"] == rating["grade"]


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["explain", "12"], "GRID has 2 cells; it needs 16, 25, 36"),
        (["explain", "x" * 81], "GRID: row 1, column 1 is 'x'"),
        (["explain", "." * 49], "--blocks: a grid of size 7 has no usual block; write none for"),
        (["explain", "." * 81, "--blocks", "2x4"], "--blocks: blocks of 2x4 hold 8 cells"),
        (["set", "--blocks", "1x9"], "--blocks: blocks of 1x9 are the rows or columns again"),
        (["set", "--blocks", "9" * 5000], f"--blocks: '{'9' * 37}...' is not a shape of blocks"),
        (["set", "--clues", "30-24"], "30 to 24 clues: write the lower number first"),
        (["set", "--clues", "24-"], "--clues 24-: write a number or LOW-HIGH, such as 24-30"),
        (["set", "--clues", "9" * 5000], f"--clues {'9' * 37}...: write a number or LOW-HIGH"),
        (["set", "--clues", "200"], "200 clues in a grid of 81 cells: it can have 0 to 80"),
        (["set", "--clues", "81"], "at least one cell must be left to solve"),
        (["set", "--budget", "nan"], "budget nan: write a number of seconds, such as 120"),
        (["set", "--budget", "inf"], "budget inf: write a number of seconds, such as 120"),
        (["set", "--size", "4", "--blocks", "AAABBBBACCCCDDDD"],
         "no full grid fits these regions (4x4, irregular regions); redraw them"),
        (["set", "--symmetry", "rotary"], "rotational"),
        (["readback", "no.pdf", "--against", "nowhere"], "nowhere"),
        (["prove", "-", "--node-limit", "9" * 23], "is not in the range"),
        (["rate", "-", "--node-limit", "9" * 23], "is not in the range"),
        (["rate", "-", "--ladder", "no-such-file"], "no-such-file"),
        (["nonsense"], "No such command"),
    ],
)  # fmt: skip
def test_bad_arguments_get_a_sentence(args: list[str], words: str, capsys: Any) -> None:
    assert cli.run(args) == Exit.USAGE
    err = capsys.readouterr().err
    assert words in err
    assert "Traceback" not in err


def test_a_grid_without_one_solution_is_not_explained(capsys: Any) -> None:
    assert cli.run(["explain", "." * 81]) == Exit.REFUSED
    assert "more than one solution" in capsys.readouterr().err


def test_a_fault_of_its_own_is_a_sentence(monkeypatch: Any, capsys: Any) -> None:
    def breaks(*_args: Any, **_more: Any) -> None:
        raise ZeroDivisionError("by nought")

    monkeypatch.setattr("packbuilder.proof.kernel.prove", breaks)
    assert cli.run(["explain", EXAMPLE]) == Exit.FAULT
    err = capsys.readouterr().err
    assert err.startswith("packbuilder has a fault of its own: ZeroDivisionError: by nought")
    assert "Traceback" not in err


def test_every_command_has_help_with_an_example(capsys: Any) -> None:
    for name in cli.commands.commands:
        assert cli.run([name, "--help"]) == Exit.GOOD
        assert "Example: packbuilder " + name in capsys.readouterr().out
