"""Staging: files are made aside and moved into place together, or not at all.

A run may be killed at any moment. What is to be moved is written down first, beside the files that
are to go: the next run in the folder moves what is left of it, and clears away what a killed run
made and did not get to move.
"""

from __future__ import annotations

import contextlib
import filecmp
import json
import os
import shutil
import signal
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from threading import current_thread, main_thread

from packbuilder.errors import InputError, Unfinished
from packbuilder.files import is_plain_name, out_of_room, read_json
from packbuilder.release.locks import alone

NOT_RELEASED = "nothing was released"

moved: list[Path] = []
"""The folders that this run has moved finished files into: whoever stops it is told so."""

_ASIDE, _MOVES, _EARLIER = ".making-", "moves.json", "earlier"


@contextlib.contextmanager
def staging(out: Path, outcome: str = NOT_RELEASED, option: str = "--out") -> Iterator[Path]:
    """A new folder inside ``out``, gone at the end; so is ``out`` if it was made for nothing.

    Raises InputError where ``out`` cannot be written to or another run is at work in it, and
    Unfinished where the disk is full; ``outcome`` says in either sentence what came of it, and
    ``option`` is the one that names ``out``.
    """
    made: list[Path] = []
    aside: Path | None = None
    try:
        if out.exists() and not out.is_dir():
            raise InputError(f"{out}: is a file; name a folder with {option}")
        made += [folder for folder in (out, *out.parents) if not folder.exists()]
        out.mkdir(parents=True, exist_ok=True)
        with alone(out):
            _settle(out)
            aside = Path(tempfile.mkdtemp(prefix=_ASIDE, dir=out))
            try:
                yield aside
            finally:
                shutil.rmtree(aside, ignore_errors=True)
    except OSError as fault:
        raise disk_fault(fault, out, outcome) from fault
    finally:
        for folder in made:
            with contextlib.suppress(OSError):
                folder.rmdir()  # only where nothing was released into it


def settled(out: Path) -> None:
    """Finish what a killed run began to move into a folder, if one did.

    Raises InputError where another run is at work there.
    """
    if any(out.glob(f"{_ASIDE}*/{_MOVES}")):
        with alone(out):
            _settle(out)


def move_in(made: Sequence[Path], out: Path, outdated: Sequence[Path] = ()) -> tuple[Path, ...]:
    """Move finished files out of their staging folder into ``out``; take ``outdated`` ones away.

    If any of it fails ``out`` is as it was; an interrupt waits until all is done. A file that is
    there already, byte for byte, is left alone. Gives the files' new places.
    """
    aside, places = made[0].parent, [out / path.name for path in made]
    for place in places:
        if place.is_symlink() or (place.exists() and not place.is_file()):
            raise InputError(
                f"{place}: stands where a file of the release goes; move it away, "
                "or name another folder"
            )
    new = [p.name for p, at in zip(made, places, strict=True) if not _same(p, at)]
    old = [place.name for place in outdated if place.exists()]
    earlier = aside / _EARLIER
    earlier.mkdir()
    _write_down(aside, new, old)
    with _uninterrupted():
        try:
            _move(aside, out, new, old)
        except BaseException:
            for name in (*new, *old):
                if not (aside / name).exists() and name in new:
                    (out / name).replace(aside / name)
                if (earlier / name).exists():
                    (earlier / name).replace(out / name)
            (aside / _MOVES).unlink()
            raise
        (aside / _MOVES).unlink()
        moved.append(out)
    return tuple(places)


@contextlib.contextmanager
def _uninterrupted() -> Iterator[None]:
    """Hold back whatever would end the run: to move takes no time, and what is said afterwards of
    what was released must be true."""
    if current_thread() is not main_thread():  # only that one is interrupted
        yield
        return
    names = ("SIGINT", "SIGTERM", "SIGHUP")
    signals = [getattr(signal, name) for name in names if hasattr(signal, name)]
    held = list[int]()
    before = [signal.signal(one, lambda number, _: held.append(number)) for one in signals]
    try:
        yield
    finally:
        for one, handler in zip(signals, before, strict=True):
            signal.signal(one, handler)
    if held:
        raise KeyboardInterrupt


def _same(one: Path, other: Path) -> bool:
    return other.exists() and filecmp.cmp(one, other, shallow=False)


def _write_down(aside: Path, new: Sequence[str], old: Sequence[str]) -> None:
    draft = aside / f"{_MOVES}.draft"
    draft.write_text(json.dumps({"new": new, "old": old}), encoding="utf-8", newline="\n")
    draft.replace(aside / _MOVES)


def _move(aside: Path, out: Path, new: Sequence[str], old: Sequence[str]) -> None:
    """Move what has not been moved yet. At no moment is a name of the release without a file."""
    earlier = aside / _EARLIER
    for name in old:
        if (out / name).exists():
            (out / name).replace(earlier / name)
    for name in new:
        if (aside / name).exists():
            _keep(out / name, earlier / name)
            (aside / name).replace(out / name)


def _keep(place: Path, earlier: Path) -> None:
    """Let a file have another name too; where the file system cannot, only that one."""
    if not place.exists() or earlier.exists():
        return
    try:
        os.link(place, earlier)
    except OSError:
        place.replace(earlier)


def _settle(out: Path) -> None:
    """Move what killed runs had written down, and clear away what they made."""
    for aside in sorted(out.glob(f"{_ASIDE}*")):
        if aside.is_dir() and not aside.is_symlink():
            if (aside / _MOVES).is_file():
                _move(aside, out, *_written_down(aside))
            shutil.rmtree(aside, ignore_errors=True)


def _written_down(aside: Path) -> tuple[list[str], list[str]]:
    """What is to be moved: the new files, and the old ones. Nothing where no run wrote that."""
    try:
        moves = read_json(aside / _MOVES)
        new, old = list(moves["new"]), list(moves["old"])
    except (ValueError, KeyError, TypeError):
        return [], []
    return (new, old) if all(map(is_plain_name, (*new, *old))) else ([], [])


def disk_fault(fault: OSError, out: Path, outcome: str) -> Exception:
    """The fault to raise for what the system says of a folder: Unfinished for a full disk."""
    if lack := out_of_room(fault):
        return Unfinished(f"{out}: {lack}; {outcome}. Make room and try again")
    return InputError(
        f"{fault.filename or out}: {fault.strerror or fault}; {outcome}. "
        "Check that the folder may be written to, or name another"
    )
