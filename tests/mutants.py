"""How many changes of the code the tests see: ``python -m tests.mutants PART``.

Changes one comparison, sum, number, truth or loop at a time (by cosmic-ray's operators; it needs
cosmic-ray and coverage) and runs the tests that come by that line, the quick ones first, until one
fails. A line that no test comes by counts as not seen. Every place is as likely to be drawn as any
other, whatever the ways to change it.

All is imported, and every test run once, in one process; each change is tried in a fork of it,
where the changed function gets its new code. What is no function's code (a table, a default), or is
compiled by numba, is written to a file instead, in a copy of the tree, and tried from the start.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import difflib
import functools
import gc
import json
import os
import random
import re
import resource
import shlex
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any, NamedTuple

import pytest
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names
from cosmic_ray.testing import run_tests
from coverage import Coverage

ROOT = Path(__file__).resolve().parent.parent
PYTEST = ("-p", "no:xdist", "-p", "no:cacheprovider")

PATIENCE = 40
"""Seconds of the processor for one change: what takes longer is taken to hang, and so was seen."""

ENOUGH = 20
"""Seconds that the tests of one change take without it: the rest of a longer list is left out."""

SENSIBLE = re.compile(
    r"Comparison\w+_(Eq|NotEq|Lt|LtE|Gt|GtE)_(Eq|NotEq|Lt|LtE|Gt|GtE)$|_Is_IsNot|_IsNot_Is"
    r"|Binary\w+_(Add_Sub|Sub_Add|Mul_FloorDiv|Div_Mul|FloorDiv_Mul|Mod_FloorDiv|Pow_Mul"
    r"|RShift_LShift|LShift_RShift|BitOr_BitAnd|BitAnd_BitOr|BitXor_BitAnd)$"
    r"|Unary\w+_(Delete_\w+|USub_UAdd)$|AddNot|(True|False|And|Or|Break|Continue)With"
    r"|NumberReplacer|ZeroIteration"
)


class Part(NamedTuple):
    """What is changed, and the tests that know it.

    ``compiled`` are the tests of files that numba compiles, by their names: no test is seen to come
    by there. In a fork is forgotten what functions remember whose modules match ``forgets``.
    """

    files: tuple[str, ...]
    tests: str
    compiled: dict[str, str] = {}  # noqa: RUF012
    forgets: str = "packbuilder|tests"

    def of_compiled(self, file: str) -> list[str]:
        stem = Path(file).stem
        found = (tests for words, tests in self.compiled.items() if stem in words.split())
        return shlex.split(next(found, ""))


PARTS = {
    "proof": Part(
        ("packbuilder/proof/*.py",),
        "tests/proof tests/setting/test_pictures.py"
        " --deselect=tests/proof/test_stream.py::test_memory_does_not_grow_with_the_stream",
        {
            "search vectors": "tests/proof/test_kernel.py tests/proof/test_counts.py"
            " tests/proof/test_engines.py tests/proof/test_easy_steps.py",
            "strikes": "tests/proof/test_fixpoint.py tests/proof/test_strikes.py"
            " tests/proof/test_rules_engines.py",
            "picture_search easy_steps": "tests/proof/test_easy_steps.py"
            " tests/setting/test_pictures.py",
        },
    ),
    "eyes": Part(
        ("packbuilder/reader/**/*.py", "packbuilder/readback/*.py"),
        "tests/readback --ignore=tests/readback/as_planned --ignore-glob=*plaintext*"
        " --deselect=tests/readback/test_thousand.py",
        forgets=r"packbuilder\.read|tests(?!\.readback\.books)",
    ),
    "as_planned": Part(
        ("packbuilder/readback/as_planned/*.py",),
        "tests/readback/as_planned tests/readback/test_good.py tests/pages/test_stamp.py",
        forgets=r"packbuilder\.readback|tests\.(?!readback\.as_planned\.plans)",
    ),
    "gate": Part(
        ("packbuilder/gate/*.py",),
        "tests/test_gate.py tests/test_gate_rules.py tests/test_gate_alterations.py"
        " tests/test_archive.py tests/test_starter.py tests/supporters/test_entry_cells.py"
        " tests/release/test_watch.py",
    ),
}


class Mutant(NamedTuple):
    """A changed file: its name, the line, and what the file says then."""

    file: str
    line: int
    code: str


class Known(NamedTuple):
    """What the tests do as things are: seconds by test, and which tests run a line of a file."""

    seconds: dict[str, float]
    by_line: dict[str, dict[str, list[str]]]


# --- what can be changed -----------------------------------------------------------------------


def spots(file: str) -> Iterator[list[tuple[str, int, int]]]:
    """For every place that can be changed: (operator, its occurrence, line), one for each way."""
    nodes = list(ast_nodes(get_ast((ROOT / file).read_text(encoding="utf-8"))))
    found: dict[tuple[object, str], list[tuple[str, int, int]]] = {}
    for name in filter(SENSIBLE.search, operator_names()):
        operator = get_operator(name)()
        places = (at for node in nodes for at in operator.mutation_positions(node))
        for k, (start, _) in enumerate(places):
            found.setdefault((start, name.partition("_")[0]), []).append((name, k, start[0]))
    yield from found.values()


def meaning(code: str) -> str:
    """The code without what changes no answer: annotations, guards against lists of unequal
    lengths, how much is remembered. "" if it is no code."""
    try:
        tree = ast.parse(code)
    except SyntaxError:  # a lone * or / among parameters was taken for a product
        return ""
    for node in ast.walk(tree):
        if isinstance(node, ast.arg):
            node.annotation = None
        elif isinstance(node, ast.FunctionDef):
            node.returns = None
        elif isinstance(node, ast.AnnAssign):
            node.annotation = ast.Name("_")
        elif isinstance(node, ast.Call):
            node.keywords = [one for one in node.keywords if one.arg not in ("strict", "maxsize")]
    return ast.dump(tree)


def drawn(part: Part, count: int, seed: int) -> list[Mutant]:
    """A sample of the changes of a part, always the same for a seed."""
    files = sorted({str(p.relative_to(ROOT)) for glob in part.files for p in ROOT.glob(glob)})
    everywhere = [(file, spot) for file in files for spot in spots(file)]
    print(f"{len(everywhere)} places can be changed", flush=True)
    dice, sample = random.Random(seed), list[Mutant]()
    dice.shuffle(everywhere)
    for file, spot in everywhere:
        if len(sample) == count:
            break
        name, occurrence, line = dice.choice(spot)
        if "ZeroIteration" in name and part.of_compiled(file):
            continue  # numba takes no list without a type
        before = (ROOT / file).read_text(encoding="utf-8")
        code = mutate_code(before, get_operator(name)(), occurrence)
        if meaning(code) not in ("", meaning(before)):
            sample.append(Mutant(file, line, code))
    return sample


def told(mutant: Mutant) -> str:
    before = (ROOT / mutant.file).read_text(encoding="utf-8").splitlines()
    lines = list(difflib.unified_diff(before, mutant.code.splitlines(), n=0, lineterm=""))
    changed = "\n    ".join(re.sub(r"^([-+])\s*", r"\1 ", line) for line in lines[3:])
    return f"{mutant.file}:{mutant.line}\n    {changed}"


# --- the tests as things are ---------------------------------------------------------------------


class Watching:
    """Times each test, and notes which lines it comes by."""

    def __init__(self, coverage: Coverage, forgets: str) -> None:
        self.coverage, self.forgets = coverage, forgets
        self.seconds: dict[str, float] = {}
        self.failed: set[str] = set()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        forget(rf"(?=packbuilder)(?:{self.forgets})")  # else it comes by where another has been
        self.coverage.switch_context(item.nodeid)
        start = time.process_time()
        result = yield
        self.seconds[item.nodeid] = time.process_time() - start
        return result

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.outcome != "passed":
            self.failed.add(report.nodeid)


def watched(part: Part) -> Known:
    """Run all tests of a part once, in this process."""
    places = [str(ROOT / glob) for glob in part.files]
    coverage = Coverage(data_file=None, include=places, config_file=False)
    watching = Watching(coverage, part.forgets)
    coverage.start()
    pytest.main(["-q", *PYTEST, *shlex.split(part.tests)], plugins=[watching])
    coverage.stop()
    print(f"{len(watching.seconds)} tests; not passed: {sorted(watching.failed)}", flush=True)
    data = coverage.get_data()
    by_line = {
        str(Path(file).relative_to(ROOT)): {
            str(line): sorted({*tests} - watching.failed - {""})
            for line, tests in data.contexts_by_lineno(file).items()
        }
        for file in data.measured_files()
    }
    return Known(watching.seconds, by_line)


def chosen(known: Known, mutant: Mutant, *, anywhere: bool) -> list[str]:
    """The tests of a change, the quick ones first; ``anywhere``: of any line of its file."""
    lines = known.by_line.get(mutant.file, {})
    here = lines.values() if anywhere else [lines.get(str(mutant.line), [])]
    able = {test for tests in here for test in tests} or (known.seconds if anywhere else ())
    taken, spent = list[str](), 0.0
    for test in sorted(able, key=known.seconds.__getitem__):
        spent += known.seconds[test]
        if spent > ENOUGH and taken:
            break
        taken.append(test)
    return taken


# --- a change is tried ---------------------------------------------------------------------------

Swaps = list[tuple[CodeType, CodeType]]


def swaps(mutant: Mutant) -> Swaps | None:
    """Which functions' code becomes which; None if the change is not within a function."""
    path, found = str(ROOT / mutant.file), Swaps()

    def within(old: CodeType, new: CodeType) -> bool:
        """Whether the change lies in functions within this code, or in this function."""
        inner = [(a, b) for a, b in zip(old.co_consts, new.co_consts, strict=False)
                 if isinstance(a, CodeType) and isinstance(b, CodeType) and a != b]  # fmt: skip
        if not old.co_flags & 2:  # no function (CO_OPTIMIZED is 1, CO_NEWLOCALS 2): all else stays
            plain = [repr([c for c in code.co_consts if not isinstance(c, CodeType)])
                     for code in (old, new)]  # fmt: skip
            same = old.co_code == new.co_code and plain[0] == plain[1]
            run = any(a.co_name in ("<listcomp>", "<setcomp>", "<dictcomp>", "<genexpr>")
                      for a, _ in inner)  # fmt: skip
            return same and not run and all(within(a, b) for a, b in inner)
        found.append((old, new))
        for a, b in inner:
            within(a, b)
        return True

    before = compile(Path(path).read_text(encoding="utf-8"), path, "exec")
    return found if within(before, compile(mutant.code, path, "exec")) and found else None


