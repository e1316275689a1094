"""Copies: judged by plain bytes, by qpdf, pikepdf, pypdf and poppler; never by what made them."""

from __future__ import annotations

import csv
import hashlib
import json
import os
import re
import shutil
import stat
import subprocess
from pathlib import Path
from typing import Any

import pikepdf
import pypdf
import pytest

from packbuilder import cli
from packbuilder.errors import Exit
from packbuilder.layouts.papers import MM
from packbuilder.text import tidy
from packbuilder.typography.names import advances
from tests.supporters.conftest import EDITIONS

NAMES = ["Ada Quill", "Łukasz Żółw", "Δήμητρα Ω", "Дмитрий Ё", "Ẫn (“Nan”) O’Hara \\ Co."]
PDFS = [name for name in EDITIONS if name != "text"]


def write_list(folder: Path, names: list[str] = NAMES) -> Path:
    file = folder / "list.csv"
    with file.open("w", encoding="utf-8", newline="") as out:
        csv.writer(out).writerows([["name"], *([name] for name in names)])
    return file


def run(pack: Path, *more: str, names: list[str] = NAMES, code: Exit = Exit.GOOD) -> Path:
    people = write_list(pack.parent, names)
    assert cli.run(["copies", str(pack), "--supporters", str(people), *more]) == code
    return pack / "copies"


def listing(folder: Path) -> dict[str, str]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {p.name: hashlib.sha256(p.read_bytes()).hexdigest() for p in files}


def poppler(program: str, *arguments: str) -> str:
    if shutil.which(program) is None:
        pytest.skip(f"{program} is not installed")
    done = subprocess.run([program, *arguments], capture_output=True, text=True, check=True)
    assert "Syntax" not in done.stderr, done.stderr
    return done.stdout


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_released_file_is_the_beginning_of_every_copy(pack: Path, edition: str) -> None:
    copies = run(pack, "--edition", edition)
    (master,) = (pack / "out").glob(f"*-{edition}.*")
    data = master.read_bytes()
    found = sorted(path for path in copies.iterdir() if path.suffix == master.suffix)
    assert [path.name for path in found] == [
        f"tea-house-{edition}-{k:05}{master.suffix}" for k in range(1, len(NAMES) + 1)
    ]
    for path in found:
        assert path.read_bytes().startswith(data)
        assert 0 < path.stat().st_size - len(data) < 1000
        assert path.read_bytes() != data


@pytest.mark.parametrize("edition", PDFS)
def test_qpdf_and_pikepdf_find_nothing_wrong(pack: Path, edition: str) -> None:
    for path in run(pack, "--edition", edition).glob("*.pdf"):
        with pikepdf.open(path) as pdf:
            assert pdf.check_pdf_syntax() == []
            ids = pdf.trailer["/ID"]
            assert bytes(ids[0]) != bytes(ids[1])  # the original's, and its own (ISO 32000-1, 14.4)
        poppler("qpdf", "--check", str(path))


@pytest.mark.parametrize("edition", PDFS)
def test_every_page_says_whose_it_is(pack: Path, edition: str) -> None:
    """By poppler's text, on each page of the book, as often as there are pages."""
    copies = run(pack, "--edition", edition)
    master = next((pack / "out").glob(f"*-{edition}.pdf"))
    pages = len(pypdf.PdfReader(master).pages) * (2 if edition == "booklet" else 1)
    for number, name in enumerate(NAMES, start=1):
        text = poppler("pdftotext", str(copies / f"{master.stem}-{number:05}.pdf"), "-")
        found = text.count(f"Copy {number} · {name}")
        assert found == pages or (edition == "booklet" and pages - 4 < found <= pages)
    assert "Copy" not in poppler("pdftotext", str(master), "-")


def test_the_text_edition_says_it_at_its_end(pack: Path) -> None:
    copies = run(pack, "--edition", "text", names=["Ada Quill", "Wilhelmina " * 6 + "Quill"])
    lines = (copies / "tea-house-text-00002.txt").read_text(encoding="utf-8").splitlines()
    end = lines.index("== End of the file")
    assert " ".join(lines[end + 2 :]) == "Copy 2: " + "Wilhelmina " * 6 + "Quill"
    assert max(map(len, lines[end:])) <= 40


