"""Copies of a pack of sixty pages, in a process of their own so that its memory can be told."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from packbuilder.editions import PRINT
from packbuilder.pages import plan_book
from packbuilder.press import write_pdf
from packbuilder.supporters.copies import Maker, Order, make_copies
from packbuilder.supporters.people import Supporter
from tests.benchmarks import Row
from tests.benchmarks.month import month

MANY, TURN, SEALED, ROUNDS = 10_000, 2_000, 100, 3


def rows() -> list[Row]:
    """What was measured, the figure, the target."""
    out = io.BytesIO()
    write_pdf(plan_book(month()), out)
    data, name = out.getvalue(), "month-print.pdf"
    maker = Maker(data, Order(Path(name), PRINT, []))
    tail = len(maker.master.tail(maker.words(12345, "Wilhelmina Featherstone").text))
    made = again = disk = 0.0
    spent = float("inf")
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        (folder / name).write_bytes(data)
        for _ in range(ROUNDS):  # turn and turn about: a disk has its moods
            rate, _, processor = _in_a_process(folder, TURN, "")
            made, spent = max(made, rate), min(spent, processor)
            again = max(again, _in_a_process(folder, TURN, "")[0])
            disk = max(disk, _disk(data, folder / "copies", TURN))
        many = _in_a_process(folder, MANY, "")
        shutil.rmtree(folder / "copies")
        sealed = _in_a_process(folder, SEALED, "geheim")[0]
    what = f"copies: {TURN:,} of a 60-page pack of {len(data) / 1e3:.0f} kB"
    return [
        Row(f"{what}, start and sample included", f"{made:,.0f} a second", "2,000 a second"),
        Row(
            "copies: processor time of each, sample included", f"{spent * 1e3:.2f} ms", "under 1 ms"
        ),
        Row("copies: the same files by the disk alone, same run", f"{disk:,.0f} a second"),
        Row("copies: all there already, compared byte for byte", f"{again:,.0f} a second"),
        Row(f"copies: highest memory with {MANY:,}", f"{many[1]:.0f} MB", "under 300 MB"),
        Row("copies: bytes that a copy has more than the released file", f"{tail}", "under 1,000"),
        Row("copies: with a password (AES-256)", f"{sealed:,.0f} a second", "20 a second"),
    ]


def _in_a_process(folder: Path, count: int, password: str) -> tuple[float, float, float]:
    """Copies a second, the process's memory in MB, and its seconds of processor time for a copy."""
    module = "tests.benchmarks.bench_copies"
    command = [sys.executable, "-m", module, str(folder), str(count), password]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    rate, memory, processor = map(float, run.stdout.split())
    return rate, memory, processor


def _disk(data: bytes, folder: Path, count: int) -> float:
    """Files a second, written one after another and moved into place; none is left."""
    for file in folder.glob("*.pdf"):
        file.unlink()
    start = time.perf_counter()
    for k in range(count):
        draft = folder / "draft"
        with draft.open("wb", buffering=0) as out:
            out.write(data)
        draft.replace(folder / f"{k}.pdf")
    rate = count / (time.perf_counter() - start)
    for file in folder.glob("*.pdf"):
        file.unlink()
    return rate


def _measure(folder: Path, count: int, password: str) -> None:
    people = [Supporter(k, f"Supporter Number {k}") for k in range(2, count + 2)]
    file = folder / "month-print.pdf"
    data, start, spent = file.read_bytes(), time.perf_counter(), time.process_time()
    make_copies(data, Order(file, PRINT, people, password or None), folder / "copies")
    rate = count / (time.perf_counter() - start)
    peak = re.search(r"VmHWM:\s+(\d+)", Path(f"/proc/{os.getpid()}/status").read_text())
    processor = (time.process_time() - spent) / count
    print(rate, int(peak[1]) / 1e3 if peak else 0, processor)


if __name__ == "__main__":
    _measure(Path(sys.argv[1]), int(sys.argv[2]), sys.argv[3])
