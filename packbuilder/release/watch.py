"""Watch: when something that a pack is made from has changed, and is at rest again.

The folder is looked at a few times a second, file by file: a pack has a handful. That works on
every file system, network drives included, and a change that comes while a build runs is seen by
the next look.
"""

from __future__ import annotations

import os
import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from packbuilder.editions import EDITIONS
from packbuilder.release import record

PERIOD = 0.3
"""Seconds between two looks. A file that an editor is still writing is another at the next one."""

_MADE = re.compile(rf"-({'|'.join(EDITIONS)})(-\d+(-.*)?)?\.(pdf|txt)$")
"""How the name of a released file ends, or of a copy of one."""

Snapshot = dict[str, tuple[int, int, int]]
"""By path: when a file was changed, in nanoseconds, its size, and which file it is."""


def snapshot(folder: Path, out: Path, *others: Path) -> Snapshot:
    """The files of a pack's folder, and of other folders (without their subfolders), as they are.

    What is released into ``out``, copies of it, and hidden files, are left out.
    """
    found: Snapshot = {}
    released = os.path.realpath(out)
    for place, folders, names in os.walk(folder):
        folders[:] = [
            n for n in folders if n[0] != "." and os.path.realpath(Path(place, n)) != released
        ]
        for name in names:
            if name != record.NAME and not _MADE.search(name):
                _note(Path(place, name), found)
    for other in others:
        for path in sorted(other.glob("*.yaml")):
            _note(path, found)
    return found


def layout_folders() -> tuple[Path, ...]:
    """The folders of the layouts that come with packbuilder."""
    from packbuilder.layouts import available

    return tuple(dict.fromkeys(one.file.parent for one in available()))


def changes(
    see: Callable[[], Snapshot], wait: Callable[[], None] = lambda: time.sleep(PERIOD)
) -> Iterator[None]:
    """At once, and then each time that something has changed and two looks in a row agree."""
    seen = see()
    yield
    while True:
        wait()
        now = see()
        if now == seen:
            continue
        wait()
        while (later := see()) != now:
            now = later
            wait()
        seen = now
        yield


def _note(path: Path, found: Snapshot) -> None:
    try:
        facts = path.stat()
    except OSError:  # gone since it was listed
        return
    if not path.name.startswith("."):
        found[str(path)] = facts.st_mtime_ns, facts.st_size, facts.st_ino
