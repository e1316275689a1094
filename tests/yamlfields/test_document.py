"""Safe YAML: what is kept as written, where it stands, and every sentence of a fault."""

import string

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from packbuilder.errors import InputError
from packbuilder.yamlfields.document import MAX_VALUES, read_yaml

# The YAML traps: what a careless reader makes of each is well known (from memory).
TRAPS = ["2026-12", "2026-12-01", "0050", "0x1F", "1_000", "no", "off", "Yes", "1e3", "12:30"]

# Each: the file, and the sentences that the user sees, without the path.
FAULTS = {
    "empty": (b"", [
        "1: the file is empty; it needs fields, each `name: value`"]),
    "comments only": (b"# nothing\n\n", [
        "1: the file is empty; it needs fields, each `name: value`"]),
    "list at the top": (b"# x\n- a\n- b\n", [
        "2: the file holds a list at its top; it needs fields, each `name: value`"]),
    "a single value": (b"harbour\n", [
        "1: the file holds a single value at its top; it needs fields, each `name: value`"]),
    "doubled keys, both told": (b"a: 1\nb: {c: 1, c: 2}\na: 2\n", [
        "2: 'c' is given twice, first on line 2; keep one",
        "3: 'a' is given twice, first on line 1; keep one"]),
    "python tag": (b"a: !!python/object/apply:os.system ['echo x']\n", [
        "1: the tag 'tag:yaml.org,2002:python/object/apply...' is refused, as data needs none; "
        "delete it"]),
    "own tag": (b"a: 1\nb: !x 2\n", [
        "2: the tag '!x' is refused, as data needs none; delete it"]),
    "anchor and alias": (b"a: &lol [x]\nb: *lol\n", [
        "1: the anchor &lol is refused, since every value is written out where it stands; "
        "write it out",
        "2: the alias *lol is refused, since every value is written out where it stands; "
        "write it out"]),
    "merge": (b"a: {b: 1}\n<<: *a\n", [
        "2: the alias *a is refused, since every value is written out where it stands; "
        "write it out"]),
    "two documents": (b"a: 1\n---\nb: 2\n", [
        "2: a second document begins here; keep one, without the line ---"]),
    "not UTF-8": (b"a: 1\nb: caf\xe9\n", [
        "2: the file is not UTF-8 text (byte 12); save it as UTF-8"]),
    "UTF-16": ("a: 1\n".encode("utf-16"), [
        "1: the file is not UTF-8 text (byte 1); save it as UTF-8"]),
    "tab": (b"a:\n\tb: 1\n", ["2: the line begins with a tab; indent with spaces"]),
    "control character": (b"a: 1\nb: x\x07\n", [
        "2: column 5 holds the control character U+0007; delete it"]),
    "NUL": (b"\x00", ["1: column 1 holds the control character U+0000; delete it"]),
    "Unicode line break": ("a: x\u2028y\n".encode(), [
        "1: column 5 holds the control character U+2028; delete it"]),
    "escaped control": (b'a: "\\a"\n', [
        "1: the text holds the control character U+0007; delete its escape"]),
    "half a surrogate": (b'a: "\\ud800"\n', [
        "1: the text holds the control character U+D800; delete its escape"]),
    "no such character": (b'a: 1\nb: "\\UFFFFFFFF"\n', [
        "2: a \\U escape that names no character; write the character"]),
    "no such character, a little past the last": (b'a: "\\U00110000"\n', [
        "1: a \\U escape that names no character; write the character"]),
    "too deep": (b"a: " + b"[" * 60 + b"]" * 60, ["1: nested deeper than 50 levels; flatten it"]),
    "too many values": (b"a:\n" + b"- x\n" * MAX_VALUES, [
        f"{MAX_VALUES - 1}: more than {MAX_VALUES} values; part the file into several"]),
    "key is a list": (b"a: 1\n? [b]\n: 2\n", [
        "2: a field's name is not a word; write `name: value`, with quotes around a value that "
        "begins with a bracket"]),
    "colon in a title": (b"title: Night: a pack\n", [
        "1: a colon that cannot stand here; put quotes around a text that holds ': ', or mend "
        "the indentation"]),
    "open quote": (b"a: 1\nb: 'x\nc: 2\n", [
        "2: a quotation mark is opened and never closed; close it"]),
    "open bracket": (b"a: [x\nb: 1\n", ["1: a list is opened with '[' and not closed; end it "
                                       "with ']'"]),
    "open brace": (b"a: {x: 1\n", [
        "1: a mapping is opened with '{' and not closed; end it with '}'"]),
    "at sign": (b"a: @x\n", [
        "1: a value cannot begin with this character; put quotes around it"]),
    "star": (b"a: * star\n", [
        "1: a value cannot begin with '*' or '&'; put quotes around it"]),
    "backslash": (b'a: "C:\\dir"\n', [
        "1: a backslash in double quotes begins an escape, and this is none; use single quotes"]),
    "no colon": (b"a: 1\nb\nc: 2\n", [
        "3: the line is not `name: value`, nor part of the text above it; mend its indentation, "
        "or put a colon after the field's name"]),
    "odd indentation": (b"a:\n  - x\n y: 1\n", [
        "3: the line does not fit with the lines above it; give the fields of one entry the same "
        "indentation, and begin each list item with '- '"]),
    "text behind a bar": (b"a: | x\n  y\n", [
        "1: text stands behind '|' or '>'; begin it on the next line, or put quotes around it"]),
    "text behind a quote": (b"a: 'x' y\n", [
        "1: text stands where none can; put quotes around the whole value, and double each "
        "quotation mark inside it"]),
}  # fmt: skip


