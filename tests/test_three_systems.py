"""What is particular to Windows and macOS, forced here: see also `as_windows`."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from packbuilder.cli.setters import _name
from packbuilder.editions import EDITIONS
from packbuilder.errors import Exit
from packbuilder.manifest import slug_of
from packbuilder.release.leftovers import file_name
from tests.conftest import EXAMPLE, ROOT

WINDOWS = [sys.executable, "-X", "warn_default_encoding", str(ROOT / "tests" / "as_windows.py")]
USUAL = [sys.executable, "-m", "packbuilder.cli"]
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="open files are told by /proc")

RESERVED = {
    "con",
    "prn",
    "aux",
    "nul",
    *(f"{name}{k}" for name in ("com", "lpt") for k in "123456789"),
}
"""Names that no file may have on Windows, whatever follows a dot (from memory)."""


def shell(
    program: list[str], *arguments: str, data: bytes = b""
) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [*program, *arguments],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        input=data,
        capture_output=True,
        check=False,
    )


def good(program: list[str], *arguments: str) -> None:
    done = shell(program, *arguments)
    assert done.returncode == Exit.GOOD, done.stderr.decode()


@pytest.fixture(scope="module")
def kites(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pack that `start` writes, released."""
    folder = tmp_path_factory.mktemp("packs") / "kites"
    good(USUAL, "start", str(folder), "--title", "Kites", "--issue", "2027-03")
    good(USUAL, "build", str(folder))
    return folder


def released(out: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in out.iterdir() if path.name[0] != "."}


@LINUX
def test_a_poorer_system_gives_the_same_bytes(kites: Path, tmp_path: Path) -> None:
    """Three editions, so that worker processes are begun; and copies, which move many files."""
    forms = ["--edition", "print", "--edition", "screen", "--edition", "text"]
    for name, program in (("usual", USUAL), ("windows", WINDOWS)):
        good(program, "build", str(kites), *forms, "--out", str(tmp_path / name))
    assert released(tmp_path / "windows") == released(tmp_path / "usual")
    assert len(released(tmp_path / "usual")) == 4
    # A second build replaces files that are there.
    text = (kites / "manifest.yaml").read_text(encoding="utf-8")
    (kites / "manifest.yaml").write_text(text.replace("Kites", "Kites aloft"), encoding="utf-8")
    good(WINDOWS, "build", str(kites), *forms, "--out", str(tmp_path / "windows"))
    (kites / "manifest.yaml").write_text(text, encoding="utf-8")
    assert released(tmp_path / "windows") != released(tmp_path / "usual")

    people = tmp_path / "people.csv"
    people.write_bytes("name\r\nAda Quill\r\nJosé Ñandú\r\n".encode())
    for name, program in (("far", WINDOWS), ("near", USUAL)):
        good(
            program, "copies", str(kites), "--supporters", str(people), "--to", str(tmp_path / name)
        )
    assert released(tmp_path / "far") == released(tmp_path / "near")


@LINUX
def test_a_poorer_system_proves_rates_and_sets(tmp_path: Path) -> None:
    grids = tmp_path / "grids.txt"
    grids.write_bytes(f"{EXAMPLE}\r\n".encode() * 40)
    for command in (["prove", str(grids)], ["rate", str(grids), "--jsonl"],
                    ["set", "--size", "6", "--count", "2", "--seed", "4"]):  # fmt: skip
        there, here = shell(WINDOWS, *command), shell(USUAL, *command)
        assert there.returncode == Exit.GOOD, there.stderr.decode()
        assert there.stdout == here.stdout


def test_blanks_and_letters_of_any_script_in_paths(kites: Path, tmp_path: Path) -> None:
    folder = tmp_path / "Käse & Kött – 日本 (2)" / "kites"
    folder.mkdir(parents=True)
    (folder / "manifest.yaml").write_bytes((kites / "manifest.yaml").read_bytes())
    good(USUAL, "build", str(folder))
    assert released(folder / "out") == released(kites / "out")


