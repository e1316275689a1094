"""A new pack: it loads, passes the gate at once, and overwrites nothing."""

import errno
import json
import re
import unicodedata
from pathlib import Path

import jsonschema
import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from packbuilder import cli, gate
from packbuilder.archive import archive_of
from packbuilder.cli.starter import manifest_text, start
from packbuilder.errors import InputError, Unfinished
from packbuilder.manifest import load
from packbuilder.manifest import schema as manifest_schema


def uncommented(text):
    """The manifest with every hidden field taken up."""
    return re.sub(r"^( *)#(?=\S)", r"\1", text, flags=re.MULTILINE)


def fault(folder, title="T", issue="2026-12"):
    with pytest.raises(InputError) as error:
        start(folder, title, issue)
    return str(error.value)


def test_a_new_pack_passes_the_gate_at_once(tmp_path):
    folder = tmp_path / "months" / "kites"
    written = start(folder, "Kites over Marl Hill", "2027-03")
    assert written == (folder / "manifest.yaml", folder / "manifest.schema.json")
    assert sorted(folder.iterdir()) == sorted(written)
    pack = load(folder)
    assert (pack.title, pack.issue, pack.slug) == ("Kites over Marl Hill", "2027-03", "kites")
    report = gate.check(pack)
    assert report.passed
    # All that the example says of itself is noted, and nothing else.
    found = [f for one in report.checked for f in one.findings] + list(report.findings)
    assert {f.code for f in found} == {"placeholder"} and not any(f.refuses for f in found)
    fields = [f.message.split()[0] for f in found]
    assert fields == ["title", "grid", "title", "intro", "grid", "pack.byline", "pack.theme"]


def test_a_second_pack_beside_it_passes_too_and_its_examples_are_no_repeats(tmp_path):
    """A creator begins each month so (common practice, no source)."""
    for month in ("2027-03", "2027-04"):
        start(tmp_path / month, "Kites", month)
    pack = load(tmp_path / "2027-04")
    report = gate.check(pack, archive=archive_of(pack))
    assert report.passed
    # Another puzzle of the earlier month is one still.
    path = tmp_path / "2027-03" / "manifest.yaml"
    new = path.read_text(encoding="utf-8").replace("72. ..5 6..", "72. ..5 6.4")
    path.write_text(new.replace("clues: 26", "clues: 27"), encoding="utf-8")
    later = tmp_path / "2027-04" / "manifest.yaml"
    later.write_text(path.read_text(encoding="utf-8").replace("2027-03", "2027-04"), "utf-8")
    pack = load(later)
    found = gate.check(pack, archive=archive_of(pack)).checked[1].findings
    assert "same-puzzle" in {f.code for f in found}


def test_what_is_written_in_its_place_is_not_noted(tmp_path):
    start(tmp_path / "kites", "Kites", "2027-03")
    path = tmp_path / "kites" / "manifest.yaml"
    text = path.read_text(encoding="utf-8")
    for line in re.findall(r"^ *(?:- )?(?:byline|theme|title|intro): .*", text, re.MULTILINE):
        text = text.replace(line, line.partition(":")[0] + ": Of our own")
    path.write_text(text, encoding="utf-8")
    report = gate.check(load(path))
    left = [f.message for one in report.checked for f in one.findings]
    assert report.findings == () and left == ["grid is still the example's"] * 2


def test_every_hidden_field_is_true_too(tmp_path):
    start(tmp_path / "kites", "Kites", "2027-03")
    path = tmp_path / "kites" / "manifest.yaml"
    text = uncommented(path.read_text(encoding="utf-8"))
    # Of the hidden fields two cannot hold as they stand: no such file, and singles need no more.
    text = text.replace("  - file: puzzles/third-light.yaml\n", "")
    text = text.replace("  needs: [pointing]\n", "")
    path.write_text(text, encoding="utf-8")
    pack = load(path)
    one = pack.puzzles[1]
    assert one.promise.minimal
    assert one.promise.needs
    assert one.solution
    assert (one.setter, pack.order) == ("Ada Quill", "easiest-first")
    assert gate.check(pack).passed


def test_the_head_lets_an_editor_use_the_schema_beside_it(tmp_path):
    start(tmp_path / "kites", "Kites", "2027-03")
    text = (tmp_path / "kites" / "manifest.yaml").read_text(encoding="utf-8")
    head = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", text.splitlines()[0])
    assert head, "the comment by which YAML language servers find a schema"
    beside = json.loads((tmp_path / "kites" / head[1]).read_text(encoding="utf-8"))
    for variant in (text, uncommented(text)):
        # Only here PyYAML may resolve: 2027-03 is text in YAML 1.2 and to it alike.
        jsonschema.validate(yaml.safe_load(variant), beside)


def test_the_manifest_reminds_of_permission_and_law():
    words = " ".join(manifest_text("T", "2026-12").replace("#", " ").split())
    assert "Have each setter's permission before you print a puzzle" in words
    assert "copyright and privacy ask of you is decided by the law of your country" in words


