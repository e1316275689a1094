"""Files made to harm: what no file of a pack may take ends in a sentence, wherever it is read.

The ceilings are forced by work that burns time, hoards memory or ends its process, in a process
that is started afresh, as on systems that know no other way.
"""

from __future__ import annotations

import ctypes
import os
import time
from collections.abc import Callable
from pathlib import Path
from unittest import mock

import pytest

from packbuilder import cli, confined
from packbuilder.errors import Exit, InputError, Mismatch
from packbuilder.files import read_file
from packbuilder.supporters.csv_files import read_table
from tests.readback.hostile import HOSTILE, ask, write_pack


def ready() -> None:
    pass


def burn() -> None:
    while True:
        pass


def hoard() -> None:
    held = []
    while True:
        held.append(b"x" * 20_000_000)


def end() -> None:
    os._exit(3)


def crash() -> None:
    ctypes.string_at(0)


def refuse() -> None:
    raise Mismatch("the print is another")


def slip() -> None:
    raise KeyError("a slip of ours")


WAYS: dict[str, tuple[Callable[[], None], type[Exception], str]] = {
    "time": (burn, InputError, "kites.pdf: takes more than 2 seconds to read"),
    "memory": (hoard, InputError, "kites.pdf: takes more than 400 MB of memory"),
    "an end": (end, InputError, "kites.pdf: is too damaged to read: it ended the process"),
    "a crash": (crash, InputError, "kites.pdf: is too damaged to read: it ended the process"),
    "a fault for people": (refuse, Mismatch, "the print is another"),
    "a slip": (slip, RuntimeError, "KeyError: 'a slip of ours'"),
}


@pytest.mark.parametrize("name", WAYS)
def test_whatever_happens_in_the_process_is_told(name: str) -> None:
    work, kind, words = WAYS[name]
    with pytest.raises(kind) as fault:
        confined.confined("kites.pdf", ready, 2.0, work)
    assert words in str(fault.value)


def test_values_go_there_and_back() -> None:
    assert confined.confined("kites.pdf", ready, 9.0, divmod, 17, 5) == (3, 2)


def test_a_process_that_waits_is_not_waited_for() -> None:
    with mock.patch.object(confined, "_WAIT", 0.1), pytest.raises(InputError, match="takes more"):
        confined.confined("kites.pdf", ready, 1.0, time.sleep, 60)


def test_memory_is_counted() -> None:
    """Against a block of a known size."""
    before = confined.memory()
    block = bytearray(b"x" * 200_000_000)
    assert 150_000_000 < confined.memory() - before < 300_000_000
    del block


# --- the command ---------------------------------------------------------------------------------

QUICK = ("forms within forms", "tags in a ring", "a wide page")


@pytest.mark.skipif(os.name != "posix", reason="what it takes is asked of a POSIX system")
@pytest.mark.parametrize("name", QUICK)
def test_files_made_to_harm_are_refused(name: str, tmp_path: Path) -> None:
    """`python -m tests.readback.hostile` has all of them, with seconds and memory."""
    file, pack = tmp_path / "kites-print.pdf", write_pack(tmp_path)
    file.write_bytes(HOSTILE[name]())
    code, words, _, megabytes = ask(file, pack)
    assert code in (Exit.USAGE, Exit.MISMATCH), words
    assert "fault of its own" not in words
    assert megabytes < 1_000


OPENED = {
    "readback": lambda file, pack: ["readback", file, "--against", pack],
    "whose": lambda file, pack: ["copies", pack, "--who", file],
    "set --picture": lambda file, pack: ["set", "--picture", file],
    "set --wishes": lambda file, pack: ["set", "--wishes", file],
}  # fmt: skip


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no such files here")
@pytest.mark.parametrize("command", [*OPENED, "a list"])
@pytest.mark.parametrize("kind", ["a pipe", "a device", "a folder", "a link to a pipe"])
def test_what_is_no_regular_file_is_not_opened(
    command: str, kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pack, file = write_pack(tmp_path), tmp_path / "here"
    if kind == "a device":
        file = Path("/dev/zero")
    elif kind == "a folder":
        file.mkdir()
    elif kind == "a pipe":
        os.mkfifo(file)
    else:
        os.mkfifo(tmp_path / "there")
        file.symlink_to("there")
    if command == "a list":
        with pytest.raises(InputError, match=f"{file}: .*; name a CSV file"):
            read_table(file, ["name"])
        return
    assert cli.run(OPENED[command](str(file), str(pack))) == Exit.USAGE
    told = capsys.readouterr().err
    assert str(file) in told and "Traceback" not in told


@pytest.mark.parametrize("kind", [".pdf", ".txt", ".csv"])
def test_more_than_is_sensible_is_not_read(kind: str, tmp_path: Path) -> None:
    file = tmp_path / f"kites{kind}"
    with file.open("wb") as large:
        large.truncate(200_000_000)  # a hole: it takes no room
    with pytest.raises(InputError, match=r"kites.*: is larger than 100 MB, which a list never is"):
        read_file(file, 100_000_000, "a list")
