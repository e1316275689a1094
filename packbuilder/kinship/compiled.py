"""The search for forms, compiled. Numpy and numba are imported here, so import this late."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
from numba.extending import register_jitable

from packbuilder.grid import latin
from packbuilder.kinship import canon
from packbuilder.kinship.marks import marked
from packbuilder.kinship.searching import Means, Search
from packbuilder.proof.compiling import announced, cached, without_cache


@cache
def means() -> Means:
    """The compiled search, ready to run. The first compile ever says so."""
    for helper in canon.HELPERS:
        register_jitable(helper)
    compiled = _means(cached(canon.forms))
    with announced("the search for kin"):
        try:
            _try(compiled)
        except Exception:  # a spoilt cache, a full disk: slower to start, but no less true
            compiled = _means(without_cache(compiled.run))
            _try(compiled)
    return compiled


def _means(run: Callable[..., None]) -> Means:
    return Means(words=_words, ints=_ints, table=_ints, packed=_packed, run=run)


def _try(means: Means) -> None:
    Search(marked(latin(4)), means).run([(1, 2, *[0] * 14)])


def _words(numbers: Any) -> Any:
    return np.array(numbers, np.uint64)


def _ints(numbers: Any) -> Any:
    return np.array(numbers, np.int64)


def _packed(row: Any) -> bytes:
    return bytes(row.astype("<i8").tobytes())