TITLES = st.text(
    st.characters(exclude_categories=("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")), max_size=80
).filter(lambda t: t.strip() and len(unicodedata.normalize("NFC", t)) <= 80)


@given(TITLES)
@example("Night: a 'pack' # of \"nine\" \\ grids")
@example("{issue} - [x] & *y !z %a @b `c` | > ? , null")
@example("no")
@example("two  blanks\u00a0and\u3000wide ones")
@example("1984")
@example("e\u0301t\u00e9 \U0001f3ee 灯")
def test_any_title_comes_back_as_it_was_given(tmp_path_factory, title):
    folder = tmp_path_factory.mktemp("pack")
    folder.joinpath("manifest.yaml").write_text(manifest_text(title, "2026-12"), encoding="utf-8")
    assert load(folder).title == " ".join(unicodedata.normalize("NFC", title).split())
    raw = yaml.safe_load(folder.joinpath("manifest.yaml").read_text(encoding="utf-8"))
    assert raw["pack"]["title"] == load(folder).title, "PyYAML's own reader agrees"


def test_a_bad_title_or_issue_is_refused_and_nothing_is_made(tmp_path):
    folder = tmp_path / "kites"
    assert fault(folder, title=" ") == "title: is blank; write a line of text"
    assert fault(folder, title="x" * 81) == (
        "title: has 81 characters; print has room for 80: shorten it"
    )
    assert fault(folder, title="a\nb") == "title: has more than one line; write it on one"
    assert fault(folder, title="a\udc80") == (
        "title: holds the unprintable character U+DC80; delete it"
    )
    assert fault(folder, issue="March") == (
        "issue: 'March' is not a month; write the year and the month as YYYY-MM, such as 2026-12"
    )
    assert not folder.exists()


def test_nothing_is_overwritten(tmp_path):
    note = tmp_path / "note.txt"
    note.write_text("mine")
    assert fault(tmp_path) == (
        f"{tmp_path}: the folder is not empty; name one that does not exist yet"
    )
    assert fault(note) == f"{note}: this is a file; name a folder that does not exist yet"
    mend = "nothing was made. Check that the folder may be written to, or name another"
    assert fault(note / "in") == f"{note / 'in'}: Not a directory; {mend}"
    assert fault(tmp_path / ("x" * 300)).endswith(f"x: File name too long; {mend}")
    assert [p.name for p in tmp_path.iterdir()] == ["note.txt"]
    assert note.read_text() == "mine"


def test_an_empty_folder_will_do(tmp_path):
    start(tmp_path, "T", "2026-12")
    assert load(tmp_path).title == "T"


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (OSError(errno.ENOSPC, ""), "the disk is full; nothing was made. Make room and try again"),
        (OSError(errno.EDQUOT, ""), "the disk is full; nothing was made. Make room and try again"),
        (OSError(errno.EIO, "Input/output error"), "Input/output error; nothing was made. Check"),
        (KeyboardInterrupt(), ""),
    ],
)
@pytest.mark.parametrize("folder", ["", "months/kites"])
def test_what_ends_in_the_middle_leaves_nothing(tmp_path, monkeypatch, folder, error, said):
    def stop(*_args, **_more):
        raise error

    (tmp_path / "there").mkdir()
    honest = Path.write_text

    def second_fails(self, *args, **more):
        return (stop if "json" in self.name else honest)(self, *args, **more)

    monkeypatch.setattr(Path, "write_text", second_fails)
    folder = tmp_path / "there" / folder
    with pytest.raises((KeyboardInterrupt, Unfinished, InputError)) as caught:
        start(folder, "T", "2026-12")
    assert not said or str(caught.value).startswith(f"{folder}: {said}")
    assert list((tmp_path / "there").iterdir()) == []


def test_a_broken_link_is_called_one(tmp_path):
    link = tmp_path / "dang"
    link.symlink_to(tmp_path / "gone")
    assert fault(link) == (
        f"{link}: this is a broken link: what it leads to is not there; remove it, or name another "
        "folder"
    )
    assert link.is_symlink() and not (tmp_path / "gone").exists()


def test_a_link_to_an_empty_folder_will_do(tmp_path):
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    start(tmp_path / "link", "T", "2026-12")
    assert load(tmp_path / "real").title == "T"


def test_what_to_do_next_can_be_pasted(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert cli.run(["start", "my pack", "--title", "T", "--issue", "2026-12"]) == 0
    assert capsys.readouterr().err.splitlines()[-1] == "next: packbuilder build 'my pack'"


def test_both_faults_are_told(tmp_path):
    told = fault(tmp_path / "kites", title="", issue="2027-3").splitlines()
    assert [line.partition(":")[0] for line in told] == ["title", "issue"]


def test_the_grades_are_those_that_the_manifest_takes():
    """The highest is the one past which the schema takes no number."""
    schema = json.dumps(manifest_schema())
    top = max(n for n in range(1, 20) if re.search(rf'"enum": \[1, [^]]*\b{n}, "beyond"', schema))
    assert f"# 1 (gentle) to {top}: the rung" in manifest_text("T", "2026-12")
