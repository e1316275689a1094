"""A file of another version of packbuilder is held by the first proof alone, and only if it says so
in two places; the build that made a file never lets go of its plan."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packbuilder import __version__, cli
from packbuilder.errors import Exit
from packbuilder.press import writing, xmp
from packbuilder.release.edition_jobs import Job, write
from packbuilder.release.reading_back import made_by
from tests.readback.altering import planned, printed
from tests.readback.books import plain
from tests.release.test_editions import SMALLEST

PLACES: dict[str, tuple[Any, ...]] = {
    "the packet": (xmp,), "the dictionary": (writing,), "both": (xmp, writing),
}  # fmt: skip


def says(monkeypatch: pytest.MonkeyPatch, *places: Any) -> None:
    for place in places:
        monkeypatch.setattr(place, "__version__", "9.9.1")


@pytest.mark.parametrize(("where", "version"), [("the packet", None), ("the dictionary", None),
                                                ("both", "9.9.1")])  # fmt: skip
def test_a_version_is_believed_that_is_said_in_two_places(
    where: str, version: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert made_by(printed(planned(plain()))) == __version__
    says(monkeypatch, *PLACES[where])
    assert made_by(printed(planned(plain()))) == version


@pytest.mark.parametrize("where", PLACES)
def test_a_build_holds_the_plan_whatever_version_its_file_names(
    where: str, write_pack: Callable[..., Path], monkeypatch: pytest.MonkeyPatch, capsys: Any
) -> None:
    folder = write_pack(SMALLEST)
    says(monkeypatch, *PLACES[where])
    assert cli.run(["build", str(folder)]) == Exit.MISMATCH
    assert "[metadata]" in capsys.readouterr().err or where == "the dictionary"
    assert not (folder / "out").exists()


@pytest.mark.parametrize("where", PLACES)
def test_readback_says_that_only_the_first_proof_was_held(
    where: str, write_pack: Callable[..., Path], monkeypatch: pytest.MonkeyPatch, capsys: Any
) -> None:
    folder = write_pack(SMALLEST)
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    file = folder / "out" / "tea-house-print.pdf"
    asked = ["readback", str(file), "--against", str(folder)]
    assert cli.run(asked) == Exit.GOOD
    assert "first proof" not in capsys.readouterr().out
    from packbuilder import gate, manifest
    from packbuilder.book.assembling import assemble

    says(monkeypatch, *PLACES[where])
    write(Job(assemble(gate.check(manifest.load(folder))), file))
    known = where == "both"
    assert cli.run(asked) == (Exit.GOOD if known else Exit.MISMATCH)
    assert ("pack by the first proof" in capsys.readouterr().out) == known


def test_another_pack_is_told_by_its_title(
    write_pack: Callable[..., Path], tmp_path: Path, capsys: Any
) -> None:
    folder = write_pack(SMALLEST)
    assert cli.run(["build", str(folder)]) == Exit.GOOD
    file = folder / "out" / "tea-house-print.pdf"
    (tmp_path / "shelf").mkdir()
    other = write_pack(SMALLEST, pack="paper: letter", name="shelf/other")
    manifest = other / "manifest.yaml"
    manifest.write_text(manifest.read_text("utf-8").replace("The Tea House", "Kites"), "utf-8")
    capsys.readouterr()
    assert cli.run(["readback", str(file), "--against", str(other)]) == Exit.MISMATCH
    said = "".join(capsys.readouterr())
    assert "this is 'The Tea House', not 'Kites'" in said
    assert said.count("[other-pack]") == 1 and said.count("[") == 1
