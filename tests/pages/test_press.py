"""The finished file, judged by other libraries and programs than the one that wrote it."""

from __future__ import annotations

import hashlib
import io
import os
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pdfplumber
import pypdf
import pytest

from packbuilder.errors import InputError
from packbuilder.typography.typeface import width
from tests.pages.sample_book import sample_book, with_pack
from tests.printing import print_book

ROOT = Path(__file__).resolve().parent.parent.parent
SETTINGS = [
    ("a4", "one-up"), ("a4", "two-up"), ("a4", "four-up"), ("letter", "one-up"),
    ("letter", "two-up"), ("letter", "four-up"), ("a5", "one-up"),
]  # fmt: skip
# ISO 216 in millimetres; ANSI/ASME Y14.1 size A in inches
PAPER_MM = {"a4": (210, 297), "a5": (148, 210), "letter": (8.5 * 25.4, 11 * 25.4)}


LEADS = {"First hint": "First hints", "Second hint": "Second hints", "Third hint": "Third hints",
         "Answer": "Answers", "Puzzle": "Puzzles"}  # fmt: skip


@cache
def printed(paper: str = "a4", layout: str = "one-up", large: bool = False) -> bytes:
    out = io.BytesIO()
    print_book(sample_book(paper, layout, large), out)
    return out.getvalue()


def reader(*setting: Any) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(printed(*setting)))


def run(tool: str, *args: str) -> str:
    if shutil.which(tool) is None:
        pytest.skip(f"{tool} is not installed")
    return subprocess.run([tool, *args], capture_output=True, text=True, check=True).stdout


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("press") / "sample.pdf"
    path.write_bytes(printed("a4", "one-up", True))
    return path


def test_qpdf_finds_nothing_wrong(file: Path) -> None:
    assert "No syntax or stream encoding errors" in run("qpdf", "--check", str(file))


def test_poppler_sees_every_font_embedded_and_none_else(file: Path) -> None:
    rows = run("pdffonts", str(file)).splitlines()[2:]
    assert rows
    for row in rows:
        assert re.match(r"[A-Z]{6}\+Source(Sans|Serif)Pro-\w+ ", row), row
        assert re.search(r"\byes yes yes\b", row), f"not embedded, subset and searchable: {row}"


@pytest.mark.parametrize(("paper", "layout"), SETTINGS)
def test_paper_has_its_published_size(paper: str, layout: str) -> None:
    width, height = (side / 25.4 * 72 for side in PAPER_MM[paper])
    for page in reader(paper, layout).pages:
        assert float(page.mediabox.width) == pytest.approx(width, abs=0.1)
        assert float(page.mediabox.height) == pytest.approx(height, abs=0.1)


