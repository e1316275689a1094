"""Times as RFC 3339 has them, against its own examples and the time zone database."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo, available_timezones

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packbuilder.supporters.instants import InstantFault, read_instant

# RFC 3339, 5.8: the examples, and what the text says that each is.
EXAMPLES = {
    "1985-04-12T23:20:50.52Z": "1985-04-12 23:20:50.52 UTC",
    "1996-12-19T16:39:57-08:00": "1996-12-20 00:39:57 UTC",
    "1990-12-31T23:59:60Z": "1990-12-31 23:59:60 UTC",
    "1990-12-31T15:59:60-08:00": "1990-12-31 23:59:60 UTC",
    "1937-01-01T12:00:27.87+00:20": "1937-01-01 11:40:27.87 UTC",
    "1996-12-20t00:39:57z": "1996-12-20 00:39:57 UTC",  # 5.6: letters may be small
    "1996-12-20 00:39:57Z": "1996-12-20 00:39:57 UTC",  # 5.6: a blank for readability
    "1996-12-20T00:39:57-00:00": "1996-12-20 00:39:57 UTC",  # 4.3: only the local offset is unknown
}


@pytest.mark.parametrize("text", EXAMPLES)
def test_the_examples_of_the_rfc(text: str) -> None:
    assert str(read_instant(text)) == EXAMPLES[text]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2026-12-01T18:04:05", "has no zone, so nobody knows when it was"),
        ("2026-12-01 18:04:05", "has no zone"),
        ("2026-02-29T18:04:05Z", "is not a day of the calendar"),
        ("2026-13-01T18:04:05Z", "is not a day of the calendar"),
        ("2026-12-01T24:00:00Z", "is not a time of day"),
        ("2026-12-01T18:60:00Z", "is not a time of day"),
        ("2026-12-01T18:04:61Z", "is not a time of day"),
        ("2026-12-01T18:04:05+24:00", "is not a time of day"),
        ("2026-12-01T18:04:60Z", "has a second 60"),
        ("2026-12-30T23:59:60Z", "has a second 60"),
        ("2026-12-01T18:04:05 CET", "is not a time"),
        ("2026-12-01T18:04Z", "is not a time"),
        ("01/12/2026 18:04:05", "is not a time"),
        ("٢٠٢٦-12-01T18:04:05Z", "is not a time"),
        ("0001-01-01T00:00:00+01:00", "is outside the years"),
        ("", "is not a time"),
    ],
)
def test_what_is_no_time_is_told(text: str, words: str) -> None:
    with pytest.raises(InstantFault, match=words):
        read_instant(text)


MOMENTS = st.datetimes(
    datetime(2, 1, 1), datetime(9998, 1, 1), timezones=st.just(UTC)
)  # fmt: skip


@given(MOMENTS, MOMENTS, st.sampled_from(sorted(available_timezones())))
def test_moments_are_in_the_order_of_the_standard_library(
    one: datetime, other: datetime, zone: str
) -> None:
    """A moment as people of any place write it. Offsets of the past may have seconds: RFC 3339
    has no way to write those."""
    here = one.astimezone(ZoneInfo(zone))
    offset = here.utcoffset() or timedelta()
    if offset % timedelta(minutes=1):
        here = one.astimezone(timezone(timedelta(minutes=round(offset.total_seconds() / 60))))
    first, second = read_instant(here.isoformat()), read_instant(other.isoformat())
    assert (first < second) == (one < other)
    assert (first == second) == (one == other)
    assert (
        str(first)
        == one.strftime("%Y").zfill(4)
        + one.strftime("-%m-%d %H:%M:%S")
        + (f".{one.microsecond:06}".rstrip("0") if one.microsecond else "")
        + " UTC"
    )


def test_a_leap_second_is_after_the_one_before_it_and_before_the_next() -> None:
    texts = ["2016-12-31T23:59:59.999Z", "2016-12-31T23:59:60Z", "2016-12-31T23:59:60.5Z",
             "2017-01-01T00:00:00Z"]  # fmt: skip
    found = [read_instant(text) for text in texts]
    assert found == sorted(found)
    assert len(set(found)) == 4


def test_digits_past_the_microsecond_count() -> None:
    assert read_instant("2026-12-01T18:04:05.00000000000000000001Z") > (
        read_instant("2026-12-01T18:04:05Z")
    )
