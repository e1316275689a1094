"""In eight-dot computer braille each sign takes one cell: judged by liblouis, where it is here.

liblouis is the translator that common screen readers drive braille displays with; its program
``lou_translate`` is in the package liblouis-bin of Debian.
"""

from __future__ import annotations

import shutil
import subprocess

import pytest

from tests.plaintext.small_book import text_of
from tests.readback import books

TABLES = "unicode.dis,en-us-comp8.ctb"


def in_braille(text: str) -> list[str]:
    """The lines of a text in braille cells."""
    program = shutil.which("lou_translate")
    if program is None:
        pytest.skip("no lou_translate here")
    run = subprocess.run(
        [program, "-f", TABLES], input=text, capture_output=True, text=True, check=True
    )
    return run.stdout.split("\n")[: text.count("\n")]


@pytest.mark.parametrize("name", ["large", "single", "combined"])
def test_every_sign_is_one_cell_and_lines_fit_a_display(name: str) -> None:
    text = text_of(getattr(books, name)()).decode()
    assert text.isascii()  # the house's own words are, and so are the words of these books
    lines = text.splitlines()
    cells = in_braille(text)
    assert [len(line) for line in cells] == [len(line) for line in lines]
    assert max(map(len, cells)) <= 40
    # a full stop, the digits and the letters of a grid are different cells
    signs = dict(zip("".join(lines), "".join(cells), strict=True))
    assert len({signs[sign] for sign in ".123456789"}) == 10
