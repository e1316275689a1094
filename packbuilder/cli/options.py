"""What the commands take: arguments, options, and how their words are read."""

from __future__ import annotations

import contextlib
import functools
import math
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from packbuilder.editions import PRINT
from packbuilder.errors import InputError
from packbuilder.phrases import shown

if TYPE_CHECKING:
    from packbuilder.grid import Geometry, Values
    from packbuilder.ladder.rungs import Ladder

PATH = click.Path(path_type=Path)
PACK = click.argument("pack", type=PATH)
JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
JSONL = click.option("--jsonl", is_flag=True, help="Print one JSON object a line instead.")
EDITION_NAMES = click.option(
    "--edition", "names", multiple=True, metavar="NAME", default=(PRINT.name,), show_default=True,
    help="A form of the pack, as `packbuilder editions` lists them; `all` for every one. May be "
    "given several times.",
)  # fmt: skip
SOURCE = click.argument("source", default="-")
NODES = click.IntRange(min=0, max=10**15)
MANY_SECONDS = 10.0**7


def shape_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """The two options that say what a grid is, where it is not 9x9 with blocks of 3x3."""
    size = click.option("--size", type=click.IntRange(4, 16), default=9, show_default=True)
    blocks = click.option(
        "--blocks",
        help="ROWSxCOLUMNS, `none` for a Latin square, or regions (a letter a cell, row by row); "
        "where left out, the usual block of the size.",
    )
    return size(blocks(command))


class Seconds(click.FloatRange):
    """A number of seconds. ``nan`` and ``inf`` are no numbers to wait for."""

    def convert(self, value: Any, param: Any, ctx: Any) -> float:
        """The seconds; fails as click fails."""
        seconds = super().convert(value, param, ctx)
        if not math.isfinite(seconds):
            self.fail(f"{value} is not a number of seconds", param, ctx)
        return float(seconds)


Bounds = tuple[int | None, float]
"""What ``--node-limit`` and ``--time-limit`` say."""


def limits(command: Callable[..., Any]) -> Callable[..., Any]:
    """The two options that bound a proof; the command gets them as its ``bounds``."""
    branches = click.option(
        "--node-limit", type=NODES, default=None,
        help="Guesses that the first proof may make, a grid.",
    )  # fmt: skip
    seconds = click.option(
        "--time-limit", type=Seconds(min=0, max=MANY_SECONDS), default=60.0, show_default=True,
        help="Seconds that the second proof may take, a grid.",
    )  # fmt: skip

    @functools.wraps(command)
    def bounded(*args: Any, node_limit: int | None, time_limit: float, **more: Any) -> Any:
        return command(*args, bounds=(node_limit, time_limit), **more)

    return branches(seconds(bounded))


CLUSTER = click.option(
    "--cluster", "address", metavar="ADDRESS",
    help="Work on the Dask cluster whose scheduler is there, such as tcp://10.0.0.5:8786.",
)  # fmt: skip


@contextlib.contextmanager
def workers_at(address: str | None) -> Iterator[dict[str, Any]]:
    """Who is to work, as the arguments ``workers`` and ``pool`` say it: a cluster's workers, or
    where there is no address those who always do. Raises InputError."""
    if address is None:
        yield {}
        return
    from packbuilder.cluster import connected

    with connected(address) as cluster:
        yield {"workers": cluster.workers, "pool": cluster.pool}


def nodes(limit: int | None) -> int:
    """The limit that ``--node-limit`` gives, or the usual one."""
    from packbuilder.proof import kernel

    return kernel.NODE_LIMIT if limit is None else limit


def ladder_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """The two options that change the ladder."""
    file = click.option(
        "--ladder", "ladder_file", type=PATH, metavar="FILE",
        help="Your changes to the ladder, as under `ladder:` in a manifest.",
    )  # fmt: skip
    unique = click.option(
        "--assume-unique", is_flag=True,
        help="Also use techniques that rest on the puzzle having one solution.",
    )  # fmt: skip
    return file(unique(command))


def read_geometry(size: int, blocks: str | None) -> Geometry:
    """The houses of a grid of that size. Raises InputError."""
    from packbuilder import grid

    try:
        return grid.read_blocks(blocks, size)
    except grid.GridFault as fault:
        raise InputError(f"--blocks: {fault}") from fault


def read_grid(text: str, blocks: str | None) -> tuple[Geometry, Values]:
    """A grid in one line of cells, and its houses. Raises InputError."""
    from packbuilder import grid

    cells = re.sub(r"\s", "", text)
    size = round(len(cells) ** 0.5)
    if size * size != len(cells) or not grid.MIN_SIZE <= size <= grid.MAX_SIZE:
        raise InputError(
            f"GRID has {len(cells)} cells; it needs 16, 25, 36, ... up to 256, row by row "
            "(81 for a 9x9 grid)"
        )
    try:
        return read_geometry(size, blocks), grid.parse_grid(cells, size)
    except grid.GridFault as fault:
        raise InputError(f"GRID: {fault}") from fault


def read_ladder(file: Path | None, assume_unique: bool) -> Ladder:
    """The ladder that the two options ask for. Raises InputError."""
    from packbuilder.ladder.overrides import chosen

    if file is None:
        return chosen({}, assume_unique)
    from packbuilder.manifest import load_ladder

    return chosen(load_ladder(file), assume_unique)


def read_span(text: str) -> tuple[int, int]:
    """``24-30`` as two numbers; one number is a span of itself. Raises InputError."""
    found = re.fullmatch(r"([0-9]{1,4})(?:-([0-9]{1,4}))?", text.strip())
    if not found:
        raise InputError(f"--clues {shown(text)}: write a number or LOW-HIGH, such as 24-30")
    return int(found[1]), int(found[2] or found[1])