@pytest.mark.parametrize("edition", PDFS)
def test_pixels_differ_in_the_stamp_alone(pack: Path, edition: str, tmp_path: Path) -> None:
    """By poppler: a band of a few points at the foot of each page, within 10 mm of no edge."""
    from PIL import Image, ImageChops

    copies = run(pack, "--edition", edition, names=["Ada Quill"])
    master = next((pack / "out").glob(f"*-{edition}.pdf"))
    for name, file in (("a", master), ("b", next(copies.glob("*.pdf")))):
        poppler("pdftoppm", "-r", "72", "-gray", str(file), str(tmp_path / name))
    pages = sorted(tmp_path.glob("a-*.pgm"))
    assert pages
    for page in pages:
        one, other = Image.open(page), Image.open(page.with_name(page.name.replace("a", "b", 1)))
        apart = ImageChops.difference(one, other)
        sides = 2 if edition == "booklet" else 1  # two pages on a side of a sheet, each stamped
        wide = one.width / sides
        for k in range(sides):
            box = apart.crop((int(k * wide), 0, int((k + 1) * wide), one.height)).getbbox()
            assert box is not None, page.name
            left, top, right, bottom = box
            assert bottom - top <= 9
            assert min(left, wide - right, one.height - bottom) >= 10 * MM - 1
            assert bottom > one.height * 0.85


def test_every_letter_of_the_type_can_be_in_a_name(pack: Path) -> None:
    """Found again by poppler. Marks that combine may come back in another normal form."""
    letters = [one for one in advances() if one.isalpha() and one.isprintable()]
    assert len(letters) > 900
    names = ["".join(letters[k : k + 60]) for k in range(0, len(letters), 60)]
    copies = run(pack, names=names)
    for number, name in enumerate(names, start=1):
        text = poppler(
            "pdftotext", "-l", "1", str(copies / f"tea-house-print-{number:05}.pdf"), "-"
        )
        assert tidy(name) in text


def test_a_name_that_is_too_long_is_cut_and_told(pack: Path, capsys: Any) -> None:
    copies = run(pack, names=["Ada", "W" * 100])
    assert "names are cut where the page has no room for them: lines 3" in capsys.readouterr().err
    text = poppler("pdftotext", "-l", "1", str(copies / "tea-house-print-00002.pdf"), "-")
    assert re.search(r"Copy 2 · W+…", text)


# --- the register --------------------------------------------------------------------------------


def test_the_register_is_private_and_true(pack: Path) -> None:
    copies = run(pack)
    register = copies / "register.csv"
    rows = list(csv.reader(register.open(encoding="utf-8", newline="")))
    assert rows == [["number", "name"], *([f"{k:05}", n] for k, n in enumerate(NAMES, start=1))]
    if os.name == "posix":
        assert stat.S_IMODE(register.stat().st_mode) == 0o600
    ignored = subprocess.run(["git", "init", "-q", str(pack)], check=True)
    assert ignored.returncode == 0
    told = subprocess.run(
        ["git", "-C", str(pack), "status", "--porcelain", "-uall"], capture_output=True, text=True
    )
    assert "copies/" not in told.stdout
    assert "manifest.yaml" in told.stdout


def test_names_are_nowhere_but_in_copies_and_register(pack: Path, capsys: Any) -> None:
    copies = run(pack)
    told = capsys.readouterr()
    for word in ("Quill", "Łukasz", "Δήμητρα"):
        assert word not in told.out + told.err
        assert not any(word in path.name for path in copies.rglob("*"))
        assert word not in (pack / "out" / "release.json").read_text().replace("Ada Quill", "")


def test_numbers_stay_when_the_list_changes(pack: Path) -> None:
    copies = run(pack, names=["Ada", "Odo", "Imre"])
    before = listing(copies)
    run(pack, names=["Zoe", "Imre", "Ada"])
    after = listing(copies)
    del before["register.csv"]
    assert before.items() <= after.items()
    rows = dict(csv.reader((copies / "register.csv").open(encoding="utf-8")))
    assert rows == {
        "number": "name", "00001": "Ada", "00002": "Odo", "00003": "Imre", "00004": "Zoe",
    }  # fmt: skip


def test_two_of_one_name_have_two_numbers(pack: Path) -> None:
    names = ["Ada", "Odo", "Ada"]
    copies = run(pack, names=names, code=Exit.USAGE)
    assert not copies.exists()
    run(pack, "--same-names", names=names)
    run(pack, "--same-names", names=[*names, "Ada"])
    rows = list(csv.reader((copies / "register.csv").open(encoding="utf-8")))
    assert [name for _, name in rows[1:]] == ["Ada", "Odo", "Ada", "Ada"]


def test_names_in_file_names_if_that_is_asked(pack: Path) -> None:
    copies = run(pack, "--by-name", names=["Ada Quill", "../../Odo\\*?"])
    assert {path.name for path in copies.glob("*.pdf")} == {
        "tea-house-print-00001-Ada-Quill.pdf", "tea-house-print-00002-Odo.pdf",
    }  # fmt: skip


