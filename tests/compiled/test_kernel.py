"""Compiled code: what is kept is used, what is spoilt is not, and the answers are Python's own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from packbuilder.compiled import Kernel, by_numba, keeping, laid, loading
from packbuilder.compiled.kernel import Example
from packbuilder.kinship import compiled as kinship
from packbuilder.ladder.head import position
from packbuilder.proof import flat_rules, kernel, picture_kernel
from tests.compiled.sample import Pair, other

NUMBERS = [[1, 2, 3], [40, 50, 60]]
WEIGHTS = [7, -5, 2]


def arguments() -> tuple[Any, Pair, Any]:
    pair = Pair(3, np.array(WEIGHTS, np.int64))
    return np.array(NUMBERS, np.uint8), pair, np.uint64(2**63)


ANSWER = 1 + 3 * sum(n * w for row in NUMBERS for n, w in zip(row, WEIGHTS, strict=True))


def example() -> Example:
    args = arguments()
    return args, lambda found: found == ANSWER


def sample(function: str = "total", example: Callable[[], Example] = example) -> Kernel:
    return Kernel(f"tests.compiled.sample:{function}", [], "a sum", example)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("PACKBUILDER_CACHE", str(tmp_path))
    return tmp_path


def kept(folder: Path) -> Path:
    (file,) = folder.glob("*.code")
    return file


TELLS = "first use: compiling a sum, once, a few seconds ...\n"


def test_the_answer_is_the_same_and_what_is_written_is_seen(
    capsys: pytest.CaptureFixture[str],
) -> None:
    call, args = sample(), arguments()
    assert call(*args) == ANSWER
    assert args[1].numbers.tolist() == [ANSWER - 1, *WEIGHTS[1:]]
    assert capsys.readouterr().err == TELLS
    assert sample()(*map(laid, arguments())) == ANSWER
    assert capsys.readouterr().err == ""


def test_spoilt_code_is_made_anew(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sample().ready()
    file = kept(folder)
    whole = file.read_bytes()
    damaged = [b"", whole[:-1], whole[: len(whole) // 2], whole + b"\0", bytes(len(whole))]
    damaged += [whole[:k] + bytes([whole[k] ^ 1]) + whole[k + 1 :] for k in (0, 31, 32, 1000)]
    for data in damaged:
        file.write_bytes(data)
        assert keeping.read(file.name) is None
    capsys.readouterr()
    assert sample()(*arguments()) == ANSWER
    assert capsys.readouterr().err == TELLS
    assert keeping.read(file.name)


def test_code_under_another_name_is_not_used(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call = sample()
    call.ready()
    right = kept(folder)
    changed = sample("other", lambda: (arguments(), lambda found: found == 1))
    changed.ready()
    (wrong,) = set(folder.glob("*.code")) - {right}
    right.write_bytes(wrong.read_bytes())
    capsys.readouterr()
    assert sample()(*arguments()) == ANSWER
    assert capsys.readouterr().err == TELLS


def test_code_that_fails_its_example_is_not_used(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sample().ready()
    name = kept(folder).name
    made = by_numba.make(other, arguments())
    assert made.code
    keeping.write(name, made.code)
    assert keeping.read(name) == made.code
    capsys.readouterr()
    assert sample()(*arguments()) == ANSWER
    assert capsys.readouterr().err == TELLS


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="modes are of POSIX")
def test_code_that_others_may_write_is_not_used(folder: Path) -> None:
    sample().ready()
    file = kept(folder)
    assert keeping.read(file.name)
    file.chmod(0o666)
    assert keeping.read(file.name) is None


def test_where_no_folder_may_be_written_it_compiles_and_says_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setenv("PACKBUILDER_CACHE", str(tmp_path / "file" / "folder"))
    assert sample()(*arguments()) == ANSWER
    told = capsys.readouterr().err
    assert "once" not in told
    assert "no folder may be written to keep it in" in told


def test_where_code_cannot_be_loaded_numba_has_it(monkeypatch: pytest.MonkeyPatch) -> None:
    def load(_code: bytes) -> tuple[int, Any]:
        raise RuntimeError("LLVM says no")

    monkeypatch.setattr(loading, "load", load)
    assert sample()(*arguments()) == ANSWER


def test_what_asks_for_memory_is_compiled_and_not_kept(folder: Path) -> None:
    assert sample("with_memory")(*arguments()) == ANSWER
    assert list(folder.glob("*.code")) == []


def test_wrong_answers_are_refused_whoever_gives_them() -> None:
    with pytest.raises(RuntimeError, match="a sum gives wrong answers"):
        sample("other").ready()


def test_what_compiled_code_cannot_do_is_told() -> None:
    call = sample("by_zero", lambda: (arguments(), lambda found: found == 0))
    numbers, pair, seed = arguments()
    with pytest.raises(RuntimeError, match="does not do"):
        call(numbers, pair._replace(scale=0), seed)


def test_arguments_of_other_kinds_are_refused() -> None:
    call, (numbers, pair, seed) = sample(), arguments()
    read_only = numbers.copy()
    read_only.flags.writeable = False
    for wrong in (
        (numbers.astype(np.int64), pair, seed),
        (numbers.ravel(), pair, seed),
        (numbers.T, pair, seed),
        (read_only, pair, seed),
        (numbers, pair.numbers, seed),
        (numbers, pair, 1),
        (numbers, pair),
        (numbers, pair, "1"),
    ):
        with pytest.raises(TypeError, match="compiled"):
            call(*wrong)


def test_another_source_is_other_code(monkeypatch: pytest.MonkeyPatch) -> None:
    call = sample()
    more = Kernel(call.place, ["tests.compiled.test_kernel"], call.what, call.example)
    names = {call._name("i"), more._name("i"), call._name("u")}
    monkeypatch.setattr(loading, "described", lambda: "another processor")
    assert len({*names, call._name("i")}) == 4


@pytest.mark.parametrize(
    "one",
    [kernel.run, picture_kernel.run, flat_rules.settle, flat_rules.search, position.search,
     kinship.run],
    ids=lambda one: one.place,
)  # fmt: skip
def test_all_compiled_code_of_the_house_can_be_kept(
    one: Kernel, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that no start but the first needs numba: what a process has, the next one finds."""
    monkeypatch.delenv("PACKBUILDER_CACHE")
    one.ready()
    args, _ = one.example()
    kinds = " ".join(laid(arg).kind for arg in args)
    assert keeping.read(one._name(kinds))


def test_a_start_with_kept_code_does_without_numba(folder: Path) -> None:
    code = (
        "import sys\n"
        "from packbuilder.grid import blocks\n"
        "from packbuilder.proof import kernel\n"
        "print(kernel.prove(blocks(2, 2), (0,) * 16).solutions, 'numba' in sys.modules)"
    )
    runs = [
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
        for _ in range(2)
    ]
    assert [run.stdout.split() for run in runs] == [["2", "True"], ["2", "False"]]
    told = "first use: compiling the proof kernel, once, a few seconds ...\n"
    assert [run.stderr for run in runs] == [told, ""]
