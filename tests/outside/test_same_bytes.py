"""The same book gives the same bytes, wherever and whenever it is made."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from packbuilder.editions import EDITIONS
from tests.conftest import ROOT

SCRIPT = """
import hashlib, json, sys
sys.path.insert(0, sys.argv[1])
from packbuilder.editions import EDITIONS
from tests.outside.prints import edited, printed
sums = {name: hashlib.sha256(printed(edited(name))).hexdigest() for name in EDITIONS}
print(json.dumps(sums))
"""

HERE = {"TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "1", "LANG": "C", "LC_ALL": "C"}
THERE = {"TZ": "America/St_Johns", "PYTHONHASHSEED": "424242", "LANG": "C.UTF-8",
         "LC_ALL": "C.UTF-8", "PYTHONUTF8": "1", "USER": "somebody",
         "SOURCE_DATE_EPOCH": "1000000000"}  # fmt: skip


def test_every_edition_has_the_same_bytes_in_two_places(tmp_path: Path) -> None:
    # both make the book anew, from the manifests: zone, seed, locale and folder are not the same
    both = [_making(HERE, ROOT), _making(THERE, tmp_path)]
    first, second = (_made(one) for one in both)
    assert first == second
    assert len(set(first.values())) == len(EDITIONS)


def _making(around: dict[str, str], folder: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", SCRIPT, str(ROOT)],
        env=os.environ | around, cwd=folder, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip


def _made(making: subprocess.Popen[str]) -> dict[str, str]:
    told, _ = making.communicate(timeout=300)
    assert making.returncode == 0
    found: dict[str, str] = json.loads(told)
    return found
