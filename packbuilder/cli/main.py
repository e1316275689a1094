"""The way in: the group of commands, and the one place that ends every fault as a sentence."""

from __future__ import annotations

import contextlib
import errno
import gc
import io
import os
import signal
import sys
import traceback
from collections.abc import Iterator, Mapping, Sequence
from pkgutil import resolve_name
from typing import Any, cast

import click

from packbuilder import __version__
from packbuilder.errors import Exit, PackbuilderError

EXIT_CODES = """\b
Exit codes: 0 good; 1 an internal fault; 2 wrong usage or unreadable input;
3 the gate refused, or the answer is no; 4 the read-back does not match;
5 not finished: a limit ran out."""


COMPLETE = "_PACKBUILDER_COMPLETE"
"""The variable by which click's completion for shells asks."""

FILES = {
    "packbuilder.cli.packs": ("start", "check", "schema"),
    "packbuilder.cli.releases": ("build", "readback", "editions", "previews"),
    "packbuilder.cli.copies": ("copies",),
    "packbuilder.cli.entries": ("entries",),
    "packbuilder.cli.issuing": ("release", "reissue"),
    "packbuilder.cli.setters": ("setters",),
    "packbuilder.cli.take": ("take",),
    "packbuilder.cli.plan": ("plan",),
    "packbuilder.cli.grids": ("prove", "rate", "explain"),
    "packbuilder.cli.setting": ("set",),
    "packbuilder.cli.kin": ("kin",),
    "packbuilder.cli.mending": ("mend", "polish"),
    "packbuilder.cli.scripts": ("script",),
    "packbuilder.cli.lists": ("techniques", "rules", "layouts"),
}
"""In which file of this room each command is."""


class _Late(Mapping[str, click.Command]):
    """The commands by name. A file is imported when a command of it is asked for."""

    def __init__(self) -> None:
        self._place = {
            name: f"{file}:{'set_' if name == 'set' else name}"
            for file, names in FILES.items()
            for name in names
        }

    def __getitem__(self, name: str) -> click.Command:
        command: click.Command = resolve_name(self._place[name])
        return command

    def __iter__(self) -> Iterator[str]:
        return iter(self._place)

    def __len__(self) -> int:
        return len(self._place)


@click.group(
    commands=cast(Any, _Late()),  # click would add to them
    epilog=EXIT_CODES,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(__version__, prog_name="packbuilder")
def commands() -> None:
    """Proves, rates, prints and reads back packs of number-placement puzzles.

    PACK is a pack's folder or its manifest. Begin with `packbuilder start`.
    """


def main(argv: Sequence[str] | None = None) -> None:
    """Run the command line and leave with one of the exit codes of ``errors.Exit``."""
    _open_closed_streams()
    _hear_nothing_of_streams()
    gc.set_threshold(20_000)  # a start makes much and throws little away
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):  # being told to stop is an interrupt: what was begun is undone
            signal.signal(getattr(signal, name), signal.default_int_handler)
    asked = os.environ.get(COMPLETE)
    if asked:  # the shell asks what a word may be
        from click.shell_completion import shell_complete

        sys.exit(shell_complete(commands, {}, "packbuilder", COMPLETE, asked))
    sys.exit(run(argv))


def run(argv: Sequence[str] | None = None) -> int:
    """Run the command line; give its exit code. Every fault ends here as a sentence."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    _moved().clear()
    try:
        # click's own `main` would end a broken pipe with the exit code of a crash.
        with commands.make_context("packbuilder", arguments) as context:
            commands.invoke(context)
        sys.stdout.flush()
    except click.exceptions.Exit as ended:
        return _flushed(ended.exit_code)
    except PackbuilderError as fault:
        click.echo(_shortened(str(fault)), err=True)
        return _flushed(int(fault.exit))
    except (KeyboardInterrupt, click.Abort):
        click.echo(_stopped(), err=True)
        return int(Exit.UNFINISHED)
    except click.ClickException as fault:
        fault.show()
        return int(Exit.USAGE)
    except OSError as fault:
        return _stream_fault(fault)
    except Exception as fault:
        return _internal(fault)
    return int(Exit.GOOD)


def _stopped() -> str:
    """What has become of a run that was told to stop."""
    if not (moved := _moved()):
        return "stopped; nothing was released"
    return f"stopped, after {moved[-1]} had got all new files; what was to follow is not done"


def _moved() -> list[Any]:
    """The folders that this run has moved finished files into; the room is loaded by who does."""
    staging = sys.modules.get("packbuilder.release.staging")
    return staging.moved if staging else []


def _shortened(words: str) -> str:
    """The first of many faults, a line each, and how many there are besides."""
    from packbuilder.cli.progress import MOST_TOLD
    from packbuilder.phrases import counted

    lines = words.splitlines()
    rest = len(lines) - MOST_TOLD
    if rest <= 0:
        return words
    return "\n".join([*lines[:MOST_TOLD], f"... and {counted(rest, 'more line')} like these"])


def _flushed(code: int) -> int:
    try:
        sys.stdout.flush()
    except OSError as fault:
        return _stream_fault(fault)
    return code


def _stream_fault(fault: OSError) -> int:
    """What an error of the system means where no room has given it words."""
    if fault.errno == errno.EPIPE:
        _drop_output()  # the reader of our output has left (`| head`): not a fault
        return int(Exit.GOOD)
    from packbuilder.files import out_of_room

    if lack := out_of_room(fault):
        _drop_output()
        click.echo(f"{lack}; make room and run the command again", err=True)
        return int(Exit.UNFINISHED)
    where = f"{fault.filename}: " if fault.filename else ""
    if where:
        click.echo(f"{where}{fault.strerror or fault}", err=True)
        return int(Exit.USAGE)
    return _internal(fault)


def _drop_output() -> None:
    """Keep the interpreter from complaining as it flushes standard output on its way out."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


class _Unheard(io.TextIOWrapper):
    """A stream for what need not be heard: what becomes of it changes nothing."""

    def write(self, text: str) -> int:
        with contextlib.suppress(OSError, ValueError):
            super().write(text)
        return len(text)

    def flush(self) -> None:
        with contextlib.suppress(OSError, ValueError):
            super().flush()


def _hear_nothing_of_streams() -> None:
    """Standard error may be full or gone, and either stream may not have all letters: those are
    then written as Python writes them, ``\\xe9``."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    if isinstance(sys.stderr, io.TextIOWrapper) and sys.stderr is sys.__stderr__:
        how = {"encoding": sys.stderr.encoding, "errors": "backslashreplace"}
        sys.stderr = _Unheard(sys.stderr.buffer, **how, line_buffering=True)  # type: ignore[arg-type]


def _open_closed_streams() -> None:
    """Give a program that was started without its standard streams empty ones."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115, PTH123


def _internal(fault: Exception) -> int:
    click.echo(
        f"packbuilder has a fault of its own: {type(fault).__name__}: {fault}\n"
        "Nothing was released. Please report it with the command you ran; "
        "PACKBUILDER_TRACE=1 shows where it happened.",
        err=True,
    )
    if os.environ.get("PACKBUILDER_TRACE"):
        traceback.print_exception(fault)
    return int(Exit.FAULT)
