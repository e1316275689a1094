"""Files made to harm: small ones that ask for any time, any memory, or end the program that reads
them. `python -m tests.readback.hostile` prints what becomes of each, with seconds and memory."""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
import textwrap
import threading
import time
import zlib
from collections.abc import Callable
from pathlib import Path

import pikepdf
from pikepdf import Array, Dictionary, Name

PACK = """
pack: {title: Tea House, issue: 2027-01, byline: Ada Quill}
puzzles:
  - {id: kettle, title: Kettle, size: 4, grid: "..3. ..2. .4.. .2.."}
"""
"""The smallest pack: what each file is held against."""

Make = Callable[[], bytes]


def _saved(pdf: pikepdf.Pdf, **how: object) -> bytes:
    out = io.BytesIO()
    pdf.save(out, **how)  # type: ignore[arg-type]
    return out.getvalue()


def _page(content: bytes = b"", resources: object = None, **more: object) -> pikepdf.Pdf:
    pdf = pikepdf.new()
    page = pdf.add_blank_page(page_size=(595, 842))
    page.obj.Contents = pdf.make_stream(content)
    if resources is not None:
        page.obj.Resources = resources  # type: ignore[assignment]
    for key, value in more.items():
        page.obj["/" + key] = value  # type: ignore[assignment]
    return pdf


def nested_forms(levels: int = 9, each: int = 10) -> bytes:
    """Each form paints ten of the next: a thousand million painted in the end."""
    pdf = pikepdf.new()
    pdf.add_blank_page(page_size=(595, 842))

    def form(content: bytes, **inner: object) -> object:
        resources = Dictionary(XObject=Dictionary(**inner)) if inner else Dictionary()  # type: ignore[arg-type]
        return pdf.make_stream(
            content, Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 9, 9], Resources=resources
        )

    last = form(b"0 0 9 9 re f")
    for _ in range(levels):
        last = form(b"/F Do " * each, F=last)
    page = pdf.pages[0].obj
    page.Resources = Dictionary(XObject=Dictionary(F=last))  # type: ignore[arg-type]
    page.Contents = pdf.make_stream(b"/F Do " * each)
    return _saved(pdf)


def own_form() -> bytes:
    pdf = _page(b"/F Do")
    form = pdf.make_stream(b"/F Do", Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 9, 9])
    form.Resources = Dictionary(XObject=Dictionary(F=form))
    pdf.pages[0].obj.Resources = Dictionary(XObject=Dictionary(F=form))
    return _saved(pdf)


def flood(operators: bytes, times: int) -> bytes:
    """Content that is a thousand times what the file has of it."""
    return _saved(_page(operators * times))


def bomb() -> bytes:
    """Packed twice: a thousand times a thousand."""
    pdf = pikepdf.new()
    pdf.add_blank_page(page_size=(595, 842))
    twice = zlib.compress(zlib.compress(bytes(2_000_000_000 // 8), 9), 9)
    stream = pdf.make_stream(b"")
    stream.write(twice, filter=[Name.FlateDecode, Name.FlateDecode])
    pdf.pages[0].obj.Contents = stream
    return _saved(pdf)


def wide_page() -> bytes:
    return _saved(_page(b"0 0 9 9 re f", MediaBox=Array([0, 0, 14_400_000, 14_400_000])))


def wide_image() -> bytes:
    pdf = _page(b"500 0 0 500 0 0 cm /I Do")
    image = pdf.make_stream(
        b"\0", Type=Name.XObject, Subtype=Name.Image, Width=60_000, Height=60_000,
        ColorSpace=Name.DeviceRGB, BitsPerComponent=8,
    )  # fmt: skip
    pdf.pages[0].obj.Resources = Dictionary(XObject=Dictionary(I=image))
    return _saved(pdf)


def said_of_codes() -> bytes:
    """A font whose codes, four thousand million of them, are said in one line."""
    words = b"1 begincodespacerange <00000000><FFFFFFFF> endcodespacerange\n"
    words += b"1 beginbfrange <00000000><FFFFFFFF><0041> endbfrange\n" * 99
    pdf = _page(b"BT /F 9 Tf 9 9 Td (AAAA) Tj ET")
    letters = Dictionary(
        Type=Name.Font, Subtype=Name.CIDFontType2, BaseFont=Name.Helvetica,
        CIDSystemInfo=Dictionary(Registry="Adobe", Ordering="Identity", Supplement=0),
        W=Array([0, 2_000_000_000, 500] * 99),
    )  # fmt: skip
    pdf.pages[0].obj.Resources = Dictionary(
        Font=Dictionary(
            F=Dictionary(
                Type=Name.Font, Subtype=Name.Type0, BaseFont=Name.Helvetica,
                Encoding=Name("/Identity-H"), DescendantFonts=Array([pdf.make_indirect(letters)]),
                ToUnicode=pdf.make_stream(words),
            )
        )
    )  # fmt: skip
    return _saved(pdf)


def tags_in_a_ring() -> bytes:
    """Elements that hold each other, many times over."""
    pdf = _page(b"/P <</MCID 0>> BDC EMC", StructParents=0)
    root = pdf.make_indirect(Dictionary(Type=Name.StructTreeRoot))
    one = pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Sect, P=root))
    other = pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Sect, P=one))
    one.K, other.K = Array([other] * 50), Array([one] * 50 + [0])  # type: ignore[list-item]
    other.Pg = pdf.pages[0].obj
    root.K, root.ParentTree = one, Dictionary(Nums=Array([0, Array([other])]))
    pdf.Root.StructTreeRoot, pdf.Root.MarkInfo = root, Dictionary(Marked=True)
    return _saved(pdf)


