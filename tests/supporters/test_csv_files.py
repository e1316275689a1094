"""Lists as spreadsheets write them, read by line and column; no fault tells what stands there."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packbuilder.errors import InputError
from packbuilder.supporters.csv_files import read_table
from packbuilder.supporters.people import read_supporters
from packbuilder.text import tidy

NAMES = ["Ada Quill", "Łukasz Żółw", "Δήμητρα Ω", 'Ann "Nan" Lee', "Quill, Odo", "O’Hara; Jo"]


def written(names: list[str], **how: str) -> str:
    """The list by the standard library's own writer (RFC 4180 where nothing else is said)."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, **how)  # type: ignore[arg-type]
    writer.writerow(["e-mail", "Name", "Tier"])
    writer.writerows(["x@example.org", name, "gold"] for name in names)
    return out.getvalue()


# What programs write, common practice, no source: spreadsheets of many countries part cells by
# semicolons; one writes a first line `sep=;`; "Unicode text" is UTF-16 with tabs and a mark.
FORMS = {
    "commas": written(NAMES).encode(),
    "a mark": b"\xef\xbb\xbf" + written(NAMES).encode(),
    "semicolons": written(NAMES, delimiter=";").encode(),
    "a mark and semicolons": b"\xef\xbb\xbf" + written(NAMES, delimiter=";").encode(),
    "its own note of the sign": ("sep=;\r\n" + written(NAMES, delimiter=";")).encode(),
    "UTF-16 and tabs": written(NAMES, delimiter="\t").encode("utf-16"),
    "UTF-16, big end first": b"\xfe\xff" + written(NAMES, delimiter="\t").encode("utf-16-be"),
    "line feeds": written(NAMES, lineterminator="\n").encode(),
    "carriage returns": written(NAMES, lineterminator="\r").encode(),
    "all quoted": written(NAMES, quoting=csv.QUOTE_ALL).encode(),  # type: ignore[arg-type]
    "rows of nothing": (written(NAMES) + ",,\r\n\r\n,,\r\n").encode(),
    "no line end": written(NAMES).rstrip().encode(),
    "names alone": "\n".join(["NAME", *NAMES[:4]]).encode(),
}


@pytest.mark.parametrize("form", FORMS)
def test_every_form_gives_the_same_names(form: str, tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_bytes(FORMS[form])
    due = NAMES[:4] if form == "names alone" else NAMES
    assert [one.name for one in read_supporters(file)] == due


def test_another_encoding_is_told_and_can_be_said(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_bytes("name\nAda\nÉmile\n".encode("cp1252"))
    with pytest.raises(InputError, match=r"list\.csv:3: is not utf-8; save the list as CSV UTF-8"):
        read_supporters(file)
    assert [one.name for one in read_supporters(file, "cp1252")] == ["Ada", "Émile"]
    with pytest.raises(InputError, match="no such encoding"):
        read_supporters(file, "cp9999")


def test_a_line_is_where_its_record_begins(tmp_path: Path) -> None:
    """Addresses have line breaks within quotes."""
    file = tmp_path / "list.csv"
    file.write_text('name,address\nAda,"1 Quay\nHarbour"\n\nOdo,"2 Quay\n\nHarbour"\nImre,x\n')
    assert [(one.line, one.name) for one in read_supporters(file)] == [
        (2, "Ada"), (5, "Odo"), (8, "Imre"),
    ]  # fmt: skip


FAULTS = {
    "name,tier\nAda,x\n,y\n": ":3: column 1 (name): is empty; write the name, or delete the line",
    "tier,name\nx,Ada\ny,ada\n": ":3: column 2 (name): is the name of line 2 too",
    "name\nAda\nQuill, Odo\n": ":3: has 2 cells, and the header has 1; a cell with a comma in it",
    "Ada,x\n": ":1: no column is called 'name'; write a header line such as `name`",
    'name,x\nAda,"x\n': ":2: unexpected end of data",
    'name\n"Ada" Quill\n': ":2: ',' expected after '\"'",
    "name\n": ":1: has no supporters",
    "": ":1: no column is called 'name'",
    "name,name\nAda,Odo\n": ":1: has two columns 'name'; keep one",
    "name\nA\0da\n": ":2: holds a zero byte",
    "name\nדנה\n": ":2: column 1 (name): its character 1 (HEBREW) has no shape in the type",
    "name\n李雷\n": ":2: column 1 (name): its character 1 (CJK) has no shape",
    f"name\n{'x' * 121}\n": ":2: column 1 (name): has 121 letters; 120 are the most",
}


@pytest.mark.parametrize("text", FAULTS)
def test_faults_are_told_by_line_and_column_and_name_nobody(text: str, tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as refused:
        read_supporters(file)
    assert FAULTS[text] in str(refused.value)
    assert str(refused.value).count("letters that have") <= 1
    for name in ("Ada", "Odo", "ד", "李", "674E", "xxxx"):
        assert name not in str(refused.value)


def test_all_faults_are_told_together_but_not_too_many(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text("name,x\n" + ",1\n" * 30)
    with pytest.raises(InputError) as refused:
        read_supporters(file)
    lines = str(refused.value).splitlines()
    assert len(lines) == 21
    assert lines[-1].endswith("10 more faults of such kinds")


def test_two_people_of_one_name_if_that_is_said(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text("name\nAda Quill\nADA QUILL\n")
    assert len(read_supporters(file, same_names=True)) == 2


CELLS = st.text(st.characters(blacklist_categories=("Cs", "Cc")), max_size=12)


@given(st.lists(st.tuples(CELLS, CELLS), min_size=1), st.sampled_from(",;\t"))
def test_what_the_standard_library_writes_is_read(rows: list[tuple[str, str]], sign: str) -> None:
    """Judged by csv's own writer and by what `tidy` says of each cell."""
    import tempfile

    out = io.StringIO(newline="")
    csv.writer(out, delimiter=sign).writerows([("name", "more"), *rows])
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "list.csv"
        file.write_bytes(out.getvalue().encode())
        table = read_table(file, ("name", "more"))
    due = [(tidy(a), tidy(b)) for a, b in rows if a.strip() or b.strip()]
    assert [(row.cells["name"], row.cells["more"]) for row in table.rows] == due
