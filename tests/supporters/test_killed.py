"""Killed at any moment: nothing half-written has its final name, and the next run does the rest.

The process is ended by SIGKILL at random moments, and at every single step of moving files.
"""

from __future__ import annotations

import errno
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from packbuilder import cli
from packbuilder.errors import Exit
from packbuilder.release import staging
from tests.conftest import ROOT
from tests.supporters.test_copies import listing, run, write_list

POSIX = pytest.mark.skipif(os.name != "posix", reason="SIGKILL is POSIX's")
SEED = 20261201


def begun(*arguments: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "packbuilder.cli", *arguments],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )


@POSIX
def test_copies_killed_at_random_moments(pack: Path) -> None:
    """A child for each kill, forked at the door of the work, so that a hundred take seconds."""
    from packbuilder.editions import PRINT
    from packbuilder.supporters.copies import Order, make_copies
    from packbuilder.supporters.people import read_supporters

    rng, names = random.Random(SEED), [f"Supporter {k}" for k in range(600)]
    people = read_supporters(write_list(pack.parent, names))
    master = pack / "out" / "tea-house-print.pdf"
    data, copies = master.read_bytes(), pack / "copies"
    order, seen = Order(master, PRINT, people), set[int]()
    start = time.perf_counter()
    make_copies(data, order, copies)
    whole_run = time.perf_counter() - start  # on a busy machine it is long
    for path in copies.glob("*.pdf"):
        path.unlink()
    for _ in range(100):
        child = os.fork()
        if not child:
            make_copies(data, order, copies)
            os._exit(0)
        time.sleep(rng.uniform(0.0, whole_run))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        found = list(copies.glob("*.pdf"))
        seen.add(len(found))
        for path in rng.sample(found, min(len(found), 20)):
            whole = path.read_bytes()
            assert whole.startswith(data)
            assert whole.endswith(b"%%EOF\n")
        for path in rng.sample(found, len(found) // 2):  # so that there is always work to do
            path.unlink()
    assert len(seen) > 10, "the kills came at too few moments"
    made = make_copies(data, order, copies)
    assert made.made + made.kept == len(names)
    assert sorted(path.name for path in copies.iterdir()) == sorted(
        [".gitignore", "register.csv", *(f"tea-house-print-{k:05}.pdf" for k in range(1, 601))]
    )


@POSIX
def test_a_release_killed_at_every_step_of_its_move(tmp_path: Path) -> None:
    """The files of a name are always one of the two releases', and the next run has all."""
    names = ("a.pdf", "b.pdf", "release.json")
    steps, out = 0, tmp_path / "out"

    def put(text: str) -> None:
        with staging.staging(out) as aside:
            for name in names:
                (aside / name).write_text(f"{text} {name}" * 1000)
            staging.move_in([aside / name for name in names], out, [out / "old.pdf"])

    for step in range(1, 40):
        put("first")
        (out / "old.pdf").write_text("old")
        child = os.fork()
        if not child:
            _kill_at(step)
            put("second")
            os._exit(0)
        _, status = os.waitpid(child, 0)
        for name in names:
            text = (out / name).read_text()
            assert text in (f"first {name}" * 1000, f"second {name}" * 1000)
        staging.settled(out)
        kinds = {(out / name).read_text().split()[0] for name in names}
        assert len(kinds) == 1, "part of one release, part of another"
        put("second")
        assert sorted(path.name for path in out.iterdir()) == sorted(names)
        if status == 0:
            break
        steps += 1
    assert 8 < steps < 39


def _kill_at(step: int) -> None:
    """End this process before so manieth of its changes of names in folders."""
    count = 0

    def counting(honest: Any) -> Any:
        def counted(*arguments: Any, **more: Any) -> Any:
            nonlocal count
            count += 1
            if count == step:
                os.kill(os.getpid(), signal.SIGKILL)
            return honest(*arguments, **more)

        return counted

    for name in ("replace", "unlink", "mkdir", "write_text"):
        setattr(Path, name, counting(getattr(Path, name)))
    os.link = counting(os.link)
    staging.shutil.rmtree = counting(staging.shutil.rmtree)


@POSIX
def test_a_second_run_in_one_folder_is_told(pack: Path, capsys: Any) -> None:
    from packbuilder.release.locks import alone

    people, copies = write_list(pack.parent), pack / "copies"
    copies.mkdir()
    with alone(copies):
        other = begun("copies", str(pack), "--supporters", str(people))
        assert other.stderr is not None
        told = other.stderr.read()
        assert other.wait() == Exit.USAGE
    assert (
        told == f"{copies}: another run of packbuilder is at work there; wait until it has ended\n"
    )
    assert list(copies.iterdir()) == []
    run(pack)


@POSIX
def test_a_killed_run_holds_nothing(pack: Path) -> None:
    child = os.fork()
    if not child:
        from packbuilder.release.locks import alone

        with alone(pack / "out"):
            os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(child, 0)
    assert cli.run(["build", str(pack)]) == Exit.GOOD
    assert not (pack / "out" / ".in-use").exists()


def test_a_disk_that_fills_up_keeps_what_is_whole(
    pack: Path, monkeypatch: Any, capsys: Any
) -> None:
    from packbuilder.supporters.copies import Maker

    honest, count = Maker.put, 0

    def fills(self: Maker, *arguments: Any) -> bool:
        nonlocal count
        count += 1
        if count == 4:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return honest(self, *arguments)

    monkeypatch.setattr(Maker, "put", fills)
    copies = run(pack, code=Exit.UNFINISHED)
    assert "the disk is full; the copies that are there are whole" in capsys.readouterr().err
    before = listing(copies)
    monkeypatch.undo()
    run(pack)
    assert before.items() <= listing(copies).items()
    assert len(list(copies.glob("*.pdf"))) == 5


def test_an_interrupt_says_what_is_there(pack: Path, monkeypatch: Any, capsys: Any) -> None:
    from packbuilder.supporters import copies as room

    def interrupted(*_arguments: Any) -> bool:
        raise KeyboardInterrupt

    monkeypatch.setattr(room.Maker, "put", interrupted)
    run(pack, code=Exit.UNFINISHED)
    assert "stopped: the copies that are there are whole; run it again" in capsys.readouterr().err


def test_a_folder_that_may_only_be_read(pack: Path, monkeypatch: Any, capsys: Any) -> None:
    """As the system says it; root, who runs some tests, may write anywhere."""

    def refused(*_arguments: Any, **_more: Any) -> str:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(pack / "copies"))

    monkeypatch.setattr(staging.tempfile, "mkdtemp", refused)
    run(pack, code=Exit.USAGE)
    assert not (pack / "copies").exists()
    assert "Check that the folder may be written to" in capsys.readouterr().err


def test_a_list_that_changes_meanwhile_is_told(pack: Path, monkeypatch: Any, capsys: Any) -> None:
    from packbuilder.supporters.copies import Maker

    honest = Maker.put

    def changing(self: Maker, *arguments: Any) -> bool:
        os.utime(pack.parent / "list.csv", (1, 1))
        return honest(self, *arguments)

    monkeypatch.setattr(Maker, "put", changing)
    run(pack)
    assert "list.csv: has changed meanwhile; run it again" in capsys.readouterr().err
