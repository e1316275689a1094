"""Ends of a run: killed, interrupted, out of room, unheard; a folder in which anything may lie."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packbuilder import cli
from packbuilder.errors import Exit
from packbuilder.release import build, record, staging
from tests.release.kills import mended, stopped

WritePack = Callable[..., Path]
POSIX = pytest.mark.skipif(os.name != "posix", reason="signals and limits of a POSIX system")
PACK = """
- id: cup
  title: Cup
  size: 4
  grid: ..3. ..2. .4.. .2..
"""


@pytest.fixture
def pack(write_pack: WritePack) -> Path:
    return write_pack(PACK)


def run(*words: str, limits: str = "", **env: str) -> subprocess.CompletedProcess[str]:
    """The program in a shell of its own, within limits of the shell."""
    line = " ".join([limits, sys.executable, "-m", "packbuilder.cli", *words])
    return subprocess.run(
        ["bash", "-c", line], capture_output=True, text=True, timeout=300,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[1]), **env},
    )  # fmt: skip


# --- killed, or told to stop ---------------------------------------------------------------------


@POSIX
def test_a_run_that_is_stopped_says_the_truth_and_leaves_nothing(tmp_path: Path) -> None:
    """`python -m tests.release.kills 100` stops more of them."""
    rng, pack = random.Random(3), tmp_path / "kites"
    wrong = list(mended(pack, 0))
    for number in (1, 2):
        wrong += stopped(pack, number, rng, 4.0)
    assert [*wrong, *mended(pack, 3)] == []


@POSIX
@pytest.mark.parametrize("what", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_an_interrupt_while_files_are_moved_waits_and_is_told(
    what: str, pack: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    move, number = staging._move, getattr(signal, what)

    def interrupted(*some: Any) -> None:
        os.kill(os.getpid(), number)
        move(*some)
        os.kill(os.getpid(), number)

    monkeypatch.setattr(staging, "_move", interrupted)
    assert cli.run(["build", str(pack)]) == Exit.UNFINISHED
    out = pack / "out"
    assert f"stopped, after {out} had got all new files" in capsys.readouterr().err
    assert sorted(path.name for path in out.iterdir()) == ["release.json", "tea-house-print.pdf"]
    monkeypatch.setattr(build, "move_in", lambda *_some: os.kill(os.getpid(), signal.SIGINT))
    assert cli.run(["build", str(pack)]) == Exit.UNFINISHED
    assert "stopped; nothing was released" in capsys.readouterr().err


# --- no room, nobody who listens -----------------------------------------------------------------


@POSIX
@pytest.mark.parametrize("blocks", [1, 40])
@pytest.mark.parametrize("editions", ["", "--edition print --edition screen --edition text"])
def test_a_limit_of_file_size_is_told_and_nothing_is_left(
    blocks: int, editions: str, pack: Path
) -> None:
    """setrlimit(2): blocks of 1,024 bytes in bash; a file of a pack has some 60,000 bytes."""
    done = run("build", str(pack), editions, limits=f"ulimit -f {blocks};")
    assert done.returncode == Exit.UNFINISHED, done.stderr
    assert "a file would become larger than the system allows here" in done.stderr
    assert "nothing was released. Make room" in done.stderr
    assert not (pack / "out").exists()


WRITERS = {
    "start": "start {new} --title Kites --issue 2027-03",
    "previews": "previews {pack}",
    "copies": "copies {pack} --supporters {csv}",
    "layouts": "layouts --thumbnails {new}",
    "explain": "explain ..3...2..4...2.. --svg {new}",
    "script": "script {pack} cup --out {new}",
    "cards": "set --size 4 --sheet {new}.pdf --seed 1",
}


@POSIX
@pytest.mark.parametrize("command", WRITERS)
def test_no_room_is_exit_5_everywhere(command: str, pack: Path, tmp_path: Path) -> None:
    assert cli.run(["build", str(pack)]) == Exit.GOOD
    csv = tmp_path / "list.csv"
    csv.write_text("number,name\n1,Ada Quill\n", encoding="utf-8")
    words = WRITERS[command].format(pack=pack, new=tmp_path / "new", csv=csv)
    done = run(words, limits="ulimit -f 0;")
    assert done.returncode == Exit.UNFINISHED, done.stderr
    assert "a file would become larger than the system allows here" in done.stderr


@POSIX
@pytest.mark.parametrize("stream", ["2>/dev/full", "2>&-"])
def test_nobody_need_hear_what_is_said(stream: str, pack: Path) -> None:
    names = "--edition print --edition screen --edition text"
    done = run("build", str(pack), names, stream)
    assert done.returncode == Exit.GOOD
    assert len(done.stdout.splitlines()) == 4
    assert run("check", str(pack / "no-such"), stream).returncode == Exit.USAGE


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_terminal_without_the_letters_is_told(encoding: str, write_pack: WritePack) -> None:
    """Python's own escapes; JSON has its own, and stays the same document (RFC 8259, 7)."""
    pack = write_pack(PACK.replace("title: Cup", "title: Čaj"))
    told = run("check", str(pack), "--json", PYTHONIOENCODING=encoding)
    assert json.loads(told.stdout)["verdict"] == "pass"
    built = run("build", str(pack), "--out", str(pack / "Ω"), PYTHONIOENCODING=encoding)
    assert built.returncode == Exit.GOOD
    assert "\\u03a9" in built.stdout or "Ω" in built.stdout  # click has UTF-8 for plain ASCII
    plain = run("check", str(pack), PYTHONIOENCODING=encoding)
    assert plain.returncode == Exit.GOOD


