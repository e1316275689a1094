"""The manifest: what is read of it, where its files may lie, and that nothing is a traceback."""

import os
import re
from functools import partial
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.errors import InputError
from packbuilder.grid import parse_grid
from packbuilder.manifest import load, slug_of
from packbuilder.puzzle import BEYOND, Promise
from tests.conftest import EXAMPLE_SOLVED as SOLUTION
from tests.manifests import GRID, SOUND, M, head, puzzle, told, write


@pytest.fixture
def pack(tmp_path):
    return partial(write, tmp_path / "harbour")


# --- what is read -----------------------------------------------------------------------------


def test_a_whole_manifest_is_read(pack):
    folder = pack(f"""\
pack:
  title: "Harbour: Lights"
  issue: 2026-12
  byline: Ada Quill
  theme: >
    Nine grids for
    nine evenings.
  foreword: |
    The lamps
    went out.


    We lit them.
  needs: [hidden-triple]
  paper: letter
  layout: two-up
  order: easiest-first
  licence: Copy it for your class.
puzzles:
  - id: lamp-room
    title: The Lamp Room
    setter: Cafe\u0301 Noir
    permission: by letter
    grid: {GRID}
    solution: {SOLUTION}
    rules: []
    promise:
      grade: beyond
      needs: [hidden-triple, naked-pair]
      uses: [locked-triple]
      no-notes: 0
      clues: 30
      symmetry: rotational
      minimal: true
    intro: Begin in the corner.
    link: https://example.org/a?b=c#d
""")
    read = load(folder)
    assert (read.slug, read.folder) == ("harbour", folder)
    assert (read.title, read.issue, read.byline) == ("Harbour: Lights", "2026-12", "Ada Quill")
    assert read.theme == "Nine grids for nine evenings."
    assert read.foreword == "The lamps went out.\n\nWe lit them."
    assert (read.needs, read.paper, read.layout) == (("hidden-triple",), "letter", "two-up")
    assert (read.order, read.licence) == ("easiest-first", "Copy it for your class.")
    (one,) = read.puzzles
    assert one.setter == "Caf\u00e9 Noir", "composed, as a font needs it"
    assert (one.clues, one.solution) == (parse_grid(GRID, 9), parse_grid(SOLUTION, 9))
    assert one.promise == Promise(
        grade=BEYOND,
        needs=("hidden-triple", "naked-pair"),
        uses=("locked-triple",),
        no_notes=0,
        clues=30,
        symmetry="rotational",
        minimal=True,
    )
    assert (one.permission, one.intro) == ("by letter", "Begin in the corner.")
    assert (one.link, one.where) == ("https://example.org/a?b=c#d", "manifest.yaml:20")


def test_what_is_left_out_has_its_usual_value(pack):
    read = load(pack(SOUND))
    assert (read.paper, read.layout, read.order) == ("a4", "one-up", "as-listed")
    assert (read.theme, read.foreword, read.licence, read.needs) == ("", "", "", ())
    (one,) = read.puzzles
    assert one.setter == "Ada Quill", "the byline"
    assert one.geometry.name() == "9x9, blocks 3x3"
    assert one.promise == Promise(grade=1)
    assert one.solution is one.permission is one.intro is one.link is None


@pytest.mark.parametrize(
    ("size", "blocks", "name"),  # the usual blocks of a size: common practice, no source
    [
        (None, None, "9x9, blocks 3x3"),
        (6, None, "6x6, blocks 2x3"),
        (6, "3x2", "6x6, blocks 3x2"),
        (12, None, "12x12, blocks 3x4"),
        (16, None, "16x16, blocks 4x4"),
        (7, "none", "7x7, Latin square"),
        (4, "|\n      aabb\n      a abb\n\n      ccdd\n      ccdd", "4x4, irregular regions"),
        (4, "aabbaabbccddccdd", "4x4, irregular regions"),
        (4, "1122112233443344", "4x4, irregular regions"),
    ],
)
def test_sizes_and_blocks(size, blocks, name, pack):
    cells = (size or 9) ** 2
    text = puzzle(size=size and str(size), blocks=blocks, grid="." * cells)
    assert load(pack(text)).puzzles[0].geometry.name() == name


