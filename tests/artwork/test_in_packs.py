"""A picture in a pack: where it may lie, and what the gate says of one that cannot be printed."""

from __future__ import annotations

from pathlib import Path

import pytest

from packbuilder import gate
from packbuilder.manifest import load
from tests.manifests import head, told, write

ART = '{{picture: {}, about: The pond., riddle: "How many ducks?", answer: One.}}'
POND = '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h90v60h-90z"/></svg>'


@pytest.mark.parametrize(
    "name, words",
    [
        ("art/none.svg", "there is no file art/none.svg; check the spelling"),
        ("../pond.svg", "leads out of the pack's folder; copy the file into the folder"),
        ("/etc/passwd", "is not a path inside the pack's folder"),
        ("art", "art is not a file; give a PNG or an SVG"),
        ("large.png", "large.png has 4.0 million bytes, and there is room for 4; save it smaller"),
        ("link.svg", "leads out of the pack's folder"),
    ],
)
def test_a_picture_that_cannot_be_had_is_told_with_its_field(
    tmp_path: Path, name: str, words: str
) -> None:
    files = {"art/pond.svg": POND, "large.png": bytes(4_000_001)}
    folder = write(tmp_path / "pack", head(cover=ART.format(name)), files)
    (tmp_path / "pond.svg").write_text(POND)
    (folder / "link.svg").symlink_to(tmp_path / "pond.svg")
    (fault,) = told(folder)
    assert fault.startswith(f"manifest.yaml:5: pack.cover.picture: {words}")


@pytest.mark.parametrize(
    "text, words",
    [
        (POND.replace("path", "text"), "line 1: <text> cannot be printed; turn it into paths"),
        ("<svg>\n<use/></svg>", "line 2: <use> cannot be printed"),
        ("", "is no sound XML"),
    ],
)
def test_a_picture_that_cannot_be_printed_is_a_finding(
    tmp_path: Path, text: str, words: str
) -> None:
    files = {"art/pond.svg": text}
    pack = load(write(tmp_path / "pack", head(cover=ART.format("art/pond.svg")), files))
    report = gate.check(pack)
    (found,) = [f for f in report.findings if f.code == "bad-picture"]
    assert found.message.startswith(f"pack.cover.picture: art/pond.svg: {words}")
    assert not report.passed


def test_its_words_are_asked_for(tmp_path: Path) -> None:
    folder = write(tmp_path / "pack", head(cover="{picture: pond.svg}"), {"pond.svg": POND})
    assert {line.partition(": ")[2] for line in told(folder)} == {
        f"pack.cover.{name}: is missing; add a line `{name}: ...`"
        for name in ("about", "riddle", "answer")
    }


def test_a_design_that_is_none_is_told(tmp_path: Path) -> None:
    (fault,) = told(write(tmp_path / "pack", head(cover="disks")))
    assert fault.endswith("'disks' is not a design of a cover; did you mean 'discs'?")