def test_fifty_faults_are_told_and_the_rest_counted(
    write_pack: WritePack, capsys: pytest.CaptureFixture[str]
) -> None:
    one = "- {id: cup, title: Cup, size: 4, grid: ..3. ..2. .4.. .2.., promise: {grade: 90}}\n"
    pack = write_pack("\n" + one * 70)
    assert cli.run(["check", str(pack)]) == Exit.USAGE
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 51 and lines[-1].startswith("... and ")
    two = "- {{id: cup-{0}, title: Cup {0}, size: 4, grid: ..3. ..2. .4.. ....}}\n"
    pack = write_pack("\n" + "".join(two.format(k) for k in range(70)))
    assert cli.run(["check", str(pack)]) == Exit.REFUSED
    out = capsys.readouterr().out
    assert out.count(": refused, ") == 50 and "... and " in out
    assert "refused: 70 of 70 puzzles" in out


# --- whatever lies in the folder -----------------------------------------------------------------

LINE = {"edition": "screen", "name": "tea-house-screen.pdf", "sha256": "0" * 64, "made_from": "x"}
RECORDS: dict[str, str | bytes] = {
    "empty": "",
    "no JSON": "hello",
    "no text": b"\xff\xfe\x00",
    "deep": "[" * 100_000 + "]" * 100_000,
    "deep in a line": json.dumps({"files": [LINE | {"x": 1}]}).replace("1", "[" * 900 + "]" * 900),
    "a list": "[]",
    "no files": '{"files": 5}',
    "odd lines": '{"files": [1, null, "x", {}, {"edition": 3}]}',
    "a number without end": '{"files": ' + "9" * 10_000 + "}",
    "a way out": json.dumps({"files": [LINE | {"name": "../../etc/passwd"}]}),
    "a long name": json.dumps({"files": [LINE | {"name": "x" * 5_000}]}),
    "half a letter": json.dumps({"files": [LINE | {"name": "\ud800.pdf"}]}),
    "a zero": json.dumps({"files": [LINE | {"name": "a\0b"}]}),
    "an edition that is none": json.dumps({"files": [LINE | {"edition": "braille"}]}),
}


@pytest.mark.parametrize("name", RECORDS)
def test_a_strange_record_never_stops_a_build(name: str, pack: Path) -> None:
    out = pack / "out"
    out.mkdir()
    what = RECORDS[name]
    (out / record.NAME).write_bytes(what if isinstance(what, bytes) else what.encode())
    (out / "tea-house-screen.pdf").write_bytes(b"mine")
    assert cli.run(["build", str(pack)]) == Exit.GOOD
    assert [one["edition"] for one in record.file_lines(out)] == ["print"]
    assert (out / "tea-house-screen.pdf").read_bytes() == b"mine"


def _pipe(out: Path) -> None:
    os.mkfifo(out / "release.json.pipe")
    os.mkfifo(out / "tea-house-screen.pdf")


def _links(out: Path) -> None:
    (out / ".making-b").symlink_to(out)
    (out / "tea-house-booklet.pdf").symlink_to("tea-house-booklet.pdf")  # to itself


def _moves(what: object) -> Callable[[Path], None]:
    def make(out: Path) -> None:
        (out / ".making-a").mkdir()
        (out / ".making-a" / "moves.json").write_text(json.dumps(what), encoding="utf-8")

    return make