def test_digits_past_nine_are_letters(pack):
    text = puzzle(size="16", grid="G" + "." * 254 + "a")
    assert load(pack(text)).puzzles[0].clues[::255] == (16, 10)


@pytest.mark.parametrize(
    "text", ["1984", "no", "off", "Yes", "2026-12-01", "0x1F", "1e3", "12:30:45", "=", "1_000"]
)
def test_text_is_what_was_written_not_what_yaml_makes_of_it(text, pack):
    assert load(pack(head(title=text))).title == text


def test_a_grid_that_looks_like_a_number_is_a_grid(pack):
    cells = "0030201001203001"  # YAML 1.1 reads an octal number here
    assert load(pack(puzzle(grid=cells))).puzzles[0].clues == tuple(map(int, cells))


def test_the_manifest_file_itself_may_be_named(pack, monkeypatch):
    folder = pack(SOUND)
    assert load(folder / M) == load(folder)
    monkeypatch.chdir(folder)
    assert load(Path(M)).slug == "harbour"
    assert load(Path()).slug == "harbour"


def test_a_puzzle_may_have_a_file_of_its_own(pack):
    text = puzzle("  - file: puzzles/other.yaml\n")
    other = f"# by hand\nid: other\ntitle: Other\nsetter: Bo\ngrid: {GRID}\n"
    read = load(pack(text, {"puzzles/other.yaml": other}))
    assert [p.id for p in read.puzzles] == ["a", "other"]
    assert [p.where for p in read.puzzles] == ["manifest.yaml:6", "puzzles/other.yaml:2"]


@pytest.mark.parametrize(
    ("folder", "slug"),
    [
        ("harbour-lights", "harbour-lights"),
        ("Harbour Lights (2026)", "Harbour-Lights-2026"),
        ("test_pack.v2", "test_pack.v2"),
        ("Fe\u0302te & Lumie\u0300re", "F\u00eate-Lumi\u00e8re"),
        ("灯", "灯"),
        ("!?", "pack"),
    ],
)
def test_the_slug_is_the_folders_name(folder, slug, tmp_path):
    assert slug_of(tmp_path / folder) == slug


# --- files and folders ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "fault"),
    [
        ("none.yaml", "there is no file none.yaml; check the spelling, or write it"),
        ("sub", "sub is not a file; give a YAML file with one puzzle"),
        ("../secret.yaml", "leads out of the pack's folder; copy the file into the folder"),
        ("sub/../../secret.yaml", "leads out of the pack's folder; copy the file into the folder"),
        ("link.yaml", "leads out of the pack's folder; copy the file into the folder"),
        ("linked/secret.yaml", "leads out of the pack's folder; copy the file into the folder"),
        ("/etc/passwd", "is not a path inside the pack's folder; write it like extra/x.yaml"),
        ("sub\\x.yaml", "is not a path inside the pack's folder; write it like extra/x.yaml"),
        ("manifest.yaml", "is the manifest itself; name another file"),
        ("loop.yaml", "loop.yaml cannot be read; replace it"),
        ("pipe.yaml", "pipe.yaml is not a file; give a YAML file with one puzzle"),
        ("", "has no value; write one"),
    ],
)
def test_a_puzzles_file_stays_inside_the_folder(name, fault, pack, tmp_path):
    folder = pack(puzzle(f"  - file: {name}\n"), {"sub/x.yaml": "id: b\n"})
    (tmp_path / "secret.yaml").write_text("id: b\n")
    (folder / "link.yaml").symlink_to(tmp_path / "secret.yaml")
    (folder / "linked").symlink_to(tmp_path)
    (folder / "loop.yaml").symlink_to(folder / "loop.yaml")
    os.mkfifo(folder / "pipe.yaml")
    assert told(folder) == [f"{M}:10: puzzles[2].file: {fault}"]


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        ("- a\n", "b.yaml:1: the file holds a list at its top; it needs fields, each "
         "`name: value`"),
        ("id: b\ntitle: B", "b.yaml:1: puzzles[2].grid (b): is missing; add a line `grid: ...`"),
        (SOUND, "b.yaml:1: puzzles[2]: the file holds a whole pack; it needs the fields of one "
         "puzzle, at its top"),
        ("\nfile: c.yaml\n", "b.yaml:2: puzzles[2].file: a puzzle's file cannot name another; "
         "write the puzzle"),
        (b"\xff", "b.yaml:1: the file is not UTF-8 text (byte 1); save it as UTF-8"),
    ],
)  # fmt: skip
def test_a_puzzles_file_holds_one_puzzle(content, fault, pack):
    assert told(pack(puzzle("  - file: b.yaml\n"), {"b.yaml": content})) == [fault]


