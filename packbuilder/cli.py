"""The commands: parse, call, print. No logic of its own, and nothing heavy imported early.

Results go to standard output; progress and faults to standard error. ``main`` is the one place
that turns exceptions into sentences and exit codes.
"""

from __future__ import annotations

import contextlib
import errno
import json
import math
import os
import re
import shlex
import signal
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

import click

from packbuilder import __version__
from packbuilder.errors import Exit, InputError, PackbuilderError, Refused, Unfinished

if TYPE_CHECKING:
    from packbuilder.gate import Report
    from packbuilder.grid import Geometry, Values
    from packbuilder.ladder.rungs import Ladder
    from packbuilder.puzzle import Pack

EXIT_CODES = """\b
Exit codes: 0 good; 1 an internal fault; 2 wrong usage or unreadable input;
3 the gate refused, or the answer is no; 4 the read-back does not match;
5 not finished: a limit ran out."""

PACK = click.argument("pack", type=click.Path(path_type=Path))
JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
JSONL = click.option("--jsonl", is_flag=True, help="Print one JSON object a line instead.")
NODES = click.IntRange(min=0, max=10**15)
MANY_SECONDS = 10.0**7
LINES = click.argument("file", type=click.File("rb"), default="-")


def main(argv: Sequence[str] | None = None) -> None:
    """Run the command line and leave with one of the exit codes of ``errors.Exit``."""
    _open_closed_streams()
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):  # being told to stop is an interrupt: what was begun is undone
            signal.signal(getattr(signal, name), signal.default_int_handler)
    sys.exit(run(argv))


