"""Instants: moments of time as RFC 3339 writes them, exact to the last digit of their seconds."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

_FORM = re.compile(
    r"(\d{4})-(\d\d)-(\d\d)[Tt ](\d\d):(\d\d):(\d\d)(?:\.(\d+))?(?:([Zz])|([+-])(\d\d):(\d\d))?",
    re.ASCII,
)
_SUCH = "write it like 2026-12-01T18:04:05Z, or +01:00 in place of Z"
_DAY = 24 * 60


class InstantFault(ValueError):
    """What is wrong with a time, and how to mend it."""


@dataclass(frozen=True, order=True)
class Instant:
    """A moment. ``minute`` counts those of UTC since the first day of the year 1; ``second`` goes
    to 60 in a minute with a leap second."""

    minute: int
    second: Fraction

    def __str__(self) -> str:
        day, minute = divmod(self.minute, _DAY)
        whole = int(self.second)
        rest = self.second - whole
        digits = f"{float(rest):.6f}".rstrip("0")[1:] if rest else ""
        clock = f"{minute // 60:02}:{minute % 60:02}:{whole:02}{digits.rstrip('.')}"
        return f"{date.fromordinal(day).isoformat()} {clock} UTC"


def read_instant(text: str) -> Instant:
    """The moment that a text tells. Raises InstantFault; a time without a zone tells none."""
    found = _FORM.fullmatch(text)
    if not found:
        raise InstantFault(f"is not a time; {_SUCH}")
    year, month, day, hour, minute, second = map(int, found.groups()[:6])
    if not (found[8] or found[9]):
        raise InstantFault(f"has no zone, so nobody knows when it was; {_SUCH}")
    away = (int(found[10] or 0) * 60 + int(found[11] or 0)) * (-1 if found[9] == "-" else 1)
    try:
        days = date(year, month, day).toordinal()
    except ValueError as fault:
        raise InstantFault(f"is not a day of the calendar; {_SUCH}") from fault
    clock = ((hour, 23), (minute, 59), (second, 60), (found[10] or 0, 23), (found[11] or 0, 59))
    if any(int(value) > most for value, most in clock):
        raise InstantFault(f"is not a time of day; {_SUCH}")
    at = days * _DAY + hour * 60 + minute - away
    if not _DAY <= at < date.max.toordinal() * _DAY:
        raise InstantFault(f"is outside the years 1 to 9999; {_SUCH}")
    if second == 60 and not _may_leap(at):
        raise InstantFault("has a second 60, which only a month's last minute in UTC can have")
    return Instant(at, second + Fraction(f"0.{found[7] or 0}"))


def _may_leap(minute: int) -> bool:
    """Whether a minute is the last one of a month in UTC."""
    day, left = divmod(minute, _DAY)
    return left == _DAY - 1 and (date.fromordinal(day) + timedelta(days=1)).day == 1
