"""Every example that ``--help`` shows is typed as it stands, in one folder, in a month's order.

That an example works is common practice, no source.
"""

from __future__ import annotations

import contextlib
import io
import re
import shlex
from pathlib import Path

import click

from packbuilder import cli
from packbuilder.errors import Exit
from tests.conftest import EXAMPLE

# A pack is begun and judged, built and sent, corrected, looked back at; then the next is begun.
MONTH = [
    "start", "check", "explain", "script", "build", "readback", "previews", "release", "copies",
    "entries", "reissue", "setters", "plan", "polish", "mend", "set", "kin", "take",
]  # fmt: skip
# What the examples name and no command makes.
SHELF = {
    "list.csv": "name\nAda Quill\nBo Marl\n",
    "answers.csv": "received,name,puzzle,digits\n",
    "month.yaml": "- {grade: 1, size: 6, title: The Lamp}\n",
    "grids.txt": f"{EXAMPLE}\n",
    "mail.txt": "..34\n3.12\n21.3\n432.\n\n1234\n3412\n2143\n4321\n",
}


def examples() -> list[str]:
    """The lines after ``Example:``, without the program's name, those of the month in its order."""
    found = []
    for name, command in cli.commands.commands.items():
        text = command.get_help(click.Context(command, info_name=name)).split("Options:")[0]
        lines = re.findall(r"^ *(?:Example: )? *packbuilder (.+)$", text, re.MULTILINE)
        assert lines, f"{name} shows no example"
        found += lines
    return sorted(found, key=lambda line: MONTH.index(_of(line)) if _of(line) in MONTH else -1)


def _of(line: str) -> str:
    return line.split()[0]


# What its creator does to the manifest before a line, in the month that the examples tell.
CHANGES = {
    "build packs/kites": ("Begin with the eights.", "Begin anywhere.\n    entry: true"),
    'reissue packs/kites --reason "A clue of puzzle 3 was wrong."': ("anywhere", "at the top"),
    "mend packs/kites second-light": ("72. ..5 6..", "72. ..5 ..."),
}


def _before(line: str) -> None:
    manifest = Path("packs/kites/manifest.yaml")
    old, new = CHANGES.get(line, ("", ""))
    if old:
        text = manifest.read_text(encoding="utf-8")
        assert old in text
        manifest.write_text(text.replace(old, new), encoding="utf-8")


def test_every_example_works(tmp_path: Path) -> None:
    ended = {}
    with contextlib.chdir(tmp_path):
        for name, text in SHELF.items():
            Path(name).write_text(text, encoding="utf-8")
        for line in examples():
            _before(line)
            said = io.StringIO()
            with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(said):
                code = cli.run(shlex.split(line.split(" > ")[0]))
            if code != Exit.GOOD:
                ended[line] = said.getvalue()
            if _of(line) == "start":
                cli.run(["start", "packs/harbour", "--title", "Harbour", "--issue", "2027-02"])
    assert ended == {}
