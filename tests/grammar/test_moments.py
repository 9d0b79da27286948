"""When something happened, as it is told."""

from datetime import UTC, datetime, time, timedelta
from itertools import cycle, islice, product
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from spoken_numbers import cardinal
from spoken_times import clock_forms, clock_forms_of_24_hours

from grammar.moments import Moment, read_moments
from grammar.reading import Reading
from grammar.words import split

PLAIN = 0.1
MOUNTAINS = ZoneInfo("America/Denver")
NOW = datetime(2026, 10, 14, 14, 5, tzinfo=MOUNTAINS)
"""A Wednesday afternoon four days after the brew day."""


def of_all(said: str, kind: str = "WHEN") -> list[Reading]:
    """Readings that take all the words, the plainest first."""
    words = split(said)
    found = [r for r in read_moments(words) if (r.start, r.end, r.kind) == (0, len(words), kind)]
    return sorted(found, key=lambda reading: reading.cost)


def moment(said: str, now: datetime = NOW) -> datetime:
    """The one plain moment that all the words tell."""
    found = of_all(said)
    assert found and found[0].cost < PLAIN, (said, found)
    rivals = [other for other in found if other.value != found[0].value]
    assert all(rival.cost > found[0].cost for rival in rivals), (said, found)
    return found[0].value.at(now)


# (said on Wednesday, October 14, 2026 at 14:05, month-day hour:minute); common practice, no source
SAID = [
    ("just now", "10-14 14:05"), ("right now", "10-14 14:05"), ("now", "10-14 14:05"),
    ("a moment ago", "10-14 14:05"),
    ("5 minutes ago", "10-14 14:00"), ("five minutes ago", "10-14 14:00"),
    ("half an hour ago", "10-14 13:35"),
    ("a half hour ago", "10-14 13:35"), ("an hour and a half ago", "10-14 12:35"),
    ("a quarter of an hour ago", "10-14 13:50"),
    ("1 hour 20 minutes ago", "10-14 12:45"), ("an hour ago", "10-14 13:05"),
    ("about an hour ago", "10-14 13:05"),
    ("a couple of hours ago", "10-14 12:05"),
    ("two days ago", "10-12 14:05"), ("a week ago", "10-07 14:05"), ("3 weeks ago", "09-23 14:05"),
    ("two months ago", "08-14 14:05"), ("two days ago at 8pm", "10-12 20:00"),
    ("at 10:20", "10-14 10:20"), ("10:20", "10-14 10:20"), ("at 2:30", "10-14 02:30"),
    ("at ten twenty", "10-14 10:20"),
    ("since ten twenty", "10-14 10:20"), ("at about 10:20", "10-14 10:20"), ("around 10:20", "10-14 10:20"),
    ("at ten oh five", "10-14 10:05"), ("at 8pm", "10-13 20:00"), ("at 8 p.m.", "10-13 20:00"),
    ("8 am", "10-14 08:00"),
    ("at 08:30", "10-14 08:30"), ("at 20:30", "10-13 20:30"), ("at 0:15", "10-14 00:15"),
    ("8 o'clock", "10-14 08:00"), ("at eight o'clock", "10-14 08:00"), ("eight o'clock pm", "10-13 20:00"),
    ("ten twenty a m", "10-14 10:20"), ("10:20 PM", "10-13 22:20"), ("12 am", "10-14 00:00"),
    ("12:30 pm", "10-14 12:30"),
    ("half past eight", "10-14 08:30"), ("quarter to nine", "10-14 08:45"),
    ("a quarter past one", "10-14 13:15"),
    ("ten minutes to two", "10-14 13:50"), ("at ten to two", "10-14 13:50"),
    ("twenty five past twelve", "10-14 12:25"),
    ("quarter to one", "10-14 12:45"), ("five past ten pm", "10-13 22:05"),
    ("noon", "10-14 12:00"), ("at noon", "10-14 12:00"), ("midnight", "10-14 00:00"),
    ("12 noon", "10-14 12:00"),
    ("8 in the morning", "10-14 08:00"), ("at 8 in the evening", "10-13 20:00"),
    ("10 at night", "10-13 22:00"),
    ("yesterday", "10-13 14:05"), ("since yesterday", "10-13 14:05"), ("yesterday at 8pm", "10-13 20:00"),
    ("8pm yesterday", "10-13 20:00"), ("yesterday at noon", "10-13 12:00"),
    ("yesterday at 10:20", "10-13 22:20"),
    ("yesterday morning at 10:20", "10-13 10:20"), ("yesterday evening", "10-13 19:00"),
    ("last night", "10-13 21:00"),
    ("last night at 11", "10-13 23:00"), ("last night at 1", "10-14 01:00"),
    ("at 1 am last night", "10-14 01:00"),
    ("this morning", "10-14 09:00"), ("this morning at 8", "10-14 08:00"),
    ("at 8 this morning", "10-14 08:00"),
    ("this afternoon", "10-14 14:05"), ("the day before yesterday", "10-12 14:05"),
    ("may 5th", "05-05 14:05"), ("on may 5", "05-05 14:05"), ("the 3rd of march", "03-03 14:05"),
    ("today at 8am", "10-14 08:00"), ("today", "10-14 14:05"),
    ("on tuesday", "10-13 14:05"), ("tuesday", "10-13 14:05"), ("last friday", "10-09 14:05"),
    ("on Saturday", "10-10 14:05"),
    ("last Wednesday", "10-07 14:05"), ("on Wednesday at 8 pm", "10-07 20:00"),
    ("on saturday morning", "10-10 09:00"),
    ("friday night", "10-09 21:00"), ("on tuesday at 8pm", "10-13 20:00"),
    ("at noon on saturday", "10-10 12:00"),
    ("on october 10", "10-10 14:05"), ("on october 10th at 11:20 am", "10-10 11:20"),
    ("oct 10", "10-10 14:05"),
    ("october tenth", "10-10 14:05"), ("the tenth of october", "10-10 14:05"),
    ("on the 10th of October", "10-10 14:05"),
    ("september twenty first", "09-21 14:05"), ("on the 10th", "10-10 14:05"),
    ("on the twenty first", "09-21 14:05"),
    ("10 october", "10-10 14:05"), ("on 10/10", "10-10 14:05"), ("on 10/10/2026 at noon", "10-10 12:00"),
    ("on 10/10/26", "10-10 14:05"), ("2026-10-10", "10-10 14:05"),
    ("since october 10 at noon", "10-10 12:00"),
]