@pytest.fixture
def read(tmp_path):
    def read(raw):
        path = tmp_path / "f.yaml"
        path.write_bytes(raw if isinstance(raw, bytes) else raw.encode())
        return read_yaml(path)

    return read


def sentences(error, path):
    lines = str(error.value).splitlines()
    assert all(line.startswith(f"{path}:") for line in lines)
    return [line.removeprefix(f"{path}:") for line in lines]


@pytest.mark.parametrize("name", FAULTS)
def test_faults_say_where_what_and_how_to_mend(name, read, tmp_path):
    raw, told = FAULTS[name]
    with pytest.raises(InputError) as error:
        read(raw)
    assert sentences(error, tmp_path / "f.yaml") == told


@pytest.mark.parametrize("text", TRAPS)
def test_scalars_are_kept_as_written(text, read):
    value = read(f"a: {text}\n").data["a"]
    assert value == text
    assert value.plain
    assert not read(f"a: '{text}'\n").data["a"].plain


@pytest.mark.parametrize("text", ["", "~", "null", "Null", "NULL"])
def test_no_value_is_none_unless_quoted(text, read):
    assert read(f"a: {text}\n").data["a"] is None
    assert read(f"a: '{text}'\n").data["a"] == text


def test_a_byte_order_mark_and_any_line_ends_are_read(read):
    document = read(b"\xef\xbb\xbfa: 1\r\nb:\r\n  c: 2\r\n")
    assert document.data == {"a": "1", "b": {"c": "2"}}
    assert document.lines_of(("b", "c")).line == 3


def test_places_of_keys_values_and_items(read):
    document = read("# head\na:\n  - b: 1\n    c: |\n\n      x\n      y\n  - two\nd: >\n  z\n")
    place = document.lines_of(("a", 0, "b"))
    assert (place.line, place.value_line) == (3, 3)
    assert document.lines_of(("a",)).line == 2
    assert document.lines_of(("a", 1)).line == 8
    assert document.lines_of(("a", 0, "nowhere", 7)).line == 3, "the nearest part around it"
    # The text of the block is "\nx\ny\n": its second line, y, stands on line 7 of the file.
    assert document.data["a"][0]["c"].splitlines()[2] == "y"
    assert document.text_line(("a", 0, "c"), 2) == 7
    assert document.text_line(("d",), 0) == 9, "folded text is told where it begins"


def test_a_file_of_fifty_megabytes_is_refused_unread(tmp_path):
    path = tmp_path / "f.yaml"
    with path.open("wb") as file:
        file.truncate(50_000_000)  # sparse: nothing is written
    with pytest.raises(InputError) as error:
        read_yaml(path)
    assert str(error.value) == (
        f"{path}: the file is larger than 5 MB, which text of this kind never is; leave out what "
        "is not text, or part it into several files"
    )


def test_what_is_no_file_is_refused(tmp_path):
    with pytest.raises(InputError, match=r"there is no such file; check the spelling of the path$"):
        read_yaml(tmp_path / "none.yaml")
    with pytest.raises(InputError, match=r"this is a folder; give a YAML file$"):
        read_yaml(tmp_path)
    with pytest.raises(InputError, match=r"cannot be read: "):
        read_yaml(tmp_path / ("x" * 5000))
    with pytest.raises(InputError, match=r"cannot be read: "):
        read_yaml(tmp_path / "a\0b")


WORDS = st.text(string.ascii_letters + string.digits + " -_.,'\"#:äß灯", max_size=12)
DATA = st.recursive(
    WORDS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(WORDS.filter(bool), inner),
    max_leaves=20,
)


@given(st.dictionaries(WORDS.filter(bool), DATA, min_size=1))
def test_agrees_with_another_reader_of_yaml(tmp_path_factory, data):
    # PyYAML writes the data, quoting what would be misread; what comes back is the same data.
    path = tmp_path_factory.mktemp("yaml") / "f.yaml"
    path.write_text(yaml.safe_dump(data, allow_unicode=True), encoding="utf-8")
    assert read_yaml(path).data == data


@given(st.binary(max_size=200) | st.text("ab:- \n[]{}'\"|>&*!%@`?#,\\\t0", max_size=60))
@example(b"a: \xed\xa0\x80")
@example("%YAML 9.9\n---\n")
@example("a: >9\n x")
def test_no_bytes_give_a_traceback(tmp_path_factory, raw):
    path = tmp_path_factory.getbasetemp() / "fuzz.yaml"
    path.write_bytes(raw if isinstance(raw, bytes) else raw.encode())
    try:
        assert isinstance(read_yaml(path).data, dict)
    except InputError as error:
        for line in str(error).splitlines():
            assert line.startswith(str(path))
            assert ";" in line
