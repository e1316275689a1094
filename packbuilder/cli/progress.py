"""What commands say: JSON on standard output; progress and complaints on standard error."""

from __future__ import annotations

import contextlib
import json
import os
import sys
from collections.abc import Callable, Iterator
from typing import BinaryIO

import click


def print_json(document: object) -> None:
    """The one JSON document of a command."""
    text = json.dumps(document, ensure_ascii=False, indent=2)
    try:
        text.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:  # it still is the same document
        text = json.dumps(document, indent=2)
    click.echo(text)


MOST_TOLD = 50
"""Faults that are told in full; more of them are counted."""


def complain(words: str) -> None:
    """Say something of one line, and go on."""
    click.echo(words, err=True)


def line_count(file: BinaryIO) -> int | None:
    """About how many grids a file holds, from its size; None for a pipe."""
    try:
        return os.fstat(file.fileno()).st_size // 82 or None
    except (OSError, ValueError, AttributeError):
        return None


@contextlib.contextmanager
def progress(words: str, total: int | None) -> Iterator[Callable[[int], None]]:
    """A progress bar on standard error where that is a terminal; else nothing."""
    if not sys.stderr.isatty():
        yield lambda _more: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(words, total=total)
        yield lambda more: bar.advance(task, more)
