"""Editions in a release: each proved, all or nothing over all, and no stale file beside them."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdf
import pytest

from packbuilder import cli, gate, manifest, pages, plaintext
from packbuilder.editions import EDITIONS, chosen
from packbuilder.errors import Exit, InputError, Refused
from packbuilder.release.build import build
from tests.conftest import EXAMPLE
from tests.release.test_build import listing, run_leaving_nothing

WritePack = Callable[..., Path]

SMALLEST = """
- id: cup
  title: Cup
  size: 4
  grid: ..3. ..2. .4.. .2..
- id: saucer
  title: Saucer
  size: 6
  grid: 2..6...31..4.....61.....3..24...5..1
"""


@pytest.fixture
def folder(write_pack: WritePack) -> Path:
    return write_pack(SMALLEST)


def asking(folder: Path, *names: str) -> list[str]:
    """The command that builds those editions."""
    return ["build", str(folder), *(word for name in names for word in ("--edition", name))]


def record_of(folder: Path) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads((folder / "out" / "release.json").read_text("utf-8"))
    return loaded


def with_one_digit_wrong(honest: Callable[..., Any]) -> Callable[..., Any]:
    """A press that sets one clue of the first puzzle as another digit, and is else honest."""

    def prints(book: Any, *out: Any, **more: Any) -> Any:
        first = book.entries[0]
        clues = list(first.puzzle.clues)
        k = next(i for i, clue in enumerate(clues) if clue)
        clues[k] = clues[k] % 4 + 1
        puzzle = replace(first.puzzle, clues=tuple(clues))
        entries = (replace(first, puzzle=puzzle), *book.entries[1:])
        return honest(replace(book, entries=entries), *out, **more)

    return prints


def test_editions_come_in_their_own_order_each_once() -> None:
    assert [e.name for e in chosen(["text", "print", "text"])] == ["print", "text"]
    assert [e.name for e in chosen(["text", "all"])] == list(EDITIONS)
    with pytest.raises(InputError, match="did you mean 'booklet'"):
        chosen(["bookelt"])


def test_every_edition_is_released_and_in_the_record(folder: Path) -> None:
    pypdf = pytest.importorskip("pypdf")
    assert cli.run(asking(folder, "all")) == Exit.GOOD
    lines = {line["edition"]: line for line in record_of(folder)["files"]}
    assert list(lines) == list(EDITIONS)
    for name, line in lines.items():
        path = folder / "out" / line["name"]
        assert path.name == f"tea-house-{name}{EDITIONS[name].suffix}"
        data = path.read_bytes()
        assert (line["bytes"], line["sha256"]) == (len(data), hashlib.sha256(data).hexdigest())
        if path.suffix == ".txt":
            assert line["pages"] == 0
        elif name == "booklet":  # two pages a side, made up to whole sheets of four
            sides = len(pypdf.PdfReader(path).pages)
            assert sides * 2 - 4 < line["pages"] <= sides * 2
        else:
            assert line["pages"] == len(pypdf.PdfReader(path).pages)


@pytest.mark.parametrize("name", EDITIONS)
def test_one_wrong_digit_in_any_edition_leaves_everything_untouched(
    name: str, folder: Path, monkeypatch: Any, capsys: Any
) -> None:
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    room, stage = (plaintext, "outline_of") if name == "text" else (pages, "plan_book")
    monkeypatch.setattr(room, stage, with_one_digit_wrong(getattr(room, stage)))
    run_leaving_nothing(asking(folder, name), folder / "out", Exit.MISMATCH)
    assert f"tea-house-{name}" in capsys.readouterr().err


def test_one_bad_edition_spoils_them_all(folder: Path, monkeypatch: Any, capsys: Any) -> None:
    monkeypatch.setattr(plaintext, "outline_of", with_one_digit_wrong(plaintext.outline_of))
    run_leaving_nothing(asking(folder, "print", "text"), folder / "out", Exit.MISMATCH)
    err = capsys.readouterr().err
    assert "tea-house-text.txt: the printed file is not the verified pack" in err
    assert not (folder / "out").exists()


def sixteen() -> str:
    """A 16x16 grid with a clue in every cell but those of one diagonal: a shifted pattern, whose
    blocks are 4x4 (common practice, no source)."""
    symbols = "123456789ABCDEFG"
    rows = [[symbols[(4 * (r % 4) + r // 4 + c) % 16] for c in range(16)] for r in range(16)]
    for k in range(16):
        rows[k][k] = "."
    return "".join("".join(row) for row in rows)


def test_an_edition_that_cannot_be_set_refuses_the_whole_build(
    write_pack: WritePack, capsys: Any
) -> None:
    folder = write_pack(f"- id: wide-one\n  title: Wide\n  size: 16\n  grid: {sixteen()}")
    run_leaving_nothing(asking(folder, "print", "large-print"), folder / "out", Exit.REFUSED)
    err = capsys.readouterr().err
    assert "in the large-print edition" in err and "nothing was released" in err
    assert "'wide-one'" in err
    assert "To mend: " in err
    assert "or build no large-print edition" in err
    assert cli.run(asking(folder, "print")) == Exit.GOOD


# --- what an earlier build left ------------------------------------------------------------------


def test_other_editions_of_the_same_pack_stay_and_are_vouched_for(
    folder: Path, write_pack: WritePack, capsys: Any
) -> None:
    """One after the other or at once: the same files, the same record but for the pack's name."""
    assert cli.run(asking(folder, "text")) == Exit.GOOD
    capsys.readouterr()
    assert cli.run(asking(folder, "print")) == Exit.GOOD
    assert "kept, of this very pack: tea-house-text.txt" in capsys.readouterr().err
    other = write_pack(SMALLEST, name="again")
    assert cli.run(asking(other, "text", "print")) == Exit.GOOD
    apart = {n.replace("tea-house", "again"): h for n, h in listing(folder / "out").items()}
    together = listing(other / "out")
    del apart["release.json"], together["release.json"]
    assert apart == together
    assert [x["edition"] for x in record_of(folder)["files"]] == ["print", "text"]


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("title: Saucer", "title: Spoon"),
        lambda text: text.replace("byline: Ada Quill", "byline: Ada Quill\n  layout: two-up"),
        lambda text: text.replace("byline: Ada Quill", "byline: Ada Quill\n  foreword: Hello."),
    ],
    ids=["a title", "the layout", "the foreword"],
)
def test_other_editions_of_a_pack_that_has_changed_go(
    change: Callable[[str], str], folder: Path, capsys: Any
) -> None:
    assert cli.run(asking(folder, "text", "sampler")) == Exit.GOOD
    path = folder / "manifest.yaml"
    path.write_text(change(path.read_text("utf-8")), encoding="utf-8")
    assert cli.run(asking(folder, "text")) == Exit.GOOD
    assert sorted(listing(folder / "out")) == ["release.json", "tea-house-text.txt"]
    assert [x["edition"] for x in record_of(folder)["files"]] == ["text"]
    err = capsys.readouterr().err
    assert "tea-house-sampler.pdf: was of an earlier state of the pack, and is gone" in err