def run(argv: Sequence[str] | None = None) -> int:
    """Run the command line; give its exit code. Every fault ends here as a sentence."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    try:
        # click's own `main` would end a broken pipe with the exit code of a crash.
        with commands.make_context("packbuilder", arguments) as context:
            commands.invoke(context)
        sys.stdout.flush()
    except click.exceptions.Exit as ended:
        return _flushed(ended.exit_code)
    except PackbuilderError as fault:
        click.echo(str(fault), err=True)
        return _flushed(int(fault.exit))
    except (KeyboardInterrupt, click.Abort):
        click.echo("stopped; nothing was released", err=True)
        return int(Exit.UNFINISHED)
    except click.ClickException as fault:
        fault.show()
        return int(Exit.USAGE)
    except OSError as fault:
        return _stream_fault(fault)
    except Exception as fault:
        return _internal(fault)
    return int(Exit.GOOD)


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
    if fault.errno in (errno.ENOSPC, errno.EDQUOT):
        _drop_output()
        click.echo("the disk is full; make room and run the command again", err=True)
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


@click.group(epilog=EXIT_CODES, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="packbuilder")
def commands() -> None:
    """Proves, rates, prints and reads back packs of number-placement puzzles.

    PACK is a pack's folder or its manifest. Begin with `packbuilder start`.
    """


# --- a pack ----------------------------------------------------------------------------------


@commands.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--title", required=True, help="The pack's title, as printed on the cover.")
@click.option("--issue", required=True, metavar="YYYY-MM", help="The month of the pack.")
def start(folder: Path, title: str, issue: str) -> None:
    """Make a new pack's folder, ready to check and build.

    \b
    Example: packbuilder start packs/kites --title "Kites over Marl Hill" --issue 2027-03
    """
    from packbuilder import starter

    for path in starter.start(folder, title, issue):
        click.echo(f"wrote {path}", err=True)
    click.echo(f"next: packbuilder build {shlex.quote(str(folder))}", err=True)


class _Seconds(click.FloatRange):
    """A number of seconds. ``nan`` and ``inf`` are no numbers to wait for."""

    def convert(self, value: Any, param: Any, ctx: Any) -> float:
        seconds = super().convert(value, param, ctx)
        if not math.isfinite(seconds):
            self.fail(f"{value} is not a number of seconds", param, ctx)
        return float(seconds)


def _limits(command: Callable[..., Any]) -> Callable[..., Any]:
    """The two options that bound a proof."""
    nodes = click.option(
        "--node-limit",
        type=NODES,
        default=None,
        help="Guesses that the first proof may make, a grid.",
    )
    seconds = click.option(
        "--time-limit", type=_Seconds(min=0, max=MANY_SECONDS), default=60.0, show_default=True,
        help="Seconds that the second proof may take, a grid.",
    )  # fmt: skip
    return nodes(seconds(command))


@commands.command()
@PACK
@JSON
@_limits
def check(pack: Path, as_json: bool, node_limit: int | None, time_limit: float) -> None:
    """Hold every promise of a pack against the facts. Exit 3 where one fails.

    \b
    Example: packbuilder check packs/kites
    """
    from packbuilder import console, gate

    report = _gated(pack, node_limit, time_limit)
    if as_json:
        click.echo(json.dumps(gate.as_json(report), ensure_ascii=False, indent=2))
    else:
        console.show_report(report)
    if not report.passed:
        raise click.exceptions.Exit(Exit.REFUSED)


@commands.command()
@PACK
@click.option("--out", type=click.Path(path_type=Path), help="Where to release to [PACK/out].")
@click.option(
    "--edition",
    "editions",
    multiple=True,
    default=("print",),
    show_default=True,
    help="The form of the pack; this version prints one.",
)
@_limits
def build(
    pack: Path,
    out: Path | None,
    editions: tuple[str, ...],
    node_limit: int | None,
    time_limit: float,
) -> None:
    """Check a pack, print it, read the print back, and release it: all of it or nothing.

    \b
    Example: packbuilder build packs/kites
    """
    from packbuilder import console

    report = _gated(pack, node_limit, time_limit)
    if not report.passed:
        console.show_report(report, err=True)
        raise Refused(f"{report.pack.slug}: the gate refused this pack; nothing was released")
    from packbuilder.release.build import build as build_pack

    built = build_pack(
        report,
        out or report.pack.folder / "out",
        editions,
        stage=lambda words: click.echo(words, err=True),
    )
    click.echo(
        f"{len(report.checked)} puzzles proved; {built.pages} pages and {built.grids} grids "
        "read back: the print is the verified pack",
        err=True,
    )
    for path in built.files:
        click.echo(str(path))


@commands.command()
@click.argument("pdf", type=click.Path(path_type=Path))
@click.option("--against", "pack", required=True, type=click.Path(path_type=Path), metavar="PACK")
@JSON
@_limits
def readback(
    pdf: Path, pack: Path, as_json: bool, node_limit: int | None, time_limit: float
) -> None:
    """Prove that a printed PDF is the verified pack. Exit 4 where it is not.

    \b
    Example: packbuilder readback packs/kites/out/kites-print.pdf --against packs/kites
    """
    from packbuilder import console, gate
    from packbuilder.binding import bind
    from packbuilder.readback import as_json as seen_json
    from packbuilder.readback import read

    report = _gated(pack, node_limit, time_limit)
    if not report.passed:
        if as_json:
            click.echo(json.dumps(gate.as_json(report), ensure_ascii=False, indent=2))
        else:
            console.show_report(report, err=True)
    seen = read(pdf, bind(report))
    if as_json:
        click.echo(json.dumps(seen_json(seen), ensure_ascii=False, indent=2))
    else:
        for finding in seen.findings:
            click.echo(finding.words())
        verdict = "the print is the verified pack" if seen.ok else "this is NOT the verified pack"
        click.echo(f"{pdf.name}: {seen.pages} pages and {seen.grids} grids read: {verdict}")
    if not seen.ok:
        raise click.exceptions.Exit(Exit.MISMATCH)


@commands.command()
def schema() -> None:
    """Print the manifest's JSON Schema, for an editor that completes and checks YAML.

    \b
    Example: packbuilder schema > manifest.schema.json
    """
    from packbuilder import manifest

    click.echo(json.dumps(manifest.schema(), ensure_ascii=False, indent=2))


def _gated(place: Path, node_limit: int | None, time_limit: float) -> Report:
    """Load a pack and put it through the gate, with progress for the eye."""
    from packbuilder import gate, manifest
    from packbuilder.proof import kernel

    pack: Pack = manifest.load(place)
    with _progress("proving and solving", len(pack.puzzles)) as advance:
        return gate.check(
            pack,
            limits=gate.Limits(kernel.NODE_LIMIT if node_limit is None else node_limit, time_limit),
            done=lambda _puzzle: advance(1),
        )


# --- single grids ----------------------------------------------------------------------------


@commands.command()
@LINES
@JSONL
@click.option("--node-limit", type=NODES, default=None,
              help="Nodes a grid; past it the answer is ? (undecided).")  # fmt: skip
def prove(file: BinaryIO, jsonl: bool, node_limit: int | None) -> None:
    """How many solutions has each grid: 0, 1 or 2 (two or more)?

    FILE holds a 9x9 grid a line, 81 cells, . or 0 for an empty one; - is standard input. A line
    that cannot be read is answered - and reported with its number; an undecided grid is answered
    ?. Exit 2 if a line was bad, else 5 if one was undecided.

    \b
    Example: packbuilder prove grids.txt
    """
    from packbuilder.proof import stream

    limit = {} if node_limit is None else {"node_limit": node_limit}
    with _progress("proving", _line_count(file)) as advance:
        tally = stream.run(
            file, sys.stdout, jsonl=jsonl, report=_complain, progress=advance, **limit
        )
    _close_stream(tally.bad, tally.undecided)


def _ladder_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """The two options that change the ladder."""
    file = click.option(
        "--ladder", "ladder_file", type=click.Path(path_type=Path), metavar="FILE",
        help="Your changes to the ladder, as under `ladder:` in a manifest.",
    )  # fmt: skip
    unique = click.option(
        "--assume-unique", is_flag=True,
        help="Also use techniques that rest on the puzzle having one solution.",
    )  # fmt: skip
    return file(unique(command))


@commands.command()
@LINES
@JSONL
@click.option("--needs", is_flag=True, help="List the techniques that each grid needs, too.")
@_ladder_options
@click.option("--node-limit", type=NODES, default=None,
              help="Nodes a grid; past it the grid is undecided.")  # fmt: skip
def rate(
    file: BinaryIO,
    jsonl: bool,
    needs: bool,
    ladder_file: Path | None,
    assume_unique: bool,
    node_limit: int | None,
) -> None:
    """How hard is each grid: grade, hardest step, effort, marks to hold without notes.

    FILE holds a 9x9 grid a line, as for `prove`. A grid without exactly one solution has no grade.
    Exit 2 if a line was bad, else 5 if a grid was undecided.

    With --needs, every technique without which the grid is not solved: all techniques on easier
    rungs, with that one, solve it, and those on easier rungs alone do not.

    \b
    Example: packbuilder rate grids.txt --jsonl
    """
    from packbuilder.ladder import stream
    from packbuilder.proof import kernel

    ladder = _ladder(ladder_file, assume_unique)
    with _progress("rating", _line_count(file)) as advance:
        tally = stream.run(
            file, sys.stdout, jsonl=jsonl, report=_complain, progress=advance,
            needs=needs, ladder=ladder,
            node_limit=kernel.NODE_LIMIT if node_limit is None else node_limit,
        )  # fmt: skip
    _close_stream(tally.bad, tally.undecided)


@commands.command()
@click.argument("grid")
@click.option(
    "--blocks", help="ROWSxCOLUMNS, or `none` for a Latin square; else as usual for the size."
)
@click.option("--no-notes", is_flag=True, help="Solve in the head, holding as few marks as can be.")
@click.option("--profile", is_flag=True, help="Draw how many ways on there are at each step.")
@_ladder_options
@JSON
def explain(
    grid: str,
    blocks: str | None,
    no_notes: bool,
    profile: bool,
    ladder_file: Path | None,
    assume_unique: bool,
    as_json: bool,
) -> None:
    """Tell the solve of one grid step by step, in words.

    GRID is one line of cells, row by row: 81 for a 9x9 grid, 36 for 6x6, and so on.

    \b
    Example: packbuilder explain 53..7....6..195....98....6.8...6...34..8.3..17...2...6....
                                 28....419..5....8..79   (one line)
    """
    from packbuilder import console
    from packbuilder.ladder import path, words
    from packbuilder.proof import kernel

    geometry, clues = _read_grid(grid, blocks)
    verdict = kernel.prove(geometry, clues)
    if verdict.solutions is None:
        raise Unfinished("the limit ran out before the number of solutions was known")
    if verdict.solutions != 1:
        many = "no solution" if verdict.solutions == 0 else "more than one solution"
        raise Refused(f"this grid has {many}; only a grid with exactly one can be explained")
    if no_notes:
        solved = _explain_no_notes(geometry, clues, as_json)
    else:
        walked = path.walk(geometry, clues, ladder=_ladder(ladder_file, assume_unique))
        solved = walked.solved
        if as_json:
            click.echo(json.dumps(words.path_json(walked), ensure_ascii=False, indent=2))
        else:
            console.show_path(walked)
            if profile:
                console.show_profile(walked)
    if not solved:
        raise click.exceptions.Exit(Exit.REFUSED)


def _explain_no_notes(geometry: Geometry, clues: Values, as_json: bool) -> bool:
    from packbuilder import console
    from packbuilder.ladder import no_notes, no_notes_path

    load = no_notes.no_notes(geometry, clues)
    if as_json:
        document = no_notes_path.path_json(geometry, clues)
        click.echo(json.dumps(document, ensure_ascii=False, indent=2))
    else:
        console.show_no_notes(no_notes_path.tell(geometry, clues), load, geometry)
    return load.solved


@commands.command("set")
@click.option("--count", type=click.IntRange(min=1), default=1, show_default=True)
@click.option("--grade", type=click.IntRange(1, 7), help="The grade that each grid must have.")
@click.option(
    "--symmetry",
    default="rotational",
    show_default=True,
    help="none, rotational (half turn), quarter-turn, horizontal, vertical, diagonal, ...",
)
@click.option(
    "--needs",
    multiple=True,
    metavar="TECHNIQUE",
    help="A technique that each grid must need; may be given again.",
)
@click.option(
    "--rule",
    "rules",
    multiple=True,
    metavar="RULE",
    help="A rule that each grid must have (see `packbuilder rules`); may be given again.",
)
@click.option(
    "--clues",
    metavar="LOW-HIGH",
    help="How many clues; where left out, what is usual for the size (24-32 for 9x9).",
)
@click.option("--size", type=click.IntRange(4, 16), default=9, show_default=True)
@click.option(
    "--blocks",
    help="ROWSxCOLUMNS, `none` for a Latin square, or regions (a letter a cell, row by row); "
    "where left out, the usual block of the size.",
)
@click.option("--seed", type=int, default=0, show_default=True, help="The same seed, same grids.")
@click.option("--budget", type=click.FloatRange(min=0.1), default=120.0, show_default=True,
              help="Seconds to go on looking.")  # fmt: skip
def set_(
    count: int,
    grade: int | None,
    symmetry: str,
    needs: tuple[str, ...],
    rules: tuple[str, ...],
    clues: str | None,
    size: int,
    blocks: str | None,
    seed: int,
    budget: float,
) -> None:
    """Set new grids, proved and rated, as manifest entries.

    Exit 5 where the budget ran out; the grids found so far are printed.

    \b
    Example: packbuilder set --count 3 --grade 2 --symmetry rotational --clues 24-30 --seed 7
    Example: packbuilder set --size 6 --rule thermometers --rule anti-knight --seed 7
    """
    from packbuilder.setting import entries, removal, with_rules

    geometry = _geometry(size, blocks)
    usual = with_rules.usual_clues if rules else removal.usual_clues
    make = partial(with_rules.set_grids, rules=rules) if rules else removal.set_grids
    found = make(
        geometry,
        count=count,
        grade=grade,
        symmetry=symmetry,
        needs=needs,
        clues=_span(clues) if clues else usual(geometry),
        seed=seed,
        budget=budget,
    )
    for number, one in enumerate(found, start=1):
        click.echo(entries.as_manifest_entry(one, number))
        sys.stdout.flush()  # what is found must not be lost if the next search is stopped


# --- what there is ---------------------------------------------------------------------------


@commands.command()
@JSON
def techniques(as_json: bool) -> None:
    """List the ladder: every technique with its rung, weight and meaning.

    \b
    Example: packbuilder techniques
    """
    from packbuilder import console
    from packbuilder.ladder import techniques as table

    if as_json:
        click.echo(json.dumps(table.as_json(), ensure_ascii=False, indent=2))
    else:
        console.show_techniques()


@commands.command()
@click.argument("name", required=False)
@JSON
def rules(name: str | None, as_json: bool) -> None:
    """List the rules that a puzzle may have, each with how it is written.

    With the NAME of a rule, show a whole puzzle that has it.

    \b
    Example: packbuilder rules thermometers
    """
    from packbuilder.rules import listing

    if as_json:
        click.echo(json.dumps(listing.as_json(name), ensure_ascii=False, indent=2))
    else:
        click.echo(listing.show(name))


@commands.command()
@JSON
def layouts(as_json: bool) -> None:
    """List the page layouts.

    \b
    Example: packbuilder layouts
    """
    from packbuilder.pages import layout

    found = layout.available()
    if as_json:
        click.echo(json.dumps([{"name": x.name, "about": x.about} for x in found], indent=2))
    else:
        for one in found:
            click.echo(f"{one.name:12} {one.about}")


# --- reading arguments -----------------------------------------------------------------------


def _geometry(size: int, blocks: str | None) -> Geometry:
    from packbuilder import grid

    try:
        return grid.read_blocks(blocks, size)
    except grid.GridFault as fault:
        raise InputError(f"--blocks: {fault}") from fault


def _read_grid(text: str, blocks: str | None) -> tuple[Geometry, Values]:
    from packbuilder import grid

    cells = re.sub(r"\s", "", text)
    size = round(len(cells) ** 0.5)
    if size * size != len(cells) or not grid.MIN_SIZE <= size <= grid.MAX_SIZE:
        raise InputError(
            f"GRID has {len(cells)} cells; it needs 16, 25, 36, ... up to 256, row by row "
            "(81 for a 9x9 grid)"
        )
    try:
        return _geometry(size, blocks), grid.parse_grid(cells, size)
    except grid.GridFault as fault:
        raise InputError(f"GRID: {fault}") from fault


def _ladder(file: Path | None, assume_unique: bool) -> Ladder:
    from packbuilder.ladder.overrides import chosen

    if file is None:
        return chosen({}, assume_unique)
    from packbuilder.manifest import load_ladder

    return chosen(load_ladder(file), assume_unique)


def _span(text: str) -> tuple[int, int]:
    found = re.fullmatch(r"([0-9]{1,4})(?:-([0-9]{1,4}))?", text.strip())
    if not found:
        raise InputError(f"--clues {_cut(text)}: write a number or LOW-HIGH, such as 24-30")
    return int(found[1]), int(found[2] or found[1])


def _cut(text: str) -> str:
    """An argument as a message shows it: whole, where it is not long."""
    return text if len(text) <= 40 else text[:37] + "..."


# --- progress and complaints -----------------------------------------------------------------


def _complain(words: str) -> None:
    click.echo(words, err=True)


def _close_stream(bad: int, undecided: int) -> None:
    sys.stdout.flush()
    if bad:
        lines = "1 line" if bad == 1 else f"{bad} lines"
        raise InputError(f"{lines} could not be read; the rest is done")
    if undecided:
        grids = "1 grid" if undecided == 1 else f"{undecided} grids"
        raise Unfinished(f"{grids} undecided: the limit ran out; the rest is done")


def _line_count(file: BinaryIO) -> int | None:
    """About how many grids a file holds, from its size; None for a pipe."""
    try:
        return os.fstat(file.fileno()).st_size // 82 or None
    except (OSError, ValueError, AttributeError):
        return None


@contextlib.contextmanager
def _progress(words: str, total: int | None) -> Iterator[Callable[[int], None]]:
    """A progress bar on standard error where that is a terminal; else nothing."""
    if not sys.stderr.isatty():
        yield lambda _more: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(words, total=total)
        yield lambda more: bar.advance(task, more)


if __name__ == "__main__":
    main()
