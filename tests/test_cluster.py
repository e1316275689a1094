"""A cluster gives what one machine gives; where it fails, it says so, and in time."""

from __future__ import annotations

import io
import os
import signal
import socket
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from packbuilder import cli, cluster
from packbuilder.cluster import Cluster, connected
from packbuilder.editions import PRINT
from packbuilder.errors import Exit, InputError, Unfinished
from packbuilder.grid import blocks
from packbuilder.ladder.rating import Rate
from packbuilder.proof import grid_lines, kernel, stream
from packbuilder.proof.proving import Prove
from packbuilder.setting import search
from packbuilder.setting.month import Month
from packbuilder.setting.request import Request
from packbuilder.setting.search import Search
from packbuilder.setting.wishes import read_wishes
from packbuilder.supporters.copies import Order, make_copies
from packbuilder.supporters.people import read_supporters
from packbuilder.supporters.register import read_register
from tests.conftest import EXAMPLE
from tests.supporters.conftest import *  # noqa: F403
from tests.supporters.test_copies import write_list

distributed: Any = pytest.importorskip("distributed")


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """Two workers, each a process of its own with one thread."""
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, silence_logs=50
    ) as here:
        yield here.scheduler_address


@pytest.fixture
def two(address: str) -> Iterator[Cluster]:
    with connected(address) as found:
        assert found.workers == 2
        yield found


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Many small pieces of work in place of few large ones."""
    monkeypatch.setattr(Prove, "grids_a_chunk", 7)
    monkeypatch.setattr(Rate, "grids_a_chunk", 7)
    monkeypatch.setattr(grid_lines, "TRICKLE", 1)


def text() -> bytes:
    nine = blocks(3, 3)
    full = ["".join(map(str, kernel.random_solution(nine, seed))) for seed in range(60)]
    lines = [line[:k] + "." + line[k + 1 :] for k, line in enumerate(full)]
    return "\n".join([EXAMPLE, "." * 81, "oops", "55" + "." * 79, *lines]).encode()


@pytest.mark.usefixtures("small")
@pytest.mark.parametrize("question", [Prove(True), Rate(True)], ids=["prove", "rate"])
def test_grids_are_answered_as_here(question: stream.Question, two: Cluster) -> None:
    told: list[tuple[str, list[str], stream.Tally]] = []
    for who in ({"workers": 1}, {"workers": two.workers, "pool": two.pool}):
        sink, faults = io.StringIO(), list[str]()
        tally = stream.run(question, io.BytesIO(text()), sink, report=faults.append, **who)
        told.append((sink.getvalue(), faults, tally))
    assert told[0] == told[1]
    assert told[0][2].lines == 64


def test_the_same_grids_are_set(
    two: Cluster, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    request = Request(blocks(2, 3), (10, 14), "none", 2)
    alone = list(Search(request, 12, seed=3))
    monkeypatch.setattr(search, "ALONE", 0.0)
    assert list(Search(request, 12, seed=3, workers=2, pool=two.pool)) == alone

    file = tmp_path / "month.yaml"
    file.write_text("- {grade: 1, size: 6, count: 2}\n- {grade: 2, size: 6}\n", encoding="utf-8")
    found = [
        sorted((wish.line, grid.clues) for wish, grid in Month(read_wishes(file, 1), **who))
        for who in (
            {"budget": 100.0, "workers": 1},
            {"budget": 100.0, "workers": 2, "pool": two.pool},
        )
    ]
    assert found[0] == found[1]
    assert len(found[0]) == 3


def test_a_search_on_a_cluster_ends_by_its_budget(
    two: Cluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(search, "ALONE", 0.0)
    request = Request(blocks(3, 3), (17, 17), "quarter-turn", 8)
    with pytest.raises(Unfinished, match="0 of 1 grids found"):
        list(Search(request, 1, budget=2.0, workers=2, pool=two.pool))


@pytest.mark.parametrize("password", [None, "kites and tea"])
def test_copies_are_made_as_here(password: str | None, pack: Path, two: Cluster) -> None:
    people = read_supporters(write_list(pack.parent, [f"Supporter {k}" for k in range(40)]))
    master = pack / "out" / "tea-house-print.pdf"
    order = Order(master, PRINT, people, password)
    here, far = pack / "here", pack / "far"
    make_copies(master.read_bytes(), order, here)
    made = make_copies(master.read_bytes(), order, far, workers=2, pool=two.pool)
    assert made.made == 40
    assert read_register(far) == read_register(here)
    names = sorted(path.name for path in here.glob("*.pdf"))
    assert names == sorted(path.name for path in far.glob("*.pdf"))
    assert len(names) == 40
    if password is None:
        assert all((here / name).read_bytes() == (far / name).read_bytes() for name in names)


def test_only_what_a_copy_says_leaves_this_machine(
    pack: Path, two: Cluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    import pickle

    sent: list[bytes] = []
    real = cluster._Pool.submit

    def submit(self: Any, work: Any, *args: Any) -> Any:
        sent.append(pickle.dumps((work, args)))
        return real(self, work, *args)

    monkeypatch.setattr(cluster._Pool, "submit", submit)
    file = pack.parent / "people.csv"
    file.write_text("name,email,pledge\nAda Quill,ada@example.org,40\n", encoding="utf-8")
    master = pack / "out" / "tea-house-print.pdf"
    order = Order(master, PRINT, read_supporters(file))
    make_copies(master.read_bytes(), order, pack / "far", workers=2, pool=two.pool)
    assert len(sent) == 1
    assert b"Ada Quill" in sent[0]
    assert b"example.org" not in sent[0]
    assert str(pack).encode() not in sent[0]


def slow(number: int, folder: str) -> int:
    """Says that it has begun, and takes a while."""
    (Path(folder) / f"{number}-{os.getpid()}").touch()
    time.sleep(0.3)
    return number * number


@pytest.mark.skipif(os.name != "posix", reason="SIGKILL is POSIX's")
def test_the_work_of_a_worker_that_dies_is_done_again(two: Cluster, tmp_path: Path) -> None:
    with two.pool(2) as pool:
        work = [pool.submit(slow, number, str(tmp_path)) for number in range(12)]
        while not (begun := sorted(tmp_path.iterdir())):
            time.sleep(0.02)
        killed = int(begun[0].name.partition("-")[2])
        os.kill(killed, signal.SIGKILL)
        assert [one.result(60) for one in work] == [number**2 for number in range(12)]
    again = [path.name.partition("-")[0] for path in tmp_path.iterdir()]
    assert len(again) > len(set(again)) == 12, "no work was lost, so none was done again"


def deadly(_number: int) -> None:
    """Takes whoever does it down."""
    os._exit(1)


def test_work_that_kills_its_workers_is_given_up() -> None:
    with (
        distributed.LocalCluster(
            n_workers=1, threads_per_worker=1, dashboard_address=None, silence_logs=50
        ) as here,
        connected(here.scheduler_address) as found,
        found.pool(1) as pool,
        pytest.raises(Unfinished, match="died at the same piece of work"),
    ):
        pool.submit(deadly, 1).result(120)


def test_a_cluster_that_goes_away_is_told_of(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cluster, "DESERTED", 1.0)
    with (
        distributed.LocalCluster(
            n_workers=1, threads_per_worker=1, dashboard_address=None, silence_logs=50
        ) as here,
        connected(here.scheduler_address) as found,
        found.pool(1) as pool,
    ):
        work = pool.submit(time.sleep, 60)
        here.scale(0)
        with pytest.raises(Unfinished, match="has had no worker"):
            work.result(60)


def test_an_address_that_nobody_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cluster, "PATIENCE", 1.0)
    with socket.socket() as silent:  # it is there, and says nothing
        silent.bind(("127.0.0.1", 0))
        silent.listen()
        for address in (f"tcp://127.0.0.1:{silent.getsockname()[1]}", "tcp://127.0.0.1:1",
                        "nonsense://x", "tea"):  # fmt: skip
            begun = CliRunner().invoke(cli.commands, ["prove", "-", "--cluster", address])
            assert isinstance(begun.exception, InputError), begun.exception
            assert begun.exception.exit == Exit.USAGE
            assert f"--cluster {address}: no Dask scheduler answers" in str(begun.exception)


def test_a_cluster_without_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cluster, "PATIENCE", 1.0)
    with (
        distributed.LocalCluster(n_workers=0, dashboard_address=None, silence_logs=50) as here,
        pytest.raises(InputError, match="has no worker; start some"),
        connected(here.scheduler_address),
    ):
        pass


def test_a_worker_of_another_version(address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cluster, "__version__", "9.9")
    with pytest.raises(InputError, match=r"has packbuilder .*, not 9\.9"), connected(address):
        pass


def test_without_dask_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "distributed", None)
    with pytest.raises(InputError, match=r"pip install 'packbuilder\[cluster\]'"), connected("x"):
        pass
