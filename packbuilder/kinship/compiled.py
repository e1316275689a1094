"""The search for forms, compiled. Numpy is imported here, so import this late."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np

from packbuilder.compiled import Kernel
from packbuilder.compiled.kernel import Example
from packbuilder.grid import latin
from packbuilder.kinship.marks import marked
from packbuilder.kinship.searching import PLAIN, Means, Search


@cache
def means() -> Means:
    """The compiled search, ready to run. The first compile ever says so."""
    run.ready()
    return _means(run)


def _means(run: Any) -> Means:
    return Means(words=_words, ints=_ints, table=_ints, packed=_packed, run=run)


def _words(numbers: Any) -> Any:
    return np.array(numbers, np.uint64)


def _ints(numbers: Any) -> Any:
    return np.array(numbers, np.int64)


def _packed(row: Any) -> bytes:
    return bytes(row.astype("<i8").tobytes())


def _example() -> Example:
    """Two clues in a Latin square of 4x4; the answer is that of the search in plain Python."""
    puzzle, grid = marked(latin(4)), (1, 2, *[0] * 14)
    expected = Search(puzzle, PLAIN).run([grid])
    caught: list[Any] = []
    Search(puzzle, _means(lambda *args: caught.extend(args))).run([grid])
    found = caught[-3]
    return tuple(caught), lambda _: found[0].tolist() == expected.forms[0]


run = Kernel("packbuilder.kinship.jitable:forms", ["packbuilder.kinship.canon"],
             "the search for kin", _example)  # fmt: skip