def test_a_register_that_was_spoilt_is_told_by_line(pack: Path, capsys: Any) -> None:
    copies = run(pack)
    (copies / "register.csv").write_text("number,name\n1,Ada\nx,Odo\n1,Imre\n", encoding="utf-8")
    run(pack, code=Exit.USAGE)
    told = capsys.readouterr().err
    assert "register.csv:3: is not a number and a name" in told
    assert "register.csv:4: has a number that is given already" in told
    assert "Odo" not in told


# --- again, and in the way -----------------------------------------------------------------------


def test_what_is_there_is_left_alone(pack: Path, capsys: Any) -> None:
    copies = run(pack)
    times = {path.name: path.stat().st_mtime_ns for path in copies.glob("*.pdf")}
    (copies / "tea-house-print-00002.pdf").unlink()
    half = copies / "tea-house-print-00003.pdf"
    half.write_bytes(half.read_bytes()[:-100])
    capsys.readouterr()
    run(pack)
    assert "5 copies of the print edition (3 of them were there)" in capsys.readouterr().err
    changed = {n for n, t in times.items() if (copies / n).stat().st_mtime_ns != t}
    assert changed == {"tea-house-print-00002.pdf", "tea-house-print-00003.pdf"}


def test_copies_of_a_newer_release_take_the_place_of_older_ones(pack: Path) -> None:
    copies = run(pack)
    manifest = pack / "manifest.yaml"
    manifest.write_text(manifest.read_text().replace("title: Saucer", "title: Cup"))
    assert cli.run(["build", str(pack)]) == Exit.GOOD
    run(pack)
    master = (pack / "out" / "tea-house-print.pdf").read_bytes()
    for path in copies.glob("*.pdf"):
        assert path.read_bytes().startswith(master)


def test_what_was_not_released_is_not_copied(pack: Path, capsys: Any) -> None:
    run(pack, "--edition", "sampler", code=Exit.USAGE)
    assert "is not released; build it first, with --edition sampler" in capsys.readouterr().err
    master = pack / "out" / "tea-house-print.pdf"
    master.write_bytes(master.read_bytes() + b"\n")
    run(pack, code=Exit.MISMATCH)
    assert "no copies were made" in capsys.readouterr().err
    assert not (pack / "copies").exists()


def test_an_older_release_without_room_for_a_stamp_is_told(pack: Path, capsys: Any) -> None:
    """A file by other hands in the place of the release: no stamp stands on its pages."""
    master, record = pack / "out" / "tea-house-print.pdf", pack / "out" / "release.json"
    pdf = pypdf.PdfWriter()
    pdf.add_blank_page(200, 200)
    pdf.write(master)
    facts = json.loads(record.read_text())
    for line in facts["files"]:
        if line["name"] == master.name:
            line["sha256"] = hashlib.sha256(master.read_bytes()).hexdigest()
    record.write_text(json.dumps(facts))
    run(pack, code=Exit.USAGE)
    assert "has no room for whose copy it is" in capsys.readouterr().err


def test_a_file_in_the_place_of_the_folder_is_told(pack: Path, capsys: Any) -> None:
    (pack / "copies").write_text("x")
    run(pack, code=Exit.USAGE)
    assert "is a file; name a folder with --to" in capsys.readouterr().err


def test_copies_and_releases_do_not_share_a_folder(pack: Path, capsys: Any) -> None:
    run(pack, "--to", str(pack / "out"), code=Exit.USAGE)
    assert "is a folder of releases; copies and their register are private" in (
        capsys.readouterr().err
    )


# --- passwords -----------------------------------------------------------------------------------


@pytest.mark.parametrize("edition", PDFS)
def test_a_password_opens_and_nothing_else_does(pack: Path, edition: str, capsys: Any) -> None:
    copies = run(pack, "--edition", edition, "--password", "geheim é", names=["Ada", "Odo"])
    assert "these copies do not begin with the released file" in capsys.readouterr().err
    master = next((pack / "out").glob(f"*-{edition}.pdf"))
    pages = len(pypdf.PdfReader(master).pages)
    for number, name in ((1, "Ada"), (2, "Odo")):
        path = copies / f"{master.stem}-{number:05}.pdf"
        reader = pypdf.PdfReader(path)
        assert reader.is_encrypted
        assert reader.decrypt("") == 0
        assert reader.decrypt("geheim") == 0
        assert reader.decrypt("geheim é") != 0
        assert len(reader.pages) == pages
        assert reader.metadata is not None
        assert reader.metadata.title == "The Tea House"
        assert f"Copy {number} · {name}" in reader.pages[-1].extract_text()
        with pytest.raises(pikepdf.PasswordError):
            pikepdf.open(path)
        with pikepdf.open(path, password="geheim é") as pdf:
            assert pdf.check_pdf_syntax() == []
            how = pdf.encryption
            assert (how.R, how.V, how.bits) == (6, 5, 256)  # AES-256 of ISO 32000-2
            assert str(how.stream_method).endswith("aesv3")
            assert pdf.allow.print_highres
        poppler("qpdf", "--check", "--password=geheim é", str(path))
        assert name in poppler("pdftotext", "-upw", "geheim é", str(path), "-")