def test_same_bytes_in_another_process_zone_and_seed() -> None:
    script = (
        "import hashlib, io; from tests.printing import print_book\n"
        "from tests.pages.sample_book import sample_book\n"
        "out = io.BytesIO(); print_book(sample_book(), out)\n"
        "print(hashlib.sha256(out.getvalue()).hexdigest())"
    )
    # what could leak in: the zone, the seed, reportlab's own settings, the date of a rebuild
    odd = {
        "TZ": "Asia/Kathmandu", "PYTHONHASHSEED": "12345", "SOURCE_DATE_EPOCH": "1234567890",
        "RL_useA85": "1", "RL_invariant": "0", "RL_pageCompression": "0", "RL_pdfComments": "1",
        "RL_ttfAsciiReadable": "0", "LC_ALL": "C", "RL_canvas_basefontname": "Courier",
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", script],
        env=os.environ | odd, cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert done.stdout.strip() == hashlib.sha256(printed()).hexdigest()


def test_other_content_has_another_identity() -> None:
    first, second = reader().trailer["/ID"], reader("letter").trailer["/ID"]
    assert first[0] != second[0]


def test_streams_are_not_armoured() -> None:
    assert b"ASCII85Decode" not in printed()  # it would add a fifth to the file


def test_titles_are_kerned() -> None:
    face, size = "SourceSerifPro-Semibold", 62
    with pdfplumber.open(io.BytesIO(printed())) as pdf:
        title = [c for c in pdf.pages[0].chars if c["size"] == size][:-1]  # a blank ends each line
    assert "".join(c["text"] for c in title) == "Harbour Lights"
    wide = title[-1]["x1"] - title[0]["x0"]
    assert wide == pytest.approx(width("Harbour Lights", face, size), abs=0.1)
    apart = sum(width(letter, face, size) for letter in "Harbour Lights")
    assert wide < apart - 1


def test_reportlab_is_left_as_it_was() -> None:
    from reportlab import rl_config

    rl_config.useA85 = 1
    print_book(sample_book(), io.BytesIO())
    assert rl_config.useA85 == 1


def test_metadata_language_and_what_the_viewer_is_asked() -> None:
    pdf = reader()
    assert pdf.metadata is not None
    assert pdf.metadata.title == "Harbour Lights"
    assert pdf.metadata.author == "Imre Castellane"
    assert "December 2026" in str(pdf.metadata.subject)
    assert pdf.metadata["/CreationDate"] == "D:20261201000000Z"
    root = pdf.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert str(root["/ViewerPreferences"]["/DisplayDocTitle"]).lower() == "true"


def test_page_labels_are_the_printed_folios() -> None:
    pdf = reader()
    count = len(pdf.pages)
    assert pdf.page_labels == ["Cover", *(str(k) for k in range(2, count + 1))]
    with pdfplumber.open(io.BytesIO(printed())) as pages:
        for page in pages.pages[1:]:
            foot = [w["text"] for w in page.extract_words() if w["bottom"] > page.height - 60]
            outer = foot[-1] if page.page_number % 2 else foot[0]
            assert outer == str(page.page_number)


def test_links_lead_from_tier_to_tier() -> None:
    pdf = reader()
    place = {page.indirect_reference.idnum: page for page in pdf.pages}
    seen, text = set(), cache(lambda number: place[number].extract_text())
    for page in pdf.pages:
        for annotation in page.get("/Annots", ()):
            link = annotation.get_object()
            label = link.get("/Contents", "").partition(":")[0]
            if label in LEADS:
                goal = text(pdf.named_destinations[link["/Dest"]].dest_array[0].idnum)
                assert LEADS[label] in [x.strip() for x in goal.splitlines()[:2]], label
                seen.add(label)
    assert seen == LEADS.keys()


def test_a_pack_without_puzzles_is_refused() -> None:
    with pytest.raises(InputError, match="no puzzles"):
        print_book(replace(sample_book(), entries=()), io.BytesIO())


def test_the_title_of_the_metadata_is_well_formed_xml() -> None:
    book = with_pack(sample_book(), title="Tea & <Toast> (at 5 \\ 6)")
    out = io.BytesIO()
    print_book(book, out)
    pdf = pypdf.PdfReader(out)
    xmp = ElementTree.fromstring(pdf.trailer["/Root"]["/Metadata"].get_object().get_data())
    spaces = {"dc": "http://purl.org/dc/elements/1.1/",
              "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#"}  # fmt: skip
    told = xmp.find(".//dc:title/rdf:Alt/rdf:li", spaces)
    assert told is not None
    assert told.text == pdf.metadata.title == "Tea & <Toast> (at 5 \\ 6)"


def test_names_ascend_and_the_next_key_is_free() -> None:
    """As ISO 32000-1 has it: 7.9.6, keys of a name tree; 14.7.2, ParentTreeNextKey."""
    root = reader().trailer["/Root"]
    names = [str(name) for name in root["/Names"]["/Dests"]["/Names"][::2]]
    assert names == sorted(names)
    assert len(set(names)) == len(names)
    tree = root["/StructTreeRoot"]
    keys = [int(key) for key in tree["/ParentTree"]["/Nums"][::2]]
    assert keys == sorted(set(keys))
    assert tree["/ParentTreeNextKey"] > keys[-1]