def test_a_comment_changes_nothing(folder: Path) -> None:
    assert cli.run(asking(folder, "text", "sampler")) == Exit.GOOD
    before = listing(folder / "out")
    path = folder / "manifest.yaml"
    path.write_text("# A note.\n\n" + path.read_text("utf-8"), encoding="utf-8")
    assert cli.run(asking(folder, "text")) == Exit.GOOD
    assert listing(folder / "out") == before


def test_a_file_that_was_changed_by_hand_is_told_of_and_left(folder: Path, capsys: Any) -> None:
    assert cli.run(asking(folder, "sampler")) == Exit.GOOD
    mine = folder / "out" / "tea-house-sampler.pdf"
    mine.write_bytes(b"my own")
    assert cli.run(asking(folder, "text")) == Exit.GOOD
    assert mine.read_bytes() == b"my own"
    assert "tea-house-sampler.pdf: is not as it was released" in capsys.readouterr().err
    assert [x["edition"] for x in record_of(folder)["files"]] == ["text"]


def test_what_an_earlier_name_of_the_pack_left_goes(folder: Path) -> None:
    assert cli.run(asking(folder, "text")) == Exit.GOOD
    renamed = folder.rename(folder.with_name("coffee-house"))
    assert cli.run(asking(renamed, "text")) == Exit.GOOD
    assert sorted(listing(renamed / "out")) == ["coffee-house-text.txt", "release.json"]


