"""Sheets beside the book: what a page shows, the file has; by pypdf's resources and by poppler."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pypdf
import pytest
from pypdf.generic import ContentStream

from packbuilder import cli
from packbuilder.errors import Exit
from tests.issuing.conftest import MANIFEST


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Cards, a slip of errata, a proof sheet, a chart, a script, its board and rehearsal."""
    folder = tmp_path_factory.mktemp("sheets")
    pack, made = folder / "tea-house", folder / "made"
    made.mkdir()
    pack.mkdir()
    (pack / "manifest.yaml").write_text(MANIFEST, encoding="utf-8")
    asked = [
        ["set", "--size", "6", "--seed", "1", "--sheet", str(made / "cards.pdf")],
        ["release", str(pack), "--edition", "print"],
        ["setters", str(pack), "--sheets", str(made)],
        ["plan", str(folder), "--chart", str(made / "chart.pdf")],
        ["script", str(pack), "saucer", "--board", "--rehearsal", "--out", str(made)],
    ]
    for words in asked:
        assert cli.run(words) == Exit.GOOD, words
    (pack / "manifest.yaml").write_text(MANIFEST.replace("Two cups", "No cups"), encoding="utf-8")
    assert cli.run(["reissue", str(pack), "--reason", "There are none."]) == Exit.GOOD
    return [pack / "out" / "tea-house-errata-1.pdf", *sorted(made.glob("*.pdf"))]


def test_they_show_no_form_that_they_lack(sheets: list[Path]) -> None:
    assert len(sheets) == 7
    for path in sheets:
        for page in pypdf.PdfReader(path).pages:
            content = page.get_contents()
            assert isinstance(content, ContentStream)
            shown = {operands[0] for operands, operator in content.operations if operator == b"Do"}
            assert shown <= set(page["/Resources"].get("/XObject", {})), path.name


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="poppler's pdftoppm is not there")
def test_poppler_has_nothing_to_say(sheets: list[Path], tmp_path: Path) -> None:
    for path in sheets:
        done = subprocess.run(
            ["pdftoppm", "-r", "20", path, tmp_path / path.stem], capture_output=True, check=True
        )
        assert done.stderr == b"", path.name
