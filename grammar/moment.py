"""What is meant by a moment as it was told: the day, the clock time, how long ago; and which moment that is.

A clock time alone is the latest such time that is not in the future, for the log speaks of what happened.
How moments are told is in `moments.py`.
"""

from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import NamedTuple


@dataclass(frozen=True)
class DaysBack:
    """So many days before today.

    One more where what is told of that day is still to come: `last night at 1`, told at midnight.
    """

    days: int

    def latest_first(self, today: date) -> Iterator[date]:
        yield today - timedelta(days=self.days)
        if self.days:
            yield today - timedelta(days=self.days + 1)


@dataclass(frozen=True)
class Weekday:
    """A day of the week, Monday 0; `last` leaves out today."""

    weekday: int
    last: bool = False

    def latest_first(self, today: date) -> Iterator[date]:
        back = (today.weekday() - self.weekday) % 7
        for weeks in range(2):
            if back or weeks or not self.last:
                yield today - timedelta(days=back, weeks=weeks)


@dataclass(frozen=True)
class DatedDay:
    """A day of a month; the latest such day where month or year went without saying."""

    day: int
    month: int | None = None
    year: int | None = None

    def latest_first(self, today: date) -> Iterator[date]:
        if self.year:
            yield date(self.year, self.month or today.month, self.day)
            return
        for back in range(12 * 9):  # 29 February may be eight years back
            year, month = divmod(today.year * 12 + today.month - 1 - back, 12)
            if self.month in (None, month + 1) and self.day <= monthrange(year, month + 1)[1]:
                found = date(year, month + 1, self.day)
                if found <= today:
                    yield found


class _AnyDay:
    """The day goes without saying: today or, where that is not over yet, one of the days before."""

    def latest_first(self, today: date) -> Iterator[date]:
        for days in range(3):
            yield today - timedelta(days=days)


class Part(NamedTuple):
    """A part of the day, in hours from its midnight; what is past 24 lies on the next day."""

    begins: int
    usual: int
    ends: int


# Where the parts begin and end, and the hour meant when none is told: common practice, no source.
MORNING, AFTERNOON, EVENING, NIGHT = Part(0, 9, 12), Part(12, 15, 18), Part(16, 19, 24), Part(17, 21, 29)


@dataclass(frozen=True)
class Moment:
    """A moment as it was told; with nothing set it is now."""

    day: DaysBack | Weekday | DatedDay | None = None
    clock: time | None = None
    half_known: bool = False
    """Whether the clock time can only be before, or only after noon."""
    part: Part | None = None
    ago: tuple[float, str] | None = None
    """How long before now, with the unit from second to year."""

    def at(self, now: datetime) -> datetime:
        """The moment meant by one who speaks at `now` (aware): the latest that fits and is not in the future.

        Only where no such moment is left (`today at 8pm`, told at noon) does the result lie after `now`.
        """
        if self.ago:
            return _before(now, *self.ago)
        if not self.day and not self.clock and not self.part:
            return now
        moment = now
        for day in (self.day or _AnyDay()).latest_first(now.date()):
            for since_midnight in self._times_latest_first(now):
                moment = datetime.combine(day, time(), now.tzinfo) + since_midnight
                if moment <= now:
                    return moment
        return self._part_begun(moment, now)

    def _times_latest_first(self, now: datetime) -> list[timedelta]:
        """How long after the day's midnight it may have been."""
        if self.clock is None:
            return [timedelta(hours=self.part.usual) if self.part else _since_midnight(now.time())]
        told = _since_midnight(self.clock)
        options = [told] if self.half_known else [told % _HALF_DAY + _HALF_DAY, told % _HALF_DAY]
        if self.part:
            next_day = [option + 2 * _HALF_DAY for option in options]
            begins, ends = timedelta(hours=self.part.begins), timedelta(hours=self.part.ends)
            fitting = [option for option in (*next_day, *options) if begins <= option < ends]
            return fitting or options
        return options

    def _part_begun(self, moment: datetime, now: datetime) -> datetime:
        """Now, where a part of today told without an hour has begun but its usual hour has not come."""
        if self.part and not self.clock and moment.date() == now.date() and now.hour >= self.part.begins:
            return now
        return moment


def _since_midnight(clock: time) -> timedelta:
    return datetime.combine(date.min, clock) - datetime.min


_HALF_DAY = timedelta(hours=12)
_ELAPSED = {"second": 1, "minute": 60, "hour": 3600}
CALENDAR_DAYS = {"day": 1, "week": 7}
CALENDAR_MONTHS = {"month": 1, "year": 12}


def _before(now: datetime, count: float, unit: str) -> datetime:
    """`now` less a time span: hours and less as they elapse, days and more by the calendar."""
    if unit in _ELAPSED:
        return (now.astimezone(UTC) - timedelta(seconds=count * _ELAPSED[unit])).astimezone(now.tzinfo)
    if unit in CALENDAR_DAYS:
        return now - timedelta(days=count * CALENDAR_DAYS[unit])
    year, month = divmod(now.year * 12 + now.month - 1 - int(count * CALENDAR_MONTHS[unit]), 12)
    return now.replace(year=year, month=month + 1, day=min(now.day, monthrange(year, month + 1)[1]))