def test_a_move_that_fails_brings_back_what_was_to_go(folder: Path, monkeypatch: Any) -> None:
    assert cli.run(asking(folder, "text", "sampler")) == Exit.GOOD
    path = folder / "manifest.yaml"
    path.write_text(path.read_text("utf-8").replace("Saucer", "Spoon"), encoding="utf-8")
    honest = Path.replace

    def fails_at_the_record(self: Path, target: Any) -> Any:
        if self.name == "release.json" and ".making-" in self.parent.name:
            raise PermissionError(13, os.strerror(13))
        return honest(self, target)

    monkeypatch.setattr(Path, "replace", fails_at_the_record)
    run_leaving_nothing(asking(folder, "text"), folder / "out", Exit.USAGE)


@pytest.mark.parametrize(
    "text",
    ["", "[]", '{"files": 3}', '{"files": [null, {"edition": 1}]}',
     '{"files": [{"edition": "text", "name": "../manifest.yaml", "sha256": "0"}]}'],
)  # fmt: skip
def test_a_record_that_makes_no_sense_vouches_for_nothing(text: str, folder: Path) -> None:
    (folder / "out").mkdir()
    (folder / "out" / "release.json").write_text(text, encoding="utf-8")
    assert cli.run(asking(folder, "text")) == Exit.GOOD
    assert [x["edition"] for x in record_of(folder)["files"]] == ["text"]
    assert (folder / "manifest.yaml").exists()


# --- read-back of one file -----------------------------------------------------------------------


def test_readback_knows_an_edition_by_the_end_of_the_files_name(folder: Path, capsys: Any) -> None:
    assert cli.run(asking(folder, "booklet", "text")) == Exit.GOOD
    for name in ("tea-house-booklet.pdf", "tea-house-text.txt"):
        capsys.readouterr()
        args = ["readback", str(folder / "out" / name), "--against", str(folder), "--json"]
        assert cli.run(args) == Exit.GOOD
        seen = json.loads(capsys.readouterr().out)
        assert (seen["verdict"], f"-{seen['edition']}." in name) == ("pass", True)


def test_readback_takes_the_edition_that_it_is_told(folder: Path) -> None:
    assert cli.run(asking(folder, "sampler")) == Exit.GOOD
    copy = folder / "gift.pdf"
    (folder / "out" / "tea-house-sampler.pdf").rename(copy)
    args = ["readback", str(copy), "--against", str(folder)]
    assert cli.run([*args, "--edition", "sampler"]) == Exit.GOOD
    assert cli.run(args) == Exit.MISMATCH  # a file of no edition's name is read as print


def test_readback_refuses_a_text_as_a_print(folder: Path, capsys: Any) -> None:
    (folder / "x.txt").write_text("", encoding="utf-8")
    args = ["readback", str(folder / "x.txt"), "--against", str(folder), "--edition", "print"]
    assert cli.run(args) == Exit.USAGE
    assert "the print edition is a .pdf file" in capsys.readouterr().err


def test_the_list_of_editions(capsys: Any) -> None:
    assert cli.run(["editions", "--json"]) == Exit.GOOD
    told = json.loads(capsys.readouterr().out)
    assert [one["name"] for one in told] == list(EDITIONS)
    assert {one["name"] for one in told if one["fields"]} == {"screen", "screen-dark"}
    assert cli.run(["editions"]) == Exit.GOOD
    out = capsys.readouterr().out
    assert all(f"{one.name:12} {one.about}" in out for one in EDITIONS.values())
    assert "the pack's paper, two pages a side; " in out


# --- in several processes ------------------------------------------------------------------------