STRANGE: dict[str, Callable[[Path], object]] = {
    "pipes": _pipe,
    "links": _links,
    "a file of that name": lambda out: (out / ".making-c").write_text("mine"),
    "names that are no text": lambda out: (out / os.fsdecode(b"\xff\xfe.pdf")).write_bytes(b""),
    "damaged moves": _moves(5),
    "moves out of the folder": _moves({"new": ["../../x"], "old": ["../manifest.yaml"]}),
    "moves of nothing": _moves({"new": ["x.pdf"], "old": [3]}),
}  # fmt: skip


@POSIX
@pytest.mark.parametrize("name", STRANGE)
def test_strange_things_in_the_folder_never_stop_a_build(name: str, pack: Path) -> None:
    out, whole = pack / "out", (pack / "manifest.yaml").read_bytes()
    out.mkdir()
    STRANGE[name](out)
    assert cli.run(["build", str(pack)]) == Exit.GOOD
    assert (pack / "manifest.yaml").read_bytes() == whole
    assert (out / "tea-house-print.pdf").is_file()
    assert not (out / ".making-a").exists()


# --- small things --------------------------------------------------------------------------------


def test_a_file_without_pages_is_no_fault_of_ours(pack: Path, tmp_path: Path) -> None:
    """ISO 32000-1, 7.7.3: a page tree may be empty; no pack's is."""
    import pikepdf

    file = tmp_path / "empty.pdf"
    pikepdf.new().save(file)
    done = run("readback", str(file), "--against", str(pack))
    assert (done.returncode, "has no pages" in done.stderr or "damaged" in done.stderr) == (2, True)


def test_findings_are_as_wide_as_the_terminal(write_pack: WritePack) -> None:
    pack = write_pack(PACK.replace("..3.", "..1.").replace(".2..", ".3.."))
    for columns, most in (("40", 40), ("300", 100)):
        told = run("check", str(pack), COLUMNS=columns).stdout.splitlines()
        prose = [line for line in told if line[:4] == "    " < line[3:5]]
        assert prose and most - 20 < max(map(len, prose)) <= most


@pytest.mark.parametrize("encoding", ["utf-16", "utf-32"])
def test_text_of_another_encoding_is_called_by_its_name(encoding: str, tmp_path: Path) -> None:
    grids = tmp_path / "grids.txt"
    grids.write_text("." * 81 + "\n", encoding=encoding)
    done = run("prove", str(grids))
    assert done.returncode == Exit.USAGE
    assert f"the grids are {encoding.upper()} text" in done.stderr


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_shell_completes_commands(shell: str) -> None:
    """By click's own script, for the program's name."""
    script = run(_PACKBUILDER_COMPLETE=f"{shell}_source").stdout
    assert "_PACKBUILDER_COMPLETE" in script


def test_words_are_completed() -> None:
    told = run(_PACKBUILDER_COMPLETE="bash_complete", COMP_WORDS="packbuilder rea", COMP_CWORD="1")
    assert told.stdout.split() == ["plain,readback"]


def test_it_runs_out_of_a_zip(tmp_path: Path) -> None:
    """Python's own way of a program in one file (zipapp)."""
    import zipfile

    root = Path(cli.__file__).parents[2]
    program = tmp_path / "packbuilder.pyz"
    with zipfile.ZipFile(program, "w") as zipped:
        for path in (root / "packbuilder").rglob("*.*"):
            if "__pycache__" not in path.parts:
                zipped.write(path, path.relative_to(root))
        for path in (root / "layouts").glob("*.yaml"):
            zipped.write(path, f"packbuilder/_shipped_layouts/{path.name}")
        zipped.writestr("__main__.py", "from packbuilder.cli import main\nmain()\n")
    manifest = tmp_path / "kites" / "manifest.yaml"
    manifest.parent.mkdir()
    manifest.write_text(
        "pack: {title: Kites, issue: 2027-03, byline: Ada Quill}\npuzzles:" + textwrap.dedent(PACK),
        encoding="utf-8",
    )
    env = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run(
        [sys.executable, str(program), "build", str(manifest)],
        capture_output=True, text=True, env=env, check=False,
    )  # fmt: skip
    assert done.returncode == Exit.GOOD, done.stderr
    assert (manifest.parent / "out" / "kites-print.pdf").is_file()
