"""The file's own format, judged by readers that are not ours: pypdf, and qpdf where it is."""

from __future__ import annotations

import io
import shutil
import subprocess

import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packbuilder.press.pdf_file import PdfFile, number, text_string


def written(words: list[str], data: bytes = b"0 0 m") -> bytes:
    """A file of one page that carries some texts in its information dictionary."""
    file = PdfFile()
    root, info, tree, page = (file.reserve() for _ in range(4))
    content = file.stream(data)
    file.put(tree, f"<</Type/Pages/Count 1/Kids[{page} 0 R]>>")
    file.put(page, f"<</Type/Page/Parent {tree} 0 R/MediaBox[0 0 9 9]/Contents {content} 0 R>>")
    file.put(root, f"<</Type/Catalog/Pages {tree} 0 R>>")
    entries = "".join(f"/W{k}{text_string(word)}" for k, word in enumerate(words))
    file.put(info, f"<<{entries}>>")
    first = file.reserve(3)
    file.fill(first, ["1", "2", "3"])
    out = io.BytesIO()
    file.write(out, root=root, info=info)
    return out.getvalue()


@given(st.lists(st.text(st.characters(codec="utf-8"), max_size=20), max_size=5))
def test_texts_come_back_as_they_went_in(words: list[str]) -> None:
    info = pypdf.PdfReader(io.BytesIO(written(words))).trailer["/Info"]
    assert [info[f"/W{k}"] for k in range(len(words))] == words


@given(st.binary(max_size=400))
def test_streams_come_back_as_they_went_in(data: bytes) -> None:
    page = pypdf.PdfReader(io.BytesIO(written([], data))).pages[0]
    assert page["/Contents"].get_object().get_data() == data


@pytest.mark.parametrize("count", [0, 1, 399, 400, 401, 1300])
def test_any_number_of_objects(count: int, tmp_path) -> None:
    file = PdfFile()
    root, info, tree = (file.reserve() for _ in range(3))
    file.put(tree, "<</Type/Pages/Count 0/Kids[]>>")
    file.put(info, "<<>>")
    numbers = [file.add(f"({k})") for k in range(count)]
    file.put(
        root, f"<</Type/Catalog/Pages {tree} 0 R/All[{' '.join(f'{n} 0 R' for n in numbers)}]>>"
    )
    out = io.BytesIO()
    file.write(out, root=root, info=info)
    reader = pypdf.PdfReader(io.BytesIO(out.getvalue()))
    assert [str(o.get_object()) for o in reader.trailer["/Root"]["/All"]] == [
        str(k) for k in range(count)
    ]
    if shutil.which("qpdf"):
        (tmp_path / "file.pdf").write_bytes(out.getvalue())
        run = subprocess.run(["qpdf", "--check", tmp_path / "file.pdf"], capture_output=True)
        assert run.returncode == 0, run.stderr


def test_the_identity_is_that_of_the_content() -> None:
    ids = {
        str(pypdf.PdfReader(io.BytesIO(written([word]))).trailer["/ID"][0])
        for word in ("a", "b", "a")
    }
    assert len(ids) == 2
    assert written(["a"]) == written(["a"])


@given(st.floats(-20_000, 20_000))
def test_numbers_are_short_and_near(value: float) -> None:
    text = number(value)
    assert abs(float(text) - value) <= 0.0051
    assert "e" not in text
    assert text in ("0", text.lstrip("+")) and not text.endswith(".") and text != "-0"