def put(new: Swaps, forgets: str) -> None:
    """Give functions their new code, and forget what was reckoned with the old."""
    by_code: dict[Any, CodeType] = dict(new)
    for one in gc.get_objects():
        if isinstance(one, FunctionType) and one.__code__ in by_code:
            one.__code__ = by_code[one.__code__]
    forget(forgets)
    if altering := sys.modules.get("tests.readback.altering"):
        altering._last.clear()


def forget(modules: str) -> None:
    """Clear what functions of such modules remember."""
    for one in gc.get_objects():
        if isinstance(one, functools._lru_cache_wrapper) and re.match(modules, one.__module__):
            one.cache_clear()


def in_a_fork(tests: list[str], new: Swaps, forgets: str) -> tuple[bool, str]:
    """Whether a test fails where functions have new code, and what was said."""
    with tempfile.TemporaryFile("w+") as said:
        sys.stdout.flush()
        child = os.fork()
        if not child:
            code = 99
            try:
                os.setsid()
                for stream in (1, 2):
                    os.dup2(said.fileno(), stream)
                used = sum(resource.getrusage(resource.RUSAGE_SELF)[:2])
                resource.setrlimit(resource.RLIMIT_CPU, (int(used) + PATIENCE,) * 2)
                put(new, forgets)
                code = int(pytest.main(["-x", "-q", *PYTEST, *tests]))
                sys.stdout.flush()
            finally:
                os._exit(code)
        status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        with contextlib.suppress(ProcessLookupError):
            os.killpg(child, 9)
        said.seek(0)
        return status != 0, reason(said.read())


