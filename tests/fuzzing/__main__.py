"""Coverage-guided fuzzing: ``python -m tests.fuzzing TARGET [--seconds N]`` (needs atheris).

Follows which lines of packbuilder each input reaches and goes on from those that reach new ones
(libFuzzer, by atheris). What breaks a promise is printed and its input kept, beside its traceback,
in the folder that is named: mend it, then move the input to ``tests/fuzzing/kept/TARGET/``.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import click

COMPILED = ["packbuilder.proof", "packbuilder.kinship", "packbuilder.ladder.head"]


@click.command()
@click.argument("target")
@click.option("--seconds", default=60, show_default=True, help="How long to go on.")
@click.option("--corpus", type=click.Path(path_type=Path), help="Where inputs are gathered.")
def main(target: str, seconds: int, corpus: Path | None) -> None:
    """Fuzz one of the readers of foreign files."""
    import atheris

    # The compiled rooms cannot be followed: numba would compile the follower too.
    with atheris.instrument_imports(include=["packbuilder"], exclude=COMPILED):
        from tests.fuzzing.targets import TARGETS
    if target not in TARGETS:
        raise click.BadParameter(f"choose one of {', '.join(TARGETS)}")
    one, folder = TARGETS[target], corpus or Path(tempfile.mkdtemp(prefix=f"corpus-{target}-"))
    folder.mkdir(parents=True, exist_ok=True)
    for k, seed in enumerate(one.seeds()):
        (folder / f"seed-{k}").write_bytes(seed)
    crashes = folder.with_name(f"{folder.name}-crashes")
    crashes.mkdir(exist_ok=True)
    longest = max(len(seed) for seed in one.seeds()) + 1000
    atheris.Setup(
        [
            *(sys.argv[0], str(folder), f"-max_total_time={seconds}", f"-max_len={longest}"),
            *(
                f"-artifact_prefix={crashes}/",
                "-timeout=60",
                "-rss_limit_mb=0",
                "-malloc_limit_mb=1000",
                "-print_final_stats=1",
            ),
        ],
        one.try_out,
    )
    atheris.Fuzz()


if __name__ == "__main__":
    main()