@pytest.mark.parametrize(("said", "meant"), SAID)
def test_moment(said: str, meant: str) -> None:
    assert f"{moment(said):%m-%d %H:%M}" == meant
    assert moment(said) <= NOW


@pytest.mark.parametrize(("said", "year"), [("on october 18", 2025), ("on february 29", 2024),
("on december 25", 2025),
                                              ("on 10/10/2015", 2015)])
def test_a_date_to_come_was_last_year(said: str, year: int) -> None:
    assert moment(said).year == year


@pytest.mark.parametrize(("said", "meant"), [
    ("today at 8pm", "10-14 20:00"), ("this evening", "10-14 19:00"), ("on 2026-12-24", "12-24 14:05"),
])
def test_what_is_still_to_come_is_told_as_such(said: str, meant: str) -> None:
    """No moment in the past fits, and none is made up: the caller can see that it lies after now."""
    assert f"{moment(said):%m-%d %H:%M}" == meant
    assert moment(said) > NOW


@pytest.mark.parametrize("said", [
    "ten twenty", "8", "at 85", "at 68 degrees", "ten to twelve", "60 to 160", "at 10:75", "at 25:00",
    "13 o'clock", "minutes ago",
    "a few minutes ago", "minus two days ago", "half a month ago", "on noon", "at tuesday", "the 18",
    "on october 32",
    "on february 30", "on 13/45", "10-60", "3/4", "10 may", "march 3", "9999 years ago", "may", "march",
    "half to nine", "at 13 pm", "last 5 minutes",
    "at 1.060", "sat", "on",
    "5 minutes",
])
def test_no_moment(said: str) -> None:
    assert of_all(said) == []


def test_an_hour_alone_is_no_plain_moment() -> None:
    """`at 8` may be minutes of the boil or degrees; it is offered, dearly."""
    [found] = of_all("at 8")
    assert found.cost > PLAIN and f"{found.value.at(NOW):%H:%M}" == "08:00"


@pytest.mark.parametrize(("said", "clock"), [
    ("10:20", time(10, 20)), ("8pm", time(20)), ("20:30", time(20, 30)), ("noon", time(12)),
    ("midnight", time(0)),
    ("half past eight", time(8, 30)), ("quarter to one", time(12, 45)), ("8 o'clock", time(8)),
    ("ten twenty pm", time(22, 20)),
    ("12 am", time(0)), ("12 pm", time(12)),
])
def test_bare_clock_time(said: str, clock: time) -> None:
    assert [(reading.value, reading.cost) for reading in of_all(said, "CLOCK")] == [(clock, 0.0)]


@pytest.mark.parametrize(("said", "told"), [
    ("the boil is on at 10:20", "at 10:20"), ("boil started 5 minutes ago", "5 minutes ago"),
    ("pitched the yeast last night at 11", "last night at 11"),
    ("bottled it on tuesday, at noon", "on tuesday , at noon"),
    ("heat it from ten to twelve gallons", ""), ("timer for 8 minutes", ""),
    ("three gallons at ten eighty eight", ""),
])
def test_moment_in_a_sentence(said: str, told: str) -> None:
    words = split(said)
    plain = [r for r in read_moments(words) if r.cost < 0.05 and r.kind == "WHEN"]
    assert {" ".join(words[r.start:r.end]) for r in plain} == ({told} if told else set())


# --- Whole ranges

