"""Cluster: the same work on the machines of a Dask cluster, through the same kind of executor.

Dask does the work of a worker that dies again, on another; it is work without effects, so what
comes of it is the same. Everything a worker is given goes to it in the clear, unless the cluster
speaks TLS (``tls://``).
"""

from __future__ import annotations

import contextlib
import logging
import threading
import time
from collections.abc import Iterator
from concurrent.futures import CancelledError, Executor, Future
from dataclasses import dataclass
from typing import Any

from packbuilder import __version__
from packbuilder.errors import InputError, Unfinished
from packbuilder.phrases import counted

PATIENCE = 15.0
"""Seconds to wait for an address to answer, and for a first worker."""

DESERTED = 60.0
"""Seconds without any worker after which work is given up."""


@dataclass(frozen=True)
class Cluster:
    """A cluster that has answered, and how many pieces of work it does at a time."""

    client: Any
    workers: int

    @contextlib.contextmanager
    def pool(self, _workers: int) -> Iterator[Executor]:
        """An executor. Raises Unfinished where the cluster is gone, or all its workers are."""
        pool = _Pool(self.client)
        try:
            yield pool
        except CancelledError:
            raise Unfinished("the cluster is gone; start it, and run the command again") from None
        finally:
            pool.shutdown(wait=False, cancel_futures=True)


@contextlib.contextmanager
def connected(address: str) -> Iterator[Cluster]:
    """The cluster whose scheduler is at an address, such as tcp://10.0.0.5:8786.

    Raises InputError where Dask is not installed, nobody answers in time, there is no worker, or a
    worker has another version of this program.
    """
    try:
        import distributed
    except ImportError:
        raise InputError(
            "--cluster needs Dask, here and on each worker: pip install 'packbuilder[cluster]'"
        ) from None
    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # what matters is said here
    client = _answering(distributed.Client, address)
    try:
        yield Cluster(client, _looked_at(client, address))
    finally:
        with contextlib.suppress(Exception):  # a cluster that is gone needs no farewell
            client.close(timeout=2)


def _answering(kind: Any, address: str) -> Any:
    """A client of the scheduler at an address, as soon as that answers."""
    client, known = kind.__new__(kind), Future[None]()

    def begin() -> None:
        try:
            client.__init__(address, timeout=PATIENCE, set_as_default=False)
            known.set_result(None)
        except Exception as fault:
            known.set_exception(fault)

    # Aside, for it waits without end for one who takes a call and says nothing.
    threading.Thread(target=begin, daemon=True).start()
    try:
        known.result(PATIENCE + 5)
    except (OSError, ValueError, TypeError) as fault:
        client.status = "closed"  # there is nothing to be closed
        raise InputError(
            f"--cluster {address}: no Dask scheduler answers there ({type(fault).__name__}); give "
            "the address that `dask scheduler` prints, such as tcp://10.0.0.5:8786"
        ) from None
    return client


def _looked_at(client: Any, address: str) -> int:
    """How many threads the workers have, once each is known to be of this version."""
    try:
        client.wait_for_workers(1, timeout=PATIENCE)
        versions: dict[str, str] = client.run(_version)
    except TimeoutError:
        raise InputError(
            f"--cluster {address}: the scheduler has no worker; start some with `dask worker "
            f"{address}`"
        ) from None
    except Exception as fault:
        raise InputError(
            f"--cluster {address}: its workers cannot run packbuilder ({fault}); install version "
            f"{__version__} on each"
        ) from None
    for worker, version in versions.items():
        if version != __version__:
            raise InputError(
                f"--cluster {address}: the worker at {worker} has packbuilder {version}, not "
                f"{__version__}; install the same version on each"
            )
    threads: dict[str, int] = client.nthreads()
    return max(1, sum(threads.values()))


def _version() -> str:
    return __version__


class _Pool(Executor):
    """Dask's futures as those of an executor."""

    def __init__(self, client: Any) -> None:
        self._client = client
        self._waiting: dict[Future[Any], Any] = {}
        self._lock = threading.Lock()
        self._over = threading.Event()
        threading.Thread(target=self._watch, daemon=True).start()

    def submit(self, work: Any, /, *args: Any, **named: Any) -> Future[Any]:
        """Give work to the cluster."""
        far = self._client.submit(work, *args, **named, pure=False)
        near: Future[Any] = Future()
        near.add_done_callback(lambda done: far.cancel() if done.cancelled() else None)
        with self._lock:
            self._waiting[near] = far
        far.add_done_callback(lambda done: self._take(near, done))
        return near

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Wait for what is under way, or leave it."""
        if wait and not cancel_futures:
            for near in list(self._waiting):
                with contextlib.suppress(Exception):
                    near.result()
        self._over.set()
        with self._lock:
            left, self._waiting = list(self._waiting.values()), {}
        with contextlib.suppress(Exception):
            self._client.cancel(left, force=True)

    def _take(self, near: Future[Any], far: Any) -> None:
        """What became of a piece of work; called in a thread of Dask's."""
        with self._lock:
            known = self._waiting.pop(near, None)
        if known is None or not near.set_running_or_notify_cancel():
            return
        try:
            result = far.result()
        except CancelledError:
            near.set_exception(_gone())
        except Exception as fault:
            near.set_exception(_told(fault))
        else:
            near.set_result(result)

    def _watch(self) -> None:
        """Give all work up where there has been no worker, or no scheduler, for a while."""
        seen = time.monotonic()
        while not self._over.wait(min(5.0, DESERTED / 4)):
            with contextlib.suppress(Exception):
                if self._client.status == "running" and self._client.nthreads():
                    seen = time.monotonic()
            if time.monotonic() - seen > DESERTED:
                with self._lock:
                    left, self._waiting = list(self._waiting), {}
                for near in left:
                    near.set_exception(_gone())


def _gone() -> Unfinished:
    return Unfinished(
        f"the cluster is gone, or has had no worker for {counted(int(DESERTED), 'second')}; "
        "start it, and run the command again"
    )


def _told(fault: Exception) -> Exception:
    """A fault of the cluster as a sentence; one of the work as it is."""
    if type(fault).__name__ == "KilledWorker":
        return Unfinished("one worker after another died at the same piece of work; see why there")
    return fault