def test_what_is_encrypted_is_the_released_file(pack: Path) -> None:
    """By qpdf (pikepdf): each object, decrypted, is the released one's but the stamp."""
    copies = run(pack, "--password", "x", names=["Ada"])
    with (
        pikepdf.open(pack / "out" / "tea-house-print.pdf") as master,
        pikepdf.open(next(copies.glob("*.pdf")), password="x") as copy,
    ):
        differing = [
            k
            for k, (one, other) in enumerate(zip(master.objects, copy.objects, strict=False))
            if isinstance(one, pikepdf.Stream) and one.get("/Type") not in ("/ObjStm", "/XRef")
            and one.read_bytes() != other.read_bytes()  # type: ignore[union-attr]
        ]  # fmt: skip
        assert len(differing) == 1
        assert master.objects[differing[0]]["/Subtype"] == "/Form"


def test_a_text_has_no_password(pack: Path, capsys: Any) -> None:
    run(pack, "--edition", "text", "--password", "x", code=Exit.USAGE)
    assert "a text edition can have no password" in capsys.readouterr().err


# --- whose it is ---------------------------------------------------------------------------------


def who(pack: Path, file: Path, *more: str) -> tuple[int, dict[str, Any]]:
    import contextlib
    import io

    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        code = cli.run(["copies", str(pack), "--who", str(file), "--json", *more])
    return code, json.loads(out.getvalue())


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_copy_is_known(pack: Path, edition: str) -> None:
    copies = run(pack, "--edition", edition)
    path = next(copies.glob(f"*-{edition}-00002.*"))
    code, told = who(pack, path)
    assert code == Exit.GOOD
    assert (told["edition"], told["number"], told["name"]) == (edition, 2, "Łukasz Żółw")
    assert told["exact"]


def test_a_copy_with_a_password_is_known(pack: Path, capsys: Any) -> None:
    path = next(run(pack, "--password", "x").glob("*-00002.pdf"))
    code, told = who(pack, path, "--password", "x")
    assert (code, told["name"], told["untouched"], told["exact"]) == (0, "Łukasz Żółw", True, False)
    assert cli.run(["copies", str(pack), "--who", str(path)]) == Exit.USAGE
    assert "say its password with --password" in capsys.readouterr().err


def test_a_copy_that_was_saved_anew_is_known(pack: Path, tmp_path: Path) -> None:
    path, other = next(run(pack).glob("*-00003.pdf")), tmp_path / "other.pdf"
    pikepdf.open(path).save(other)
    code, told = who(pack, other)
    assert (code, told["number"], told["untouched"], told["exact"]) == (0, 3, True, False)


def altered(path: Path, other: Path) -> None:
    """A digit's ink more on a page of it."""
    with pikepdf.open(path) as pdf:
        page = pdf.pages[3]
        page.contents_add(pdf.make_stream(b"0 g 300 400 20 20 re f"))
        pdf.save(other)


def appended(path: Path, other: Path) -> None:
    other.write_bytes(path.read_bytes() + b"% and more\n")


def renamed(path: Path, other: Path) -> None:
    """Another name of the same length in the stamp."""
    name, new = (text.encode("utf-16-be").hex().encode() for text in ("Ada Quill", "Odo Quill"))
    data = path.read_bytes()
    assert data.count(name) == 1
    other.write_bytes(data.replace(name, new))


def stripped(path: Path, other: Path) -> None:
    """The released file again: everything behind it is cut off."""
    data = path.read_bytes()
    other.write_bytes(data[: data.index(b"%%EOF\n") + 6])


@pytest.mark.parametrize("change", [altered, appended, renamed, stripped])
def test_a_copy_that_was_tampered_with_is_told(change: Any, pack: Path, tmp_path: Path) -> None:
    path, other = next(run(pack).glob("*-00001.pdf")), tmp_path / "other.pdf"
    change(path, other)
    code, told = who(pack, other)
    assert code == Exit.REFUSED
    assert not (told["exact"] and told["number"])


def test_a_strange_file_is_nobodys(pack: Path, tmp_path: Path, capsys: Any) -> None:
    other = tmp_path / "other.pdf"
    pdf = pypdf.PdfWriter()
    pdf.add_blank_page(200, 200)
    pdf.write(other)
    code, told = who(pack, other)
    assert (code, told["number"]) == (Exit.REFUSED, None)
    other.write_bytes(b"no pdf at all")
    assert cli.run(["copies", str(pack), "--who", str(other)]) == Exit.USAGE
    assert "is not a PDF" in capsys.readouterr().err