def latest_by_trial(hour: int, minute: int, now: datetime, hours_on_dial: int) -> datetime:
    """Turns the clock back minute by minute till it shows the time: slow, and plainly right."""
    moment = now.replace(second=0, microsecond=0)
    while (moment.hour % hours_on_dial, moment.minute) != (hour % hours_on_dial, minute):
        moment -= timedelta(minutes=1)
    return moment


@pytest.mark.parametrize("hour", range(1, 13))
def test_every_clock_time_without_am_or_pm(hour: int) -> None:
    for minute in range(60):
        meant = latest_by_trial(hour, minute, NOW, 12)
        for said in clock_forms(hour, minute):
            assert moment(f"at {said}") == meant, said


# (first hour, last hour, what tells the half of the day)
HALVES = [(0, 11, "{} am"), (0, 11, "at {} a.m."), (12, 23, "{} pm"), (12, 23, "at {} p m"),
          (1, 11, "at {} in the morning"), (12, 17, "at {} in the afternoon"), (16, 23, "{} in the evening"),
          (18, 23, "at {} at night")]


@pytest.mark.parametrize("hour", range(24))
def test_every_clock_time_of_the_day(hour: int) -> None:
    for minute in range(60):
        meant = latest_by_trial(hour, minute, NOW, 24)
        fitting = [form for first, last, form in HALVES if first <= hour <= last]
        for said, form in zip(clock_forms(hour, minute), islice(cycle(fitting), minute, None), strict=False):
            assert moment(form.format(said)) == meant, (said, form)
        # from ten to one o'clock figures do not tell the half of the day
        meant = latest_by_trial(hour, minute, NOW, 12 if 10 <= hour <= 12 else 24)
        for said in clock_forms_of_24_hours(hour, minute):
            assert moment(said) == moment(f"at {said}") == meant, said


def test_every_bare_clock_time() -> None:
    """Behind the words of a setting or an answer, the clock time alone."""
    for hour, minute in product(range(24), range(60)):
        for said in islice(clock_forms(hour, minute), minute % 3, None, 3):
            found = of_all(f"{said} {'ap'[hour // 12]}m", "CLOCK")
            assert {reading.value for reading in found} == {time(hour, minute)}, said
def test_every_count_of_minutes_ago() -> None:
    for minutes in range(1, 181):
        for said in (f"{minutes} minutes ago", f"{cardinal(minutes)} minutes ago", f"{minutes}min ago"):
            assert moment(said) == NOW - timedelta(minutes=minutes), said


@given(st.datetimes(datetime(2026, 1, 1), datetime(2030, 12, 31), timezones=st.just(MOUNTAINS)),
       st.sampled_from([said for said, _ in SAID]))
def test_no_moment_without_a_day_of_this_year_lies_ahead(now: datetime, said: str) -> None:
    """Whenever it is told, only a day that is named (today, this morning, a full date) can lie ahead."""
    if not any(word in said for word in ("today", "this", "26")):
        assert of_all(said)[0].value.at(now) <= now


@given(st.datetimes(datetime(2026, 1, 1), datetime(2030, 12, 31)), st.sampled_from(SAID))
def test_moments_are_aware_in_the_zone_of_now(now: datetime, row: tuple[str, str]) -> None:
    aware = now.replace(tzinfo=MOUNTAINS)
    assert of_all(row[0])[0].value.at(aware).tzinfo is MOUNTAINS


# The clocks of America/Denver went back from 02:00 to 01:00 on November 1, 2026, as the tz database has it:
# the first Sunday of November (15 U.S. Code 260a).
@pytest.mark.parametrize(("said", "elapsed"), [("90 minutes ago", 90), ("half an hour ago", 30),
("3 hours ago", 180)])
def test_elapsed_time_over_a_change_of_clocks(said: str, elapsed: int) -> None:
    now = datetime(2026, 11, 1, 1, 30, fold=1, tzinfo=MOUNTAINS)
    assert moment(said, now).astimezone(UTC) == now.astimezone(UTC) - timedelta(minutes=elapsed)


def test_days_ago_keep_the_time_of_day_over_a_change_of_clocks() -> None:
    now = datetime(2026, 11, 2, 9, 0, tzinfo=MOUNTAINS)
    assert moment("two days ago", now) == datetime(2026, 10, 31, 9, 0, tzinfo=MOUNTAINS)


@pytest.mark.parametrize(("said", "now", "meant"), [
    ("a month ago", (2026, 3, 31), (2026, 2, 28)), ("a year ago", (2028, 2, 29), (2027, 2, 28)),
    ("two months ago", (2026, 1, 15), (2025, 11, 15)),
])
def test_months_ago_by_the_calendar(said: str, now: tuple[int, ...], meant: tuple[int, ...]) -> None:
    assert moment(said, datetime(*now, tzinfo=UTC)) == datetime(*meant, tzinfo=UTC)


def test_a_weekday_told_on_that_day_is_today_to_the_microsecond() -> None:
    now = datetime(2026, 10, 14, 14, 5, 33, 333_333, tzinfo=MOUNTAINS)
    assert moment("on wednesday", now) == now


def test_nothing_told_is_now() -> None:
    assert Moment().at(NOW) == NOW
