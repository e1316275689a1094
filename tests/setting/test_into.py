"""Entries added to a manifest: nothing else in the file changes by a byte."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from packbuilder import gate, manifest
from packbuilder.cli import run
from packbuilder.errors import InputError, PackbuilderError
from packbuilder.grid import blocks, parse_grid
from packbuilder.setting import into
from packbuilder.setting.entries import as_manifest_entry
from packbuilder.setting.into import add_entries
from packbuilder.setting.search import set_grids

HEAD = """\
# A pack with a comment, and a layout of its own.
pack: {title: Kites,   issue: 2026-12, byline: "Ada Quill"}   # one line

"""
ENTRY = """\
- id: lamp        # the first
  title:   The Lamp
  size: 4
  grid: |
    1...
    ..2.
    .3..
    ...4
  # a comment inside
"""
TEXTS = {
    "plain": HEAD + "puzzles:\n" + ENTRY,
    "indented": HEAD + "puzzles:\n" + "".join(f"    {line}\n" for line in ENTRY.splitlines()),
    "no line break at the end": (HEAD + "puzzles:\n" + ENTRY).rstrip("\n"),
    "a comment and blanks at the end": HEAD + "puzzles:\n" + ENTRY + "\n\n# more to come\n",
    "two entries, blank lines between":
        HEAD + "puzzles:\n\n" + ENTRY + "\n" + ENTRY.replace("lamp", "lump"),
    "the pack behind the puzzles": "puzzles:\n" + ENTRY + "\n# the pack\n" + HEAD,
    "lines of another system": (HEAD + "puzzles:\n" + ENTRY).replace("\n", "\r\n"),
}  # fmt: skip


def entry(number: int = 1) -> str:
    (grid,) = set_grids(blocks(2, 3), count=1, clues=(10, 16), seed=number)
    return as_manifest_entry(grid, number)


@pytest.mark.parametrize("what", TEXTS)
def test_all_else_stays_as_it_was(what: str, tmp_path: Path) -> None:
    file = tmp_path / "manifest.yaml"
    file.write_bytes(TEXTS[what].encode())
    before = manifest.load(file)
    add_entries(before, file, [entry(1), entry(2)])
    after = manifest.load(file)
    ids = [one.id for one in after.puzzles]
    assert ids[:-2] == [one.id for one in before.puzzles] and len(set(ids)) == len(ids)
    assert all(name.startswith("set-") for name in ids[-2:])
    old, new = TEXTS[what], file.read_bytes().decode()
    alike, alike_behind = shared(old, new), shared(old[::-1], new[::-1])
    assert alike + alike_behind >= len(old), "one stretch was put in, and that is all"
    if "\r" in old:
        assert "\n" not in new.replace("\r\n", "")


def shared(one: str, other: str) -> int:
    """How many characters two texts share from the beginning."""
    pairs = zip(one, other, strict=False)
    return next((k for k, (a, b) in enumerate(pairs) if a != b), min(len(one), len(other)))


def test_what_was_added_keeps_its_promises(tmp_path: Path) -> None:
    file = tmp_path / "manifest.yaml"
    file.write_text(HEAD + "puzzles:\n" + ENTRY)
    add_entries(manifest.load(file), file, [entry()])
    report = gate.check(manifest.load(file))
    assert report.checked[-1].findings == ()


def test_a_list_in_brackets_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "manifest.yaml"
    text = HEAD + 'puzzles: [{id: lamp, title: T, size: 4, grid: "1.....2..3.....4"}]\n'
    file.write_text(text)
    with pytest.raises(InputError, match=r"manifest.yaml:4: the list .* is written in brackets"):
        add_entries(manifest.load(file), file, [entry()])
    assert file.read_text() == text


@pytest.mark.parametrize("harm", ["no manifest", "another pack", "no room"])
def test_where_it_goes_wrong_the_old_file_stays(
    harm: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "manifest.yaml"
    file.write_text(HEAD + "puzzles:\n" + ENTRY)
    pack, text = manifest.load(file), file.read_text()
    if harm == "no manifest":
        with pytest.raises(InputError, match=r"/manifest.yaml:19: .*gridd"):
            add_entries(pack, file, [entry().replace("    grid:", "    gridd:")])
    elif harm == "another pack":
        with pytest.raises(PackbuilderError, match="more would change than was meant"):
            lines = text.replace("The Lamp", "The Lump").splitlines(keepends=True)
            into.rewrite(file, lines, pack, lambda new: new.puzzles)
    else:
        monkeypatch.setattr(
            Path, "write_bytes", lambda *_: (_ for _ in ()).throw(OSError(28, "full"))
        )
        with pytest.raises(OSError, match="full"):
            add_entries(pack, file, [entry()])
    assert file.read_text() == text
    assert [one.name for one in tmp_path.iterdir()] == ["manifest.yaml"]


def test_the_mode_of_the_file_is_kept(tmp_path: Path) -> None:
    file = tmp_path / "manifest.yaml"
    file.write_text(HEAD + "puzzles:\n" + ENTRY)
    file.chmod(0o640)
    add_entries(manifest.load(file), file, [entry()])
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


def test_titles_of_any_letters_make_an_entry(tmp_path: Path) -> None:
    file = tmp_path / "manifest.yaml"
    file.write_text(HEAD + "puzzles:\n" + ENTRY)
    (grid,) = set_grids(blocks(2, 3), count=1, clues=(10, 16), seed=1)
    titles = ["The Lamp", 'Say "Hello": # twice', "null", "Ä Öl-Lampe", "12", "…"]
    for title in titles:
        taken = [one.id for one in manifest.load(file).puzzles]
        text = as_manifest_entry(grid, 1, title=title, taken=taken)
        add_entries(manifest.load(file), file, [text])
    found = manifest.load(file).puzzles[1:]
    assert [one.title for one in found] == titles
    ids = [one.id for one in found]
    assert ids[:5] == ["the-lamp", "say-hello-twice", "null", "a-ol-lampe", "12"]
    again = as_manifest_entry(grid, 1, title="The Lamp", taken=ids)
    assert "- id: the-lamp-2\n" in again


def test_the_command_adds_what_is_new(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "kites"
    folder.mkdir()
    file = folder / "manifest.yaml"
    file.write_text(HEAD + "puzzles:\n" + ENTRY)
    asked = ["set", "--size", "4", "--clues", "4", "--symmetry", "none", "--seed", "1"]
    assert run([*asked, "--into", str(folder), "--count", "3"]) == 0
    streams = capsys.readouterr()
    assert streams.out == "" and streams.err.count("added set-1-") == 3
    # The same seed again: its first three grids are there, so three others come.
    assert run([*asked, "--into", str(file), "--count", "3"]) == 0
    grids = [one.clues for one in manifest.load(folder).puzzles]
    assert len(grids) == len(set(grids)) == 7
    assert parse_grid("1.....2..3.....4", 4) == grids[0]
    assert all("same-puzzle" not in str(one) for one in gate.check(manifest.load(folder)).checked)


def test_working_titles_are_numbered_on(tmp_path: Path) -> None:
    file = tmp_path / "manifest.yaml"
    file.write_text(HEAD + "puzzles:\n" + ENTRY)
    asked = ["set", "--size", "4", "--clues", "4", "--symmetry", "none", "--into", str(file)]
    assert run([*asked, "--seed", "1", "--count", "2"]) == 0
    assert run([*asked, "--seed", "2", "--count", "2"]) == 0
    titles = [one.title for one in manifest.load(file).puzzles]
    assert titles == ["The Lamp", "Grid 1", "Grid 2", "Grid 3", "Grid 4"]