def from_a_file(tests: list[str], mutant: Mutant, tree: Path) -> tuple[bool, str]:
    """The same, where the changed file lies in a copy of the tree."""
    file = tree / mutant.file
    before, when = file.read_text(encoding="utf-8"), file.stat()
    file.write_text(mutant.code, encoding="utf-8")
    args = shlex.join([sys.executable, "-m", "pytest", "-q", "-x", *PYTEST, *tests])
    script = f"cd {tree}; ulimit -t {2 * PATIENCE}; exec {args}"  # numba takes its time
    outcome, said = run_tests(f"bash -c {shlex.quote(script)}", 20 * PATIENCE)
    file.write_text(before, encoding="utf-8")
    os.utime(file, ns=(when.st_atime_ns, when.st_mtime_ns))
    return outcome.value == "killed", reason(said)


def reason(said: str) -> str:
    """The test that failed, or else the last words: dots alone where there was no end."""
    found = re.findall(r"^(?:FAILED|ERROR) .*", said, re.M) or said.strip().splitlines()[-1:]
    return found[0][:150] if found else ""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("part", choices=PARTS)
    parser.add_argument("--count", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int, nargs="*", help="these of the sample, by number")
    parser.add_argument("--map", type=Path, help="a file that keeps what is known of the tests")
    given = parser.parse_args()
    part = PARTS[given.part]
    sample = list(enumerate(drawn(part, given.count, given.seed)))
    sample = [one for one in sample if not given.only or one[0] in given.only]
    if given.map and given.map.exists():
        known = Known(*json.loads(given.map.read_text(encoding="utf-8")))
        pytest.main(["-qqq", "--collect-only", *PYTEST, *shlex.split(part.tests)])
    else:
        known = watched(part)
        if given.map:
            given.map.write_text(json.dumps(known), encoding="utf-8")
    count = 0
    with tempfile.TemporaryDirectory() as place:
        tree = Path(place) / "tree"
        shutil.copytree(ROOT, tree, ignore=shutil.ignore_patterns(".*"))
        os.environ["PYTHONPATH"] = f"{tree}:{os.environ.get('PYTHONPATH', '')}"
        quick = sorted(known.seconds, key=known.seconds.__getitem__)[:5]
        print("as it is:", *in_a_fork(quick, [], part.forgets), flush=True)
        for k, mutant in sample:
            compiled, start = part.of_compiled(mutant.file), time.monotonic()
            new = None if compiled else swaps(mutant)
            tests = compiled or chosen(known, mutant, anywhere=new is None)
            if not tests:
                seen, why = False, "no test comes by"
            elif new is None:
                seen, why = from_a_file(tests, mutant, tree)
            else:
                seen, why = in_a_fork(tests, new, part.forgets)
            count += seen
            word = "seen" if seen else "NOT SEEN"
            print(f"{k}: {word} ({time.monotonic() - start:.0f} s): {told(mutant)}\n    {why}",
                  flush=True)  # fmt: skip
    print(f"{count} of {len(sample)} seen", flush=True)


if __name__ == "__main__":
    main()
