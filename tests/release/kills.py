"""Builds that are stopped or killed at random moments: what they say is true, their processes end
with them, and the next build in the folder leaves nothing of them behind.

`python -m tests.release.kills 100 [SEED]` stops so many and prints what was wrong.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import psutil

MANIFEST = """
pack: {{title: Tea House {number}, issue: 2027-01, byline: Ada Quill}}
puzzles:
  - {{id: cup, title: Cup, size: 4, grid: "..3. ..2. .4.. .2.."}}
"""
EDITIONS = ("print", "booklet", "sampler")
"""So many that other processes make them."""
KILL = getattr(signal, "SIGKILL", signal.SIGTERM)
SIGNALS = (KILL, KILL, signal.SIGINT, signal.SIGTERM)
RELEASED, NOT_RELEASED = "had got all new files", "nothing was released"
EACH = 5
"""After so many a build may come to its end."""
GONE = 30.0
"""Seconds in which all processes of a run that was killed must have ended."""


def builds(folder: Path, number: int) -> subprocess.Popen[str]:
    """A build of a pack that is another one each time, under way."""
    folder.mkdir(exist_ok=True)
    (folder / "manifest.yaml").write_text(MANIFEST.format(number=number), encoding="utf-8")
    names = [word for name in EDITIONS for word in ("--edition", name)]
    return subprocess.Popen(
        [sys.executable, "-m", "packbuilder.cli", "build", str(folder), *names],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
    )  # fmt: skip


def state(out: Path) -> dict[str, str]:
    """The released files, by their digests."""
    if not out.is_dir():
        return {}
    files = [path for path in sorted(out.iterdir()) if path.is_file() and path.name[0] != "."]
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def is_whole(out: Path, number: int) -> bool:
    """Whether there is a release of the pack with that number, all of it and nothing else."""
    found = state(out)
    if "release.json" not in found:
        return False
    record = json.loads((out / "release.json").read_text(encoding="utf-8"))
    told = {one["name"]: one["sha256"] for one in record["files"]}
    del found["release.json"]
    return found == told and len(told) == len(EDITIONS) and record["title"].endswith(f" {number}")


def stopped(folder: Path, number: int, rng: random.Random, seconds: float) -> Iterator[str]:
    """Stop a build at a random moment, half of the time near its end; what was wrong then."""
    out, what = folder / "out", rng.choice(SIGNALS)
    before, run = state(out), builds(folder, number)
    assert run.stdout is not None
    said = ""
    if rng.random() < 0.5:
        for line in run.stdout:
            said += line
            if f"the {EDITIONS[-1]} edition is set" in line:
                break
        time.sleep(rng.uniform(0, 0.15))
    else:
        time.sleep(rng.uniform(0, seconds))
    own = psutil.Process(run.pid)
    try:
        children = own.children(recursive=True)
        run.send_signal(what)
    except psutil.Error:
        children = []
    try:
        said += run.communicate(timeout=GONE * 9)[0]
    except subprocess.TimeoutExpired:
        yield f"{number}: {what.name}: its output is held open"
        return
    for one in psutil.wait_procs(children, GONE)[1]:
        yield f"{number}: {what.name}: process {one.pid} lives on"
    after = state(out)
    if not said or said.rstrip().endswith("KeyboardInterrupt"):
        # before the program had begun, Python itself ended it
        if after != before:
            yield f"{number}: {what.name}: it is released, and it says nothing"
    elif "Traceback" in said or "fault of its own" in said:
        yield f"{number}: {what.name}: {said}"
    elif run.returncode == 0 or RELEASED in said:
        if not is_whole(out, number):
            yield f"{number}: {what.name}: it is not released: {said}"
    elif NOT_RELEASED in said and after != before:
        yield f"{number}: {what.name}: it is released: {said}"
    elif what != KILL and NOT_RELEASED not in said:
        yield f"{number}: {what.name}: exit {run.returncode}, and it says nothing: {said}"


def mended(folder: Path, number: int) -> Iterator[str]:
    """Build once more, to the end; what is wrong then."""
    said = builds(folder, number).communicate()[0]
    if not is_whole(folder / "out", number):
        yield f"{number}: the next run does not release it: {said}"
        return
    if left := [path.name for path in (folder / "out").iterdir() if path.name[0] == "."]:
        yield f"{number}: the next run leaves {left}"


def main(count: int, seed: int) -> None:
    rng = random.Random(seed)
    wrong = done = 0
    with tempfile.TemporaryDirectory() as place, contextlib.suppress(KeyboardInterrupt):
        folder = Path(place) / "kites"
        begun = time.monotonic()
        some = list(mended(folder, 0))
        seconds = time.monotonic() - begun
        for number in range(1, count + 1):
            some += stopped(folder, 2 * number - 1, rng, seconds)
            if number % EACH == 0:
                some += mended(folder, 2 * number)
            for words in some:
                print(words, flush=True)
            wrong, done, some = wrong + len(some), number, []
    print(f"{done} builds stopped; {wrong} things wrong")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1)
