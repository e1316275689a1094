"""The README's two commands are what CI runs; the tables of the documentation are true."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from packbuilder import cli
from packbuilder.errors import Exit
from packbuilder.ladder.table import TABLE

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DOCS = ROOT / "packbuilder" / "docs"


def page(name: str) -> str:
    return (DOCS / name).read_text(encoding="utf-8")


def command(name: str) -> list[str]:
    """The lines of the fenced block under a ``<!-- command: NAME -->`` mark."""
    found = re.search(rf"<!-- command: {name} -->\n```sh\n(.*?)```", README, re.DOTALL)
    assert found, f"the README has no command marked {name!r}"
    return found[1].splitlines()


@pytest.mark.parametrize("name", ["build", "test"])
def test_each_command_is_one_line_for_python_pip_and_git_alone(name: str) -> None:
    (line,) = command(name)
    programs = {part.split()[0] for part in line.split("&&")}
    assert all(p in ("python3", "git", "cd") or p.startswith(".venv/bin/") for p in programs)


@pytest.mark.parametrize("name", ["build", "test"])
def test_ci_runs_the_very_lines_of_the_readme(name: str) -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert f'bash -euo pipefail -c "$(readme_command {name})"' in script
    # What the script's own function takes out of the README, by running that function.
    function = re.search(r"^readme_command\(\) \{.*?^\}", script, re.DOTALL | re.MULTILINE)
    assert function
    taken = subprocess.run(
        ["bash", "-c", f"{function[0]}\nreadme_command {name}"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert taken.stdout.splitlines() == command(name)


def test_the_table_of_exit_codes_is_whole() -> None:
    rows = dict(re.findall(r"^\| (\d) \| (.+) \|$", page("commands.md"), re.MULTILINE))
    codes = {row: text for row, text in rows.items() if int(row) in list(Exit)}
    assert {int(code) for code in codes} == set(Exit)


def test_every_command_is_in_the_table() -> None:
    told = set(re.findall(r"`([a-z]+)[ `]", page("commands.md")))
    assert set(cli.commands.commands) <= told


def test_every_technique_of_the_ladder_is_named() -> None:
    text = page("grading.md").lower()
    for technique in TABLE:
        assert technique.name.lower().removesuffix(", in a line") in text, technique.slug


def test_it_opens_with_one_paragraph_that_states_the_job() -> None:
    first, second = README.split("\n\n")[:2]
    assert first == "# packbuilder"
    assert "\n" not in second.strip()
    assert second.startswith("A person who solves and teaches number-placement puzzles on camera")


@pytest.mark.parametrize("text", [ROOT / "README.md", ROOT / "DEVELOPERS.md", *DOCS.glob("*.md")])
def test_every_link_and_picture_leads_somewhere(text: Path) -> None:
    links = re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", text.read_text(encoding="utf-8"))
    files = [link for link in links if not link.startswith("https://")]
    assert [link for link in files if not (text.parent / link).exists()] == []
    assert files or text.parent == DOCS


def test_every_page_is_found_from_the_readme() -> None:
    named = set(re.findall(r"packbuilder/docs/([\w-]+\.md)", README))
    assert named == {path.name for path in DOCS.glob("*.md")}