def test_several_processes_make_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    report = gate.check(manifest.load(folder))
    said: list[str] = []
    build(report, tmp_path / "one", ["print", "print-shop", "text"])
    build(report, tmp_path / "two", ["print", "print-shop", "text"], said.append, workers=2)
    assert listing(tmp_path / "one") == listing(tmp_path / "two")
    assert said[1:] == [
        f"the {name} edition is set and read back" for name in ("print", "print-shop", "text")
    ]


def test_a_fault_in_another_process_is_told_and_leaves_nothing(
    write_pack: WritePack, tmp_path: Path
) -> None:
    folder = write_pack(f"- id: wide-one\n  title: Wide\n  size: 16\n  grid: {sixteen()}")
    report = gate.check(manifest.load(folder))
    with pytest.raises(Refused, match="in the large-print edition"):
        build(report, tmp_path / "out", ["print", "large-print", "text"], workers=2)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("workers", [1, 2])
def test_all_that_cannot_be_set_is_told_at_once(
    write_pack: WritePack, tmp_path: Path, workers: int
) -> None:
    folder = write_pack(f"- id: kettle\n  title: {'W' * 79}\n  grid: {EXAMPLE}", "layout: four-up")
    names = ["print", "large-print", "print-shop"]
    report = gate.check(manifest.load(folder))
    with pytest.raises(Refused) as fault:
        build(report, tmp_path / "out", names, workers=workers)
    told = re.findall(r"title: .* \(in the (.*) editions", str(fault.value))
    assert told == ["print, large-print and print-shop"]
    assert not (tmp_path / "out").exists()


class NoPool:
    """A pool on a system that has no more files, at its making or at its first work."""

    def __init__(self, *_: object, **__: object) -> None:
        raise OSError(errno.EMFILE, os.strerror(errno.EMFILE))


class NoProcess(ProcessPoolExecutor):
    def submit(self, *_: Any, **__: Any) -> Any:
        raise OSError(errno.EAGAIN, os.strerror(errno.EAGAIN))


@pytest.mark.parametrize("pool", [NoPool, NoProcess])
def test_where_no_process_is_granted_this_one_does_the_work(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pool: type
) -> None:
    monkeypatch.setattr("packbuilder.workers.ProcessPoolExecutor", pool)
    report, said = gate.check(manifest.load(folder)), list[str]()
    built = build(report, tmp_path, ["print", "print-shop", "text"], said.append, workers=2)
    assert all(path.exists() for path in built.files)
    assert said[1] == "the system grants no further processes: one edition after another"
    if hasattr(signal, "pthread_sigmask"):
        assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, ())


@pytest.mark.skipif(os.name != "posix", reason="signals to a group of processes")
def test_an_interrupt_of_several_processes_is_one_sentence(folder: Path) -> None:
    code = (
        "import os; os.cpu_count = lambda: 2\n"
        "from packbuilder.cli import main\n"
        f"if __name__ == '__main__': main(['build', {str(folder)!r}, '--edition', 'all'])\n"
    )
    script = folder / "run.py"
    script.write_text(code, encoding="utf-8")
    process = subprocess.Popen(
        [sys.executable, str(script)],
        stderr=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        text=True,
        start_new_session=True,
    )
    assert process.stderr is not None
    said = []
    for line in process.stderr:
        said.append(line.strip())
        if "editions and reading them back" in line:
            os.killpg(process.pid, signal.SIGINT)  # as a terminal does for Ctrl-C
    assert process.wait() == Exit.UNFINISHED
    assert said[-1] == "stopped; nothing was released"
    assert "Traceback" not in "\n".join(said)
    assert not (folder / "out").exists()


def test_a_sampler_of_every_puzzle_says_so(folder: Path) -> None:
    assert cli.run(asking(folder, "sampler")) == Exit.GOOD
    (file,) = (folder / "out").glob("*-sampler.pdf")
    text = " ".join("".join(page.extract_text() for page in pypdf.PdfReader(file).pages).split())
    assert "This sampler holds all 2 puzzles of the full pack" in text
    assert "has them all" not in text
