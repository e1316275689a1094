"""Watching a pack: what counts as a change, steady page numbers, and no work done twice."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from queue import Empty, Queue
from threading import Thread
from typing import Any

import pytest

from packbuilder import cli, gate, manifest
from packbuilder.errors import Exit, Mismatch
from packbuilder.puzzle import Pack
from packbuilder.release import watch
from packbuilder.release.page_numbers import Pagination, Rebuilds, moves
from tests.release.test_build import listing
from tests.release.test_editions import SMALLEST

WritePack = Callable[..., Path]

LONG = "\n\n".join(
    f"Paragraph {k} of a foreword that goes on about tea, kettles and the weather for as long as "
    "anyone will listen, and then for a while longer, since the kettle has not boiled yet."
    for k in range(40)
)


@pytest.fixture
def pack(write_pack: WritePack) -> Pack:
    return manifest.load(write_pack(SMALLEST))


# --- what counts as a change ---------------------------------------------------------------------


def looks(*seen: int) -> Iterator[Any]:
    """One look after another, and an interrupt when there are no more."""
    yield from ({"manifest.yaml": (k, k, k)} for k in seen)
    raise KeyboardInterrupt


def rounds(*seen: int) -> int:
    """How often there is something to do over a row of looks."""
    looking, count = looks(*seen), 0
    with pytest.raises(KeyboardInterrupt):
        for _ in watch.changes(lambda: next(looking), lambda: None):
            count += 1
    return count


def test_the_first_time_comes_at_once_and_then_each_change_that_is_at_rest() -> None:
    assert rounds(1, 1, 1) == 1
    assert rounds(1, 2, 2, 2) == 2
    assert rounds(1, 2, 3, 4, 4, 4, 4) == 2  # still being written: one change
    assert rounds(1, 2, 3) == 1  # not at rest yet
    assert rounds(1, 2, 2, 3, 3, 3) == 3


def test_a_change_during_a_build_is_seen_after_it() -> None:
    """What a look after a build is held against is the look before it."""
    looking = looks(1, 2, 2, 2, 2)
    doing = watch.changes(lambda: next(looking), lambda: None)
    next(doing)  # here the first build runs, and the file changes
    next(doing)
    with pytest.raises(KeyboardInterrupt):
        next(doing)


def test_everything_that_a_pack_is_made_from_counts(tmp_path: Path) -> None:
    out = tmp_path / "out"
    for name in ("manifest.yaml", "ladder.yaml", "puzzles/guest.yml", "layouts/mine.yaml"):
        before = watch.snapshot(tmp_path, out)
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("a: 1\n", encoding="utf-8")
        assert watch.snapshot(tmp_path, out) != before
    shipped = watch.layout_folders()
    assert {p.stem for folder in shipped for p in folder.glob("*.yaml")} >= {"one-up", "two-up"}
    (tmp_path / "elsewhere").mkdir()
    before = watch.snapshot(tmp_path / "puzzles", out, tmp_path / "layouts")
    (tmp_path / "layouts" / "mine.yaml").unlink()
    assert watch.snapshot(tmp_path / "puzzles", out, tmp_path / "layouts") != before


@pytest.mark.parametrize(
    "name",
    ["out/tea-print.pdf", "out/deep/er.yaml", ".git/index", ".manifest.yaml.swp",
     "release.json", "tea-booklet.pdf", "tea-text.txt", ".making-x/tea-print.pdf",
     "copies/tea-print-00001.pdf", "copies/tea-text-00012.txt", "copies/tea-screen-dark-3-Bo.pdf"],
)  # fmt: skip
def test_what_a_build_or_an_editor_leaves_counts_for_nothing(name: str, tmp_path: Path) -> None:
    (tmp_path / "manifest.yaml").write_text("a: 1\n", encoding="utf-8")
    before = watch.snapshot(tmp_path, tmp_path / "out")
    (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
    (tmp_path / name).write_text("x", encoding="utf-8")
    assert watch.snapshot(tmp_path, tmp_path / "out") == before


# --- page numbers --------------------------------------------------------------------------------


def pages_of(out: Path, edition: str = "print") -> dict[str, int]:
    """On which page of the file each puzzle stands, as pypdf finds its named place."""
    pypdf = pytest.importorskip("pypdf")
    reader = pypdf.PdfReader(out / f"tea-house-{edition}.pdf")
    places = {name.lstrip("/"): place for name, place in reader.named_destinations.items()}
    return {
        name: reader.get_destination_page_number(place) + 1
        for name, place in places.items()
        if name.startswith("puzzle-")
    }


def sheets(out: Path) -> int:
    pypdf = pytest.importorskip("pypdf")
    return len(pypdf.PdfReader(out / "tea-house-print.pdf").pages)


def test_a_shorter_text_pulls_no_page_forward_and_a_longer_one_is_moves(
    pack: Pack, tmp_path: Path
) -> None:
    rebuilds, out = Rebuilds(("print",), lambda _words: None), tmp_path / "out"

    def build(foreword: str) -> tuple[str, ...]:
        _, said = rebuilds.build(gate.check(replace(pack, foreword=foreword)), out)
        return said

    assert build(LONG) == ()
    first = pages_of(out)
    plain = replace(pack, foreword="Short.")
    Rebuilds(("print",), lambda _words: None).build(gate.check(plain), tmp_path / "plain")
    bare = sheets(out) - sheets(tmp_path / "plain")
    assert bare > 1
    assert build("Short.") == (
        "print: page numbers steady",
        f"print: {bare} pages are left bare for that; a build without --watch leaves them out",
    )
    assert pages_of(out) == first
    said = build(LONG * 3)
    later = pages_of(out)
    assert later["puzzle-1"] > first["puzzle-1"]
    assert said == tuple(
        f"print: puzzle {k}: page {later[f'puzzle-{k}']}, was {first[f'puzzle-{k}']}"
        for k in (1, 2)
    )


def test_another_layout_begins_anew(pack: Pack, tmp_path: Path) -> None:
    rebuilds, out = Rebuilds(("print",), lambda _words: None), tmp_path / "out"
    rebuilds.build(gate.check(replace(pack, foreword=LONG)), out)
    _, said = rebuilds.build(gate.check(replace(pack, layout="two-up")), out)
    assert said == ("print: other paper or another layout: page numbers begin anew",)
    plain = gate.check(replace(pack, layout="two-up"))
    cli_out = tmp_path / "plain"
    Rebuilds(("print",), lambda _words: None).build(plain, cli_out)
    assert listing(out) == listing(cli_out)


def test_a_plain_build_after_rebuilds_leaves_no_bare_page(
    write_pack: WritePack, tmp_path: Path
) -> None:
    """Nor does it keep another edition that has some; one that has none stays."""
    folder = write_pack(SMALLEST, pack="foreword: Short.")
    pack, out = manifest.load(folder), folder / "out"
    rebuilds = Rebuilds(("print", "screen"), lambda _words: None)
    rebuilds.build(gate.check(replace(pack, foreword=LONG)), out)
    rebuilds.build(gate.check(pack), out)
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    assert sorted(listing(out)) == ["release.json", "tea-house-print.pdf"]
    fresh = tmp_path / "fresh"
    assert cli.run(["build", str(folder), "--out", str(fresh)]) == Exit.GOOD
    assert listing(fresh) == listing(out)
    rebuilds = Rebuilds(("sampler",), lambda _words: None)
    rebuilds.build(gate.check(pack), out)
    rebuilds.build(gate.check(pack), out)
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    assert "tea-house-sampler.pdf" in listing(out)


def test_what_is_told_of_moves() -> None:
    setting = ("a4", "one-up")
    before = Pagination(setting, {}, {"fog": (1, 5), "frost": (2, 6), "thaw": (3, 7)})
    now = Pagination(setting, {}, {"frost": (1, 5), "thaw": (2, 7), "new": (3, 8)}, bare=2)
    assert list(moves(now, before)) == [
        "puzzle 1: page 5, was puzzle 2 on page 6",
        "2 pages are left bare for that; a build without --watch leaves them out",
    ]
    assert list(moves(now, None)) == []


def test_a_build_that_fails_keeps_the_numbers_of_the_last_good_one(
    pack: Pack, tmp_path: Path, monkeypatch: Any
) -> None:
    rebuilds, out = Rebuilds(("print",), lambda _words: None), tmp_path / "out"
    rebuilds.build(gate.check(replace(pack, foreword=LONG)), out)
    before, first, shorter = listing(out), pages_of(out), replace(pack, foreword="Short.")
    with monkeypatch.context() as patch:

        def refuses(*_args: Any, **_more: Any) -> None:
            raise Mismatch("not the pack")

        patch.setattr("packbuilder.readback.read", refuses)
        with pytest.raises(Mismatch):
            rebuilds.build(gate.check(shorter), out)
    assert listing(out) == before
    rebuilds.build(gate.check(shorter), out)
    assert pages_of(out) == first


# --- no work done twice --------------------------------------------------------------------------


def test_the_gate_proves_only_what_has_changed(pack: Pack, monkeypatch: Any) -> None:
    from packbuilder.gate import checking

    proved: list[str] = []
    honest = checking._check_puzzle

    def counts(puzzle: Any, *rest: Any) -> Any:
        proved.append(puzzle.id)
        return honest(puzzle, *rest)

    monkeypatch.setattr(checking, "_check_puzzle", counts)
    memory: gate.Memory = {}
    first = gate.check(pack, memory=memory)
    cup, saucer = pack.puzzles
    again = replace(pack, puzzles=(replace(cup, where="manifest.yaml:99"), saucer))
    second = gate.check(again, memory=memory)
    assert proved == ["cup", "saucer"]
    assert second.checked[0].puzzle.where == "manifest.yaml:99"
    assert gate.as_json(second) == gate.as_json(first)
    gate.check(replace(pack, puzzles=(cup, replace(saucer, title="Spoon"))), memory=memory)
    assert proved == ["cup", "saucer", "saucer"]
    gate.check(replace(pack, byline="Someone Else"), memory=memory)  # a guest's puzzles now
    assert proved[3:] == ["cup", "saucer"]
    gate.check(pack)
    assert proved[5:] == ["cup", "saucer"]


# --- the command ---------------------------------------------------------------------------------


class Watched:
    """`packbuilder build --watch` in a process of its own, and what it says line by line."""

    def __init__(self, folder: Path) -> None:
        command = [sys.executable, "-m", "packbuilder.cli", "build", str(folder), "--watch"]
        self.process = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
        self.lines: Queue[str] = Queue()
        Thread(target=self._listen, daemon=True).start()

    def until(self, words: str) -> list[str]:
        """What is said up to a line with those words; fails where none comes in a minute."""
        said: list[str] = []
        while not said or words not in said[-1]:
            try:
                said.append(self.lines.get(timeout=60))
            except Empty:
                self.process.kill()
                pytest.fail(f"never said {words!r}: {said}")
        return said

    def _listen(self) -> None:
        assert self.process.stderr is not None
        for line in self.process.stderr:
            self.lines.put(line.strip())


@pytest.mark.skipif(os.name != "posix", reason="sends an interrupt to a process")
def test_the_command_builds_tells_faults_goes_on_and_ends_well(write_pack: WritePack) -> None:
    folder = write_pack(SMALLEST)
    path, waiting = folder / "manifest.yaml", "waiting for a change"
    text = path.read_text("utf-8")
    watched = Watched(folder)
    try:
        assert any("the print is the verified pack" in line for line in watched.until(waiting))
        good = listing(folder / "out")
        path.write_text(text.replace("title: Saucer", "titel: Saucer"), encoding="utf-8")
        said = watched.until(waiting)
        assert any("did you mean 'title'" in line for line in said)
        assert not any("Traceback" in line for line in said)
        assert listing(folder / "out") == good
        path.write_text(text.replace("title: Saucer", "title: Spoon"), encoding="utf-8")
        assert "print: page numbers steady" in watched.until(waiting)
        assert listing(folder / "out") != good
        watched.process.send_signal(signal.SIGINT)
        assert watched.until("no longer watching")
        assert watched.process.wait(timeout=60) == Exit.GOOD
    finally:
        watched.process.kill()


def test_there_must_be_something_to_watch(tmp_path: Path, capsys: Any) -> None:
    assert cli.run(["build", str(tmp_path / "nowhere"), "--watch"]) == Exit.USAGE
    assert "there is no such folder" in capsys.readouterr().err
