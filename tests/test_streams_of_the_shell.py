"""The program as a shell runs it: pipes that close, streams that are full or missing, signals."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from packbuilder.errors import Exit
from tests.conftest import EXAMPLE

PROGRAM = f"{sys.executable} -m packbuilder.cli"
POSIX = pytest.mark.skipif(os.name != "posix", reason="a POSIX shell is needed")


def shell(line: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    root = Path(__file__).resolve().parent.parent
    return subprocess.run(
        ["bash", "-c", line],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(root)},
        capture_output=True,
        text=True,
        timeout=120,
    )


@POSIX
@pytest.mark.parametrize("command", ["prove grids.txt", "rate grids.txt", "schema", "techniques"])
def test_a_reader_that_leaves_is_no_fault(command: str, tmp_path: Path) -> None:
    (tmp_path / "grids.txt").write_text(f"{EXAMPLE}\n" * 3000)
    done = shell(f"{PROGRAM} {command} | true; exit ${{PIPESTATUS[0]}}", tmp_path)
    assert (done.returncode, done.stderr) == (Exit.GOOD, "")


@POSIX
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full device here")
def test_a_full_disk_behind_standard_output(tmp_path: Path) -> None:
    done = shell(f"{PROGRAM} schema >/dev/full", tmp_path)
    assert done.returncode == Exit.UNFINISHED
    assert done.stderr == "the disk is full; make room and run the command again\n"


@POSIX
@pytest.mark.parametrize("closed", [">&-", "2>&-", "<&-"])
def test_a_stream_that_is_closed(closed: str, tmp_path: Path) -> None:
    (tmp_path / "grids.txt").write_text(f"{EXAMPLE}\n")
    done = shell(f"{PROGRAM} prove grids.txt {closed}", tmp_path)
    assert done.returncode == Exit.GOOD
    assert "fault of its own" not in done.stderr


@POSIX
def test_a_build_that_is_told_to_stop_leaves_all_or_nothing(tmp_path: Path) -> None:
    made = shell(f"{PROGRAM} start kites --title Kites --issue 2027-03", tmp_path)
    assert made.returncode == Exit.GOOD
    root = Path(__file__).resolve().parent.parent
    build = subprocess.Popen(
        [sys.executable, "-m", "packbuilder.cli", "build", "kites"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(root)},
        stderr=subprocess.PIPE,
        text=True,
    )
    assert build.stderr is not None
    for line in build.stderr:  # stop it in the middle, when the staging folder is there
        if "setting the print edition" in line:
            break
    time.sleep(0.05)
    build.send_signal(signal.SIGTERM)
    rest = build.stderr.read()
    code = build.wait(timeout=60)
    out = tmp_path / "kites" / "out"
    there = sorted(path.name for path in out.iterdir()) if out.exists() else []
    # It may be faster than the signal; and on a busy machine the signal itself may end it.
    assert code in (Exit.GOOD, Exit.UNFINISHED, -signal.SIGTERM), rest
    assert there == (["kites-print.pdf", "release.json"] if code == Exit.GOOD else [])
    assert code != Exit.UNFINISHED or "stopped; nothing was released" in rest


@POSIX
def test_a_folder_that_may_not_be_written_to(tmp_path: Path) -> None:
    made = shell(f"{PROGRAM} start kites --title Kites --issue 2027-03", tmp_path)
    assert made.returncode == Exit.GOOD
    done = shell(f"{PROGRAM} build kites --out {'x' * 300}", tmp_path)
    assert done.returncode == Exit.USAGE
    assert "nothing was released" in done.stderr
    (tmp_path / "out" / "kites-print.pdf").mkdir(parents=True)
    (tmp_path / "out" / "kites-print.pdf" / "mine.txt").write_text("mine")
    done = shell(f"{PROGRAM} build kites --out out", tmp_path)
    assert done.returncode == Exit.USAGE
    assert "stands where a file of the release goes; move it away" in done.stderr
    assert (tmp_path / "out" / "kites-print.pdf" / "mine.txt").read_text() == "mine"


@pytest.mark.parametrize(
    "option", ["--time-limit nan", "--time-limit inf", f"--node-limit {10**22}"]
)
def test_limits_that_are_no_limits(option: str, tmp_path: Path) -> None:
    done = shell(f"{PROGRAM} check {tmp_path} {option}", tmp_path)
    assert done.returncode == Exit.USAGE
    assert "fault of its own" not in done.stderr