def test_a_puzzle_with_a_file_has_no_other_fields(pack):
    folder = pack(puzzle("  - {file: b.yaml, title: B}\n"), {"b.yaml": f"id: b\ngrid: {GRID}"})
    assert told(folder) == [
        f"{M}:10: puzzles[2].title: unknown field; a puzzle in a file of its own has all its other "
        "fields in that file",
        "b.yaml:1: puzzles[2].title (b): is missing; add a line `title: ...`",
    ]


def test_where_there_is_no_pack(tmp_path, pack):
    def fault(path):
        with pytest.raises(InputError) as error:
            load(path)
        return str(error.value)

    none = tmp_path / "none"
    assert fault(none) == f"{none}: there is no such folder or file; check the spelling"
    assert fault(tmp_path) == (
        f"{tmp_path}: the folder has no manifest.yaml; `packbuilder start` makes a folder with one"
    )
    long = tmp_path / ("x" * 5000)
    assert fault(long) == f"{long}: cannot be read: File name too long"
    assert fault(Path("a\0b")).startswith("a\0b: ")
    away = tmp_path / "away"
    away.mkdir()
    (away / M).symlink_to(pack(SOUND) / M)
    assert fault(away) == (
        f"{away}/{M}: it leads out of the pack's folder; copy the file into the folder"
    )
    (none.with_name("dir") / M).mkdir(parents=True)
    assert fault(tmp_path / "dir") == f"{tmp_path}/dir/{M}: this is a folder; give a YAML file"


# --- whatever comes ---------------------------------------------------------------------------

NAMES = ["pack", "puzzles", "id", "title", "issue", "byline", "grid", "size", "blocks", "promise",
         "needs", "grade", "file", "solution", "no-notes", "link", "rules", "x"]  # fmt: skip
LEAVES = st.sampled_from(
    [None, True, 4, 9, 17, -1, 1.5, "", "4", "a", "none", "2x2", "aabb" * 4, "." * 16, "..", ".",
     "/", "b.yaml", "\U0001f600", "a\nb", "2026-12", "hidden-pair", "http://[", "http://a:b@c:99999"]
)  # fmt: skip
ANY = st.recursive(
    LEAVES | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(NAMES), inner),
    max_leaves=25,
)


@settings(max_examples=200)
@given(
    st.fixed_dictionaries(
        {"pack": ANY, "puzzles": st.lists(st.dictionaries(st.sampled_from(NAMES), ANY)) | ANY}
    )
    | ANY
)
def test_no_data_gives_a_traceback(tmp_path_factory, data):
    folder = tmp_path_factory.getbasetemp()
    (folder / M).write_text(yaml.safe_dump(data, allow_unicode=True), encoding="utf-8")
    try:
        load(folder)
    except InputError as error:
        for line in str(error).splitlines():
            assert re.match(rf"{re.escape(str(folder))}/manifest\.yaml:\d+: .+; .+", line), line


@given(st.binary(max_size=100))
def test_no_bytes_give_a_traceback(tmp_path_factory, raw):
    folder = tmp_path_factory.getbasetemp()
    (folder / M).write_bytes(SOUND[:150].encode() + raw)
    with pytest.raises(InputError):
        load(folder)
