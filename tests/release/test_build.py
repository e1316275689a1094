"""Build is all or nothing: each fault is injected, and nothing that was there is lost."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packbuilder import cli, pages, press, readback
from packbuilder.errors import Exit
from tests.conftest import EXAMPLE

WritePack = Callable[..., Path]

SMALL = f"""
- id: kettle
  title: Kettle
  grid: {EXAMPLE}
- id: saucer
  title: Saucer
  size: 6
  grid: 2..6...31..4.....61.....3..24...5..1
"""


@pytest.fixture
def folder(write_pack: WritePack) -> Path:
    return write_pack(SMALL)


def listing(out: Path) -> dict[str, str]:
    """Every file below a folder with the hash of its bytes."""
    return {
        str(p.relative_to(out)): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(out.rglob("*"))
        if p.is_file()
    }


def run_leaving_nothing(args: list[str], out: Path, code: Exit) -> None:
    """Run a command that must fail with ``code`` and leave ``out`` exactly as it was."""
    before = listing(out) if out.exists() else None
    assert cli.run(args) == code
    assert (listing(out) if out.exists() else None) == before


def test_a_build_leaves_the_pdf_and_a_true_record(folder: Path, capsys: Any) -> None:
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    out = folder / "out"
    assert sorted(listing(out)) == ["release.json", "tea-house-print.pdf"]
    record = json.loads((out / "release.json").read_text(encoding="utf-8"))
    (file,) = record["files"]
    data = (out / file["name"]).read_bytes()
    assert (file["bytes"], file["sha256"]) == (len(data), hashlib.sha256(data).hexdigest())
    assert [p["id"] for p in record["puzzles"]] == ["kettle", "saucer"]
    assert capsys.readouterr().out.splitlines() == [
        str(out / "tea-house-print.pdf"),
        str(out / "release.json"),
    ]


def test_a_good_print_reads_back_alone(folder: Path, capsys: Any) -> None:
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    pdf = str(folder / "out" / "tea-house-print.pdf")
    capsys.readouterr()
    assert cli.run(["readback", pdf, "--against", str(folder), "--json"]) == Exit.GOOD
    assert json.loads(capsys.readouterr().out)["verdict"] == "pass"


def test_a_print_of_another_pack_is_refused(folder: Path, write_pack: WritePack) -> None:
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    pdf = str(folder / "out" / "tea-house-print.pdf")
    other = write_pack(f"- id: kettle\n  title: Cup\n  grid: {EXAMPLE}", name="other")
    assert cli.run(["readback", pdf, "--against", str(other)]) == Exit.MISMATCH


def test_the_same_input_gives_the_same_bytes(folder: Path) -> None:
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    first = listing(folder / "out")
    command = [sys.executable, "-m", "packbuilder.cli", "build", str(folder)]
    env = {**os.environ, "TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "7", "LC_ALL": "C"}
    subprocess.run(
        [*command, "--out", str(folder / "again")], env=env, check=True, capture_output=True
    )
    assert listing(folder / "again") == first


def test_the_gate_refuses_before_anything_is_made(write_pack: WritePack) -> None:
    folder = write_pack(f"- id: kettle\n  title: Kettle\n  grid: {'.' * 81}")
    run_leaving_nothing(["build", str(folder)], folder / "out", Exit.REFUSED)


def test_a_renderer_that_drops_a_digit(folder: Path, monkeypatch: Any) -> None:
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    honest = pages.plan_book

    def drops_a_digit(book: Any, **more: Any) -> Any:
        from dataclasses import replace

        first = book.entries[0]
        puzzle = replace(first.puzzle, clues=(0, *first.puzzle.clues[1:]))
        entries = (replace(first, puzzle=puzzle), *book.entries[1:])
        return honest(replace(book, entries=entries), **more)

    monkeypatch.setattr(pages, "plan_book", drops_a_digit)
    run_leaving_nothing(["build", str(folder)], folder / "out", Exit.MISMATCH)


def test_a_renderer_that_crashes(folder: Path, monkeypatch: Any, capsys: Any) -> None:
    def crashes(*_args: Any, **_more: Any) -> None:
        raise RuntimeError("ink ran dry")

    monkeypatch.setattr(press, "write_pdf", crashes)
    run_leaving_nothing(["build", str(folder)], folder / "out", Exit.FAULT)
    assert (
        "packbuilder has a fault of its own: RuntimeError: ink ran dry" in capsys.readouterr().err
    )


@pytest.mark.parametrize("stage", [(press, "write_pdf"), (readback, "read")])
def test_an_interrupt_in_the_middle(
    stage: tuple[Any, str], folder: Path, monkeypatch: Any, capsys: Any
) -> None:
    assert cli.run(["build", str(folder)]) == Exit.GOOD

    def interrupted(*_args: Any, **_more: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(*stage, interrupted)
    run_leaving_nothing(["build", str(folder)], folder / "out", Exit.UNFINISHED)
    assert "stopped; nothing was released" in capsys.readouterr().err


def test_an_engine_that_runs_out_of_time(folder: Path, capsys: Any) -> None:
    args = ["build", str(folder), "--node-limit", "0", "--time-limit", "0"]
    run_leaving_nothing(args, folder / "out", Exit.REFUSED)
    assert "undecided" in capsys.readouterr().err


def test_a_disk_that_fills(folder: Path, monkeypatch: Any, capsys: Any) -> None:
    assert cli.run(["build", str(folder)]) == Exit.GOOD

    def fills(*_args: Any, **_more: Any) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(press, "write_pdf", fills)
    run_leaving_nothing(["build", str(folder)], folder / "out", Exit.UNFINISHED)
    assert "the disk is full; nothing was released" in capsys.readouterr().err


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full device here")
def test_a_really_full_device(folder: Path, monkeypatch: Any) -> None:
    honest = press.write_pdf

    def to_full_device(plan: Any, _out: Any) -> None:
        with Path("/dev/full").open("wb") as full:
            honest(plan, full)

    monkeypatch.setattr(press, "write_pdf", to_full_device)
    run_leaving_nothing(["build", str(folder)], folder / "out", Exit.UNFINISHED)


def test_a_move_that_fails_half_way_puts_the_earlier_release_back(
    folder: Path, monkeypatch: Any
) -> None:
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    (folder / "out" / "release.json").write_text("an earlier record", encoding="utf-8")
    honest = Path.replace

    def fails_at_the_record(self: Path, target: Any) -> Any:
        if self.name == "release.json" and ".making-" in self.parent.name:
            raise OSError(errno.EACCES, os.strerror(errno.EACCES))
        return honest(self, target)

    monkeypatch.setattr(Path, "replace", fails_at_the_record)
    run_leaving_nothing(["build", str(folder)], folder / "out", Exit.USAGE)


def test_out_is_a_file(folder: Path, capsys: Any) -> None:
    (folder / "out").write_text("mine", encoding="utf-8")
    assert cli.run(["build", str(folder)]) == Exit.USAGE
    assert "is a file; name a folder with --out" in capsys.readouterr().err
    assert (folder / "out").read_text(encoding="utf-8") == "mine"


def test_an_unknown_edition(folder: Path, capsys: Any) -> None:
    args = ["build", str(folder), "--edition", "hologram"]
    run_leaving_nothing(args, folder / "out", Exit.USAGE)
    assert "no edition 'hologram'; write one of: print, large-print" in capsys.readouterr().err


@pytest.mark.skipif(shutil.which("qpdf") is None, reason="qpdf is not installed")
def test_qpdf_finds_nothing_wrong(folder: Path) -> None:
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    pdf = folder / "out" / "tea-house-print.pdf"
    run = subprocess.run(["qpdf", "--check", str(pdf)], capture_output=True, text=True)
    assert run.returncode == 0, run.stdout + run.stderr