@pytest.mark.parametrize("how", ["CRLF", "a mark", "UTF-16", "cp1252"])
def test_manifests_as_editors_on_windows_write_them(how: str, kites: Path, tmp_path: Path) -> None:
    """Read rightly, to the same bytes; or refused in a sentence that says how to save it."""
    folder = tmp_path / "kites"
    folder.mkdir()
    text = (kites / "manifest.yaml").read_text(encoding="utf-8").replace("Kites", "Käfer")
    encoding = {"a mark": "utf-8-sig", "UTF-16": "utf-16", "cp1252": "cp1252"}.get(how, "utf-8")
    newline = "\r\n" if how in ("CRLF", "UTF-16") else "\n"
    for path, as_it_is in ((folder, True), (tmp_path / "plain" / "kites", False)):
        path.mkdir(parents=True, exist_ok=True)
        with (path / "manifest.yaml").open(
            "w", encoding=encoding if as_it_is else "utf-8", newline=newline if as_it_is else "\n",
            errors="replace",
        ) as file:  # fmt: skip
            file.write(text)
    done = shell(USUAL, "build", str(folder))
    if how in ("UTF-16", "cp1252"):
        assert done.returncode == Exit.USAGE
        assert b"UTF-8" in done.stderr
        assert b"Traceback" not in done.stderr
        return
    assert done.returncode == Exit.GOOD, done.stderr.decode()
    good(USUAL, "build", str(tmp_path / "plain" / "kites"))
    assert released(folder / "out") == released(tmp_path / "plain" / "kites" / "out")


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "cp1252"])
def test_lists_of_grids_as_shells_on_windows_write_them(encoding: str) -> None:
    text = f"{EXAMPLE}\r\n" + ("naïve\r\n" if encoding == "cp1252" else "")
    done = shell(USUAL, "prove", "-", data=text.encode(encoding))
    assert done.returncode == Exit.USAGE
    assert b"Traceback" not in done.stderr
    if encoding == "utf-16":
        assert b"UTF-16 text; save them as UTF-8" in done.stderr
    if encoding == "cp1252":
        assert done.stdout.split() == [b"1", b"-"]


def test_no_two_files_differ_by_case_alone() -> None:
    """On Windows, and on macOS as it comes, they would be one."""
    taken: set[str] = set()
    names = [
        _name(setter, taken) for setter in ("Ada Quill", "ADA QUILL", "ada_quill", "Ádá", "ádá")
    ]
    assert len({name.casefold() for name in names}) == len(names)
    files = [file_name("kites", one) for one in EDITIONS.values()]
    assert len({name.casefold() for name in files}) == len(files)


@pytest.mark.parametrize(
    "folder", ["con", "CON.2027", "aux.kites", "nul", "Lpt1.x", "com9", "a:b*c?", "kites. ", " .. "]
)
def test_no_release_has_a_name_that_windows_keeps_for_itself(folder: str, tmp_path: Path) -> None:
    """Packs are made on one system, and supporters read them on another."""
    for one in EDITIONS.values():
        name = file_name(slug_of(tmp_path / folder), one)
        assert name.partition(".")[0].lower() not in RESERVED
        assert not set(name) & set('<>:"/\\|?*')
        assert name == name.strip(" .")


def calls(tree: ast.AST) -> Iterator[tuple[str, ast.Call]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            named = getattr(node.func, "attr", None) or getattr(node.func, "id", "")
            yield named, node


def untold(path: Path) -> Iterator[str]:
    """Where a file is opened or written as text, and its encoding or its line ends are not said."""
    for named, call in calls(ast.parse(path.read_text(encoding="utf-8"))):
        said = {one.arg for one in call.keywords}
        modes = [one.value for one in call.args if isinstance(one, ast.Constant)]
        mode = next(
            (one for one in modes if isinstance(one, str) and set(one) <= set("rwaxbt+")), ""
        )
        writes = named == "write_text" and len(call.args) < 2
        if named in ("open", "fdopen"):
            writes = bool(set(mode) & set("wax")) and "b" not in mode
        if writes and not {"encoding", "newline"} <= said:
            yield f"{path.name}:{call.lineno}: {named} without an encoding or a newline"
        if named == "read_text" and not call.args and "encoding" not in said:
            yield f"{path.name}:{call.lineno}: read_text without an encoding"


def test_files_are_written_alike_everywhere() -> None:
    """Windows would write other line ends, and another encoding, if it were not told."""
    assert [told for path in (ROOT / "packbuilder").rglob("*.py") for told in untold(path)] == []


def test_a_file_written_by_custom_of_the_system_is_seen(tmp_path: Path) -> None:
    path = tmp_path / "one.py"
    path.write_text('p.write_text("a", encoding="utf-8")\nopen("a", "w")\nq.read_text()\n', "utf-8")
    assert len(list(untold(path))) == 3
