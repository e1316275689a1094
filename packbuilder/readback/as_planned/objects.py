"""Objects: the graph of a file's objects, held against the planned one from its root.

A planned object says what the value of its twin in the file must be; where that refers to others,
it holds those. So each twin is found once, from what leads to it, and no object of the file can
stand for two of the plan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from packbuilder.readback.as_planned.file import File
from packbuilder.readback.as_planned.syntax import Damaged, Ref, shown
from packbuilder.readback.report import Finding

HUNDREDTH = 0.0051
"""How far a number of the file may be from the planned one: files have hundredths of a point."""

Checked = tuple[dict[str, Any], Iterable[str]]
"""Of a stream: what its dictionary must hold, and words for what is wrong with its bytes."""


@dataclass(eq=False, slots=True)
class Planned:
    """An object that must be in the file.

    ``code``, ``name`` and ``page`` (from 1) are what a finding about it says. ``value`` gives what
    it must be; of a stream, ``stream`` says so of its bytes. They are asked when the object is met,
    after those that stand before it in what leads to it, and then let go: they hold much else.
    ``twin`` is its number in the file, once known.
    """

    code: str
    name: str
    value: Callable[[], Any] | None = None
    page: int | None = None
    stream: Callable[[bytes], Checked] | None = None
    twin: int = 0


class Comparison:
    """Holds a file against planned objects."""

    def __init__(self, file: File) -> None:
        self._file = file
        self._met: list[Planned] = []
        self._faults: list[str] = []

    def findings(self, planned: Planned, ref: object) -> Iterator[Finding]:
        """What differs, from one planned object on, whose twin is referred to."""
        self._refers(ref, planned, planned.name)
        yield from (Finding(planned.code, words) for words in self._faults)
        agenda: list[Planned] = []
        while self._met or agenda:
            agenda += reversed(self._met)
            self._met = []
            one = agenda.pop()
            yield from (Finding(one.code, words, one.page) for words in self._look(one))

    def _look(self, one: Planned) -> Iterable[str]:
        ref = Ref(one.twin)
        value, stream, one.value, one.stream = one.value, one.stream, None, None  # asked once
        try:
            if value is not None:
                self._unlike(self._file.take(ref), value(), one.name)
            elif stream is not None:
                entries, data = self._file.stream(ref)
                due, faults = stream(data)
                self._unlike(entries, due, one.name)
                self._faults += faults
        except Damaged as damage:
            self._faults.append(f"{one.name}: {damage}")
        faults, self._faults = self._faults, []
        return faults

    def _refers(self, have: object, planned: Planned, name: str) -> None:
        if not isinstance(have, Ref) or planned.twin not in (0, have.number):
            self._faults.append(f"{name} does not lead to {planned.name}")
        elif not planned.twin:
            planned.twin = have.number
            self._met.append(planned)

    def _unlike(self, have: Any, planned: Any, name: str) -> None:
        """Note each part of a value that is not the planned one."""
        if type(planned) is Planned:
            self._refers(have, planned, name)
        elif type(have) is dict and type(planned) is dict:
            for key in have.keys() - planned.keys():
                self._faults.append(f"{name}: {key} must not be there")
            for key, value in planned.items():
                if key in have:
                    self._unlike(have[key], value, f"{name}: {key}")
                else:
                    self._faults.append(f"{name}: {key} is missing")
        elif type(have) is list and type(planned) is list:
            if len(have) != len(planned):
                self._faults.append(f"{name}: there are {len(have)} instead of {len(planned)}")
                return
            for one, other in zip(have, planned, strict=True):
                self._unlike(one, other, name)
        elif type(have) is not type(planned) or have != planned:
            numbers = {type(have), type(planned)} <= {int, float}
            if not numbers or abs(have - planned) > HUNDREDTH:
                self._faults.append(f"{name} is {shown(have)} instead of {shown(planned)}")