def bookmarks_in_a_ring() -> bytes:
    pdf = _page()
    one = pdf.make_indirect(Dictionary(Title="One", Dest=Array([pdf.pages[0].obj, Name.Fit])))
    other = pdf.make_indirect(Dictionary(Title="Other", Next=one, First=one, Last=one))
    one.Next, one.First, one.Last = other, other, other
    pdf.Root.Outlines = Dictionary(First=one, Last=other, Count=2)
    return _saved(pdf)


def pages_in_a_ring() -> bytes:
    pdf = _page()
    pages = pdf.Root.Pages
    pages.Kids, pages.Count = Array([pages, pages]), 2_000_000_000
    return _saved(pdf)


def many_pages() -> bytes:
    pdf = _page()
    page = pdf.pages[0].obj
    pdf.Root.Pages.Kids, pdf.Root.Pages.Count = Array([page] * 200_000), 200_000
    return _saved(pdf, object_stream_mode=pikepdf.ObjectStreamMode.generate)


def many_notes() -> bytes:
    note = Dictionary(Type=Name.Annot, Subtype=Name.Widget, Rect=[0, 0, 9, 9], FT=Name.Tx)
    pdf = _page()
    pdf.pages[0].obj.Annots = Array([pdf.make_indirect(note)] * 2_000_000)  # type: ignore[list-item]
    return _saved(pdf)


def deep() -> bytes:
    """Arrays within each other, in bytes, since a library would not write them."""
    whole = _saved(_page(Deep=Name.Here))
    return whole.replace(b"/Here", b"[" * 200_000 + b"]" * 200_000)


def brackets() -> bytes:
    """A file of nothing else, as large as may be."""
    return b"%PDF-1.7\n1 0 obj\n" + b"[" * 20_000_000 + b"\n%%EOF"


def shaded() -> bytes:
    """A pattern of tiny tiles over a page, each with a shading that calls a function of streams."""
    pdf = _page(b"/Pattern cs /P scn 0 0 595 842 re f")
    tile = pdf.make_stream(
        b"0 0 1 1 re f " * 5_000, Type=Name.Pattern, PatternType=1, PaintType=1, TilingType=1,
        BBox=[0, 0, 500, 500], XStep=0.001, YStep=0.001, Resources=Dictionary(),
    )  # fmt: skip
    pdf.pages[0].obj.Resources = Dictionary(Pattern=Dictionary(P=tile))
    return _saved(pdf)


HOSTILE: dict[str, Make] = {
    "forms within forms": nested_forms,
    "a form within itself": own_form,
    "a flood of operators": lambda: flood(b"q Q ", 15_000_000),
    "a flood of paths": lambda: flood(b"0 0 9 9 re f ", 5_000_000),
    "a flood of dashes": lambda: flood(b"[.001 .001] 0 d 0 0 m 9999 9999 l S ", 200_000),
    "a stack without end": lambda: flood(b"q ", 20_000_000),
    "packed twice": bomb,
    "a wide page": wide_page,
    "a wide image": wide_image,
    "codes said in ranges": said_of_codes,
    "tags in a ring": tags_in_a_ring,
    "bookmarks in a ring": bookmarks_in_a_ring,
    "pages in a ring": pages_in_a_ring,
    "many pages": many_pages,
    "many fields": many_notes,
    "arrays in arrays": deep,
    "brackets": brackets,
    "tiny tiles": shaded,
}


def write_pack(place: Path) -> Path:
    """The pack in a folder of its own: what lies beside it is compared with it."""
    folder = place / "alone" / "tea-house"
    folder.mkdir(parents=True)
    (folder / "manifest.yaml").write_text(textwrap.dedent(PACK), encoding="utf-8")
    return folder


def ask(file: Path, pack: Path) -> tuple[int, str, float, float]:
    """The exit code and the last words of `readback`, its processor's seconds and its most memory,
    in MB."""
    import resource

    import psutil

    def used() -> float:
        spent = resource.getrusage(resource.RUSAGE_CHILDREN)
        return spent.ru_utime + spent.ru_stime

    begun, most = used(), [0]
    command = [sys.executable, "-m", "packbuilder.cli", "readback", str(file), "--against"]
    run = subprocess.Popen(
        [*command, str(pack)], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )

    def watch() -> None:
        while run.poll() is None:
            try:
                every = [(one := psutil.Process(run.pid)), *one.children(recursive=True)]
                most[0] = max(most[0], sum(one.memory_info().rss for one in every))
            except psutil.Error:
                pass
            time.sleep(0.02)

    watcher = threading.Thread(target=watch)
    watcher.start()
    words = run.communicate()[0].strip().splitlines()
    watcher.join()
    return run.returncode, words[-1] if words else "", used() - begun, most[0] / 1e6


def main(folders: list[str]) -> None:
    """The files of this table, then those of folders."""
    with tempfile.TemporaryDirectory() as place:
        pack = write_pack(Path(place))
        files = []
        for name, make in HOSTILE.items():
            files.append(pack / f"{name}.pdf")
            files[-1].write_bytes(make())
        files += [path for one in folders for path in sorted(Path(one).glob("*.pdf"))]
        for file in files:
            code, words, seconds, megabytes = ask(file, pack)
            words = words.removeprefix(f"{file.name}: ")[:70]
            print(f"{file.stem:28} {file.stat().st_size:9,} bytes  exit {code}  {seconds:5.1f} s  "
                  f"{megabytes:4.0f} MB  {words}", flush=True)  # fmt: skip


if __name__ == "__main__":
    main(sys.argv[1:])
