"""Finds when something happened: `5 minutes ago`, `at 10:20`, `yesterday evening`, `on october 18`.

A moment is kept as it was told and turned into a date and time by `Moment.at`, once it is known when it was told.
"""

from calendar import monthrange
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, NamedTuple

from grammar.numbers import ARTICLES, ONES, ORDINAL_ENDINGS, TEENS, TENS, ZEROS
from grammar.quantities import read_quantities
from grammar.reading import Reading, weigh_cuts

__all__ = ["DatedDay", "DaysBack", "Moment", "Weekday", "read_moments"]


# --- What was told

@dataclass(frozen=True)
class DaysBack:
    """So many days before today."""

    days: int

    def latest_first(self, today: date) -> Iterator[date]:
        yield today - timedelta(days=self.days)


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
        for back in range(12 * 9):  # 29 February may be eight years back
            years, month = divmod(today.year * 12 + today.month - 1 - back, 12)
            fits = self.month in (None, month + 1) and self.year in (None, years)
            if fits and self.day <= monthrange(years, month + 1)[1]:
                found = date(years, month + 1, self.day)
                if found <= today:
                    yield found
        if self.year:  # only a date that is still to come is left
            yield date(self.year, self.month or today.month, self.day)


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
        days = self.day.latest_first(now.date()) if self.day else (now.date() - timedelta(n) for n in range(3))
        moment = now
        for day in days:
            for minutes in self._minutes_latest_first(now):
                moment = datetime.combine(day, time(), now.tzinfo) + timedelta(minutes=minutes)
                if moment <= now:
                    return moment
        return self._part_begun(moment, now)

    def _minutes_latest_first(self, now: datetime) -> list[float]:
        """Minutes from the day's midnight at which it may have been."""
        if self.clock is None:
            exact = now.hour * 60 + now.minute + now.second / 60 + now.microsecond / 60e6
            return [self.part.usual * 60 if self.part else exact]
        told = self.clock.hour * 60 + self.clock.minute
        half = 12 * 60
        options = [told] if self.half_known else [told % half + half, told % half]
        if self.part:
            begins, _, ends = self.part
            around = [told + 24 * 60, told] if self.half_known else [told % half + n * half for n in (2, 1, 0)]
            options = [minutes for minutes in around if begins * 60 <= minutes < ends * 60] or options
        return options

    def _part_begun(self, moment: datetime, now: datetime) -> datetime:
        """Now, where a part of today told without an hour has begun but its usual hour has not come."""
        if self.part and not self.clock and moment.date() == now.date() and now.hour >= self.part.begins:
            return now
        return moment


_ELAPSED = {"second": 1, "minute": 60, "hour": 3600}
_CALENDAR_DAYS = {"day": 1, "week": 7}
_CALENDAR_MONTHS = {"month": 1, "year": 12}


def _before(now: datetime, count: float, unit: str) -> datetime:
    """`now` less a time span: hours and less as they elapse, days and more by the calendar."""
    if unit in _ELAPSED:
        return (now.astimezone(UTC) - timedelta(seconds=count * _ELAPSED[unit])).astimezone(now.tzinfo)
    if unit in _CALENDAR_DAYS:
        return now - timedelta(days=count * _CALENDAR_DAYS[unit])
    year, month = divmod(now.year * 12 + now.month - 1 - int(count * _CALENDAR_MONTHS[unit]), 12)
    return now.replace(year=year, month=month + 1, day=min(now.day, monthrange(year, month + 1)[1]))


# --- How it is told

_HALVES = {"am": 0, "pm": 12}
_INTROS = {(word,): word for word in ("at", "since", "around", "about", "on")} | {
    (first, second): first for first in ("at", "since") for second in ("around", "about")}
_ONLY_BEFORE = {"on": {"date"}, "at": {"clock"}}
_ALWAYS = {("noon",): time(12), ("midday",): time(12), ("midnight",): time(0), ("12", "noon"): time(12),
           ("twelve", "noon"): time(12), ("12", "midnight"): time(0), ("twelve", "midnight"): time(0)}
_PAST = {"past": 1, "after": 1, "to": -1, "till": -1, "til": -1, "before": -1, "of": -1}
_O_CLOCK = (("o'clock",), ("oclock",), ("o", "clock"), ("oh", "clock"))
_PARTS_OF_DAY = {"morning": MORNING, "afternoon": AFTERNOON, "evening": EVENING, "night": NIGHT}
_NOW = {("just", "now"): 0.0, ("right", "now"): 0.0, ("a", "moment", "ago"): 0.0, ("now",): 0.05,
        ("this", "minute"): 0.0, ("this", "moment"): 0.0}
_DAYS = {("today",): Moment(DaysBack(0)), ("yesterday",): Moment(DaysBack(1)),
         ("day", "before", "yesterday"): Moment(DaysBack(2)),
         ("the", "day", "before", "yesterday"): Moment(DaysBack(2)),
         ("tonight",): Moment(DaysBack(0), part=NIGHT), ("last", "night"): Moment(DaysBack(1), part=NIGHT),
         ("the", "night", "before", "last"): Moment(DaysBack(2), part=NIGHT),
         **{("this", name): Moment(DaysBack(0), part=part) for name, part in _PARTS_OF_DAY.items()}}
_WEEKDAYS = {name: n for n, name in enumerate(
    "monday tuesday wednesday thursday friday saturday sunday".split())} | {
    "mon": 0, "tue": 1, "tues": 1, "wed": 2, "thu": 3, "thur": 3, "thurs": 3, "fri": 4}
_MONTHS = {form: n for n, forms in enumerate(
    ("january jan", "february feb", "march mar", "april apr", "may", "june jun", "july jul", "august aug",
     "september sep sept", "october oct", "november nov", "december dec"), 1) for form in forms.split()}
_LEAP_YEAR = 2024
_ORDINALS = {word: n for n, word in enumerate(
    "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth "
    "fifteenth sixteenth seventeenth eighteenth nineteenth twentieth".split(), 1)} | {"thirtieth": 30}

PAIR_COST = 0.04
"""For `at ten twenty`, which may be a gravity."""
BARE_COST = 0.05
"""For a clock time or a weekday without `at` or `on`."""
BARE_HOUR_COST = 0.3
"""For `at 8`, which may be many things."""


class _Piece(NamedTuple):
    """Part of a moment: a clock time, a day or a part of the day."""

    end: int
    moment: Moment
    cost: float = 0.0
    opens: str = "clock"
    """What it opens with: a clock time, a date that may stand behind `on`, or another day."""
    bare_cost: float = 0.0
    """What it costs more without `at` or the like before it."""
    needs_intro: bool = False
    """Whether it is a time at all only behind `at` or the like."""


def read_moments(words: Sequence[str]) -> list[Reading]:
    """Every moment (kind WHEN) and every bare clock time (kind CLOCK, a `datetime.time`) in `words`."""
    agos = _agos(words)
    return weigh_cuts(
        reading for start in range(len(words)) for reading in (
            *_moments_at(words, start, agos), *_bare_clocks(words, start)))


def _agos(words: Sequence[str]) -> dict[int, list[_Piece]]:
    """What is told as so long ago, by the word it opens with; whole days are days, which may have a clock time."""
    agos: dict[int, list[_Piece]] = {}
    for reading in read_quantities(words) if "ago" in words else ():
        if reading.kind != "DURATION" or _at(words, reading.end) != "ago":
            continue
        count, unit = reading.value
        if count >= 0 and count % 1 == 0 and unit in _CALENDAR_DAYS:
            moment = Moment(DaysBack(int(count) * _CALENDAR_DAYS[unit]))
        elif count >= 0 and (count % 1 == 0 or unit not in _CALENDAR_MONTHS):
            moment = Moment(ago=reading.value)
        else:
            continue
        agos.setdefault(reading.start, []).append(_Piece(reading.end + 1, moment, reading.cost, "day"))
    return agos


def _moments_at(words: Sequence[str], start: int, agos: dict[int, list[_Piece]]) -> Iterator[Reading]:
    for end, cost in _phrases(words, start, _NOW):
        yield Reading(start, end, "WHEN", Moment(), cost)
    for at in _after_intro(words, start):
        for piece in _combined(words, at, agos):
            if _fits(words[start:at], piece):
                bare = piece.bare_cost if at == start else 0.0
                yield Reading(start, piece.end, "WHEN", piece.moment, piece.cost + bare)


def _after_intro(words: Sequence[str], start: int) -> Iterator[int]:
    """The places where a piece may open: here, and behind `at`, `since about` and the like."""
    yield start
    for end, _ in _phrases(words, start, _INTROS):
        yield end


def _fits(intro: Sequence[str], piece: _Piece) -> bool:
    """Whether a piece may stand behind these words: `at noon`, `on tuesday`, `boiling since yesterday`."""
    if not intro:
        return not piece.needs_intro
    return intro[0] not in _ONLY_BEFORE or piece.opens in _ONLY_BEFORE[intro[0]]


def _bare_clocks(words: Sequence[str], start: int) -> Iterator[Reading]:
    for piece in _clocks(words, start):
        if not piece.needs_intro:
            yield Reading(start, piece.end, "CLOCK", piece.moment.clock, piece.cost)


# --- Clock times and days together

def _combined(words: Sequence[str], start: int, agos: dict[int, list[_Piece]]) -> Iterator[_Piece]:
    """A clock time, a day, or both in either order."""
    for clock in _clocks(words, start):
        yield clock
        for day in _behind(words, clock.end, lambda at: _days(words, at, agos)):
            if not day.moment.ago:
                yield _both(clock, day, day, clock)
    for day in _days(words, start, agos):
        yield day
        for clock in _behind(words, day.end, lambda at: _clocks(words, at)):
            if not day.moment.ago:
                yield _both(day, clock, day, clock)


def _behind(words: Sequence[str], end: int, pieces: Callable[[int], Iterator[_Piece]]) -> Iterator[_Piece]:
    """The second half of a moment, behind the first."""
    for at in _after_intro(words, end):
        yield from (piece for piece in pieces(at) if _fits(words[end:at], piece))


def _both(first: _Piece, second: _Piece, day: _Piece, clock: _Piece) -> _Piece:
    """One moment of the day and the clock time, in the order told; beside a day even `at 8` is a time."""
    part = clock.moment.part or day.moment.part
    moment = replace(clock.moment, day=day.moment.day, part=part)
    cost = max(day.cost, min(clock.cost, BARE_COST))
    return first._replace(end=second.end, moment=moment, cost=cost, bare_cost=0.0)


# --- Clock times

def _clocks(words: Sequence[str], start: int) -> Iterator[_Piece]:
    """Clock times, with the half of the day where it is told."""
    for end, clock in _phrases(words, start, _ALWAYS):
        yield _Piece(end, Moment(clock=clock, half_known=True))
    for piece in (*_written(words, start), *_by_hour(words, start), *_around_the_hour(words, start)):
        yield piece
        yield from _with_half(words, piece)


def _with_half(words: Sequence[str], piece: _Piece) -> Iterator[_Piece]:
    """`8 pm`, `8 in the morning`."""
    clock = piece.moment.clock
    if not clock or piece.moment.half_known and not 0 < clock.hour <= 12:
        return
    half = _HALVES.get(_at(words, piece.end))
    if half is not None:
        yield _Piece(piece.end + 1, Moment(clock=clock.replace(clock.hour % 12 + half), half_known=True))
    for lead in (("in", "the"), ("at",)):
        at = piece.end + len(lead)
        part = _PARTS_OF_DAY.get(_at(words, at))
        if part and tuple(words[piece.end:at]) == lead:
            yield _Piece(at + 1, replace(piece.moment, part=part))


def _written(words: Sequence[str], start: int) -> Iterator[_Piece]:
    """`10:20`, `20:30`, `08:30`."""
    hour, colon, minute = _at(words, start).partition(":")
    if colon and len(minute) == 2 and hour.isdecimal() and minute.isdecimal():
        if int(hour) < 24 and int(minute) < 60:
            known = hour[0] == "0" or int(hour) > 12
            yield _Piece(start + 1, Moment(clock=time(int(hour), int(minute)), half_known=known),
                         bare_cost=BARE_COST)


def _by_hour(words: Sequence[str], start: int) -> Iterator[_Piece]:
    """`8`, `8 o'clock`, `ten twenty`, `eight oh five`; only o'clock makes a time of it by itself."""
    hour = _hour(words, start)
    if hour is None:
        return
    yield _Piece(start + 1, Moment(clock=time(hour)), BARE_HOUR_COST, needs_intro=True)
    for phrase in _O_CLOCK:
        end = start + 1 + len(phrase)
        if tuple(words[start + 1:end]) == phrase:
            yield _Piece(end, Moment(clock=time(hour)), bare_cost=BARE_COST)
    for end, minute in _minutes(words, start + 1):
        yield _Piece(end, Moment(clock=time(hour, minute)), PAIR_COST, needs_intro=True)


def _around_the_hour(words: Sequence[str], start: int) -> Iterator[_Piece]:
    """`half past eight`, `quarter to nine`, `ten minutes past ten`."""
    for at, minutes, plain in _spans(words, start):
        direction = _PAST.get(_at(words, at))
        hour = _hour(words, at + 1)
        if direction is None or hour is None or (minutes == 30 and direction < 0):
            continue
        total = (hour * 60 + direction * minutes) % (12 * 60)
        clock = time(total // 60 or 12, total % 60)
        end = at + 2 + (_at(words, at + 2) in ("o'clock", "oclock"))
        # `ten to twelve` may be a range, so it is a time by itself only with `quarter`, `half` or `minutes`.
        yield _Piece(end, Moment(clock=clock), bare_cost=BARE_COST, needs_intro=not plain and direction < 0)


def _spans(words: Sequence[str], start: int) -> Iterator[tuple[int, int, bool]]:
    """End and minutes of what is told before `past` or `to`, and whether it can be nothing but a time."""
    at = start + (_at(words, start) in ARTICLES)
    named = {"quarter": 15, "half": 30}.get(_at(words, at))
    if named:
        yield at + 1, named, True
        return
    single = _small(_at(words, start))
    for end, minutes in ([(start + 1, single)] if 0 < single < 10 else _minutes(words, start)):
        if 0 < minutes < 30:
            told = _at(words, end) in ("minutes", "minute", "min")
            yield end + told, minutes, told


def _small(word: str) -> int:
    """A number below 30 in one word, or 0."""
    if word.isdecimal():
        return int(word) if len(word) <= 2 else 0
    return ONES.get(word) or TEENS.get(word) or TENS.get(word) or 0


def _hour(words: Sequence[str], at: int) -> int | None:
    word = _at(words, at)
    hour = _small(word)
    return hour if 1 <= hour <= 12 and word[0] != "0" else None


def _minutes(words: Sequence[str], at: int) -> Iterator[tuple[int, int]]:
    """Minutes told in two digits: `twenty`, `twenty five`, `oh five`, `20`."""
    word = _at(words, at)
    if word in ZEROS and _at(words, at + 1) in ONES:
        yield at + 2, ONES[words[at + 1]]
    elif word in TEENS:
        yield at + 1, TEENS[word]
    elif word.isdecimal() and len(word) == 2 and int(word) < 60:
        yield at + 1, int(word)
    elif TENS.get(word, 60) < 60:
        yield at + 1, TENS[word]
        if _at(words, at + 1) in ONES:
            yield at + 2, TENS[word] + ONES[words[at + 1]]


# --- Days

def _days(words: Sequence[str], start: int, agos: dict[int, list[_Piece]]) -> Iterator[_Piece]:
    """Days, with the part of the day where it is told, and elapsed times."""
    yield from agos.get(start, ())
    named = [_Piece(end, moment, opens="day") for end, moment in _phrases(words, start, _DAYS)]
    for piece in (*named, *_weekdays(words, start), *_dated(words, start)):
        yield piece
        part = _PARTS_OF_DAY.get(_at(words, piece.end))
        if part and not piece.moment.part:
            yield piece._replace(end=piece.end + 1, moment=replace(piece.moment, part=part))


def _weekdays(words: Sequence[str], start: int) -> Iterator[_Piece]:
    last = _at(words, start) == "last"
    weekday = _WEEKDAYS.get(_at(words, start + last))
    if weekday is not None:
        yield _Piece(start + last + 1, Moment(Weekday(weekday, last)), opens="date",
                     bare_cost=0.0 if last else BARE_COST)


def _dated(words: Sequence[str], start: int) -> Iterator[_Piece]:
    for end, day in _dates(words, start):
        yield _Piece(end, Moment(day), opens="date", bare_cost=0.0 if day.year else BARE_COST)
    if _at(words, start) == "the":
        for end, number in _day_numbers(words, start + 1):
            if any(_is_ordinal(word) for word in words[start + 1:end]):
                yield _Piece(end, Moment(DatedDay(number)), opens="date", needs_intro=True)


def _dates(words: Sequence[str], start: int) -> Iterator[tuple[int, DatedDay]]:
    """`october 18`, `the 18th of october`, `10/18`, `2026-10-18`."""
    month = _MONTHS.get(_at(words, start))
    if month:
        at = start + 1 + (_at(words, start + 1) == "the")
        yield from _fitting((end, number, month) for end, number in _day_numbers(words, at))
    at = start + (_at(words, start) == "the")
    for end, number in _day_numbers(words, at):
        after = end + (_at(words, end) == "of")
        if month := _MONTHS.get(_at(words, after)):
            yield from _fitting([(after + 1, number, month)])
    yield from _figures(_at(words, start), start + 1)


def _fitting(days: Iterable[tuple[int, int, int]]) -> Iterator[tuple[int, DatedDay]]:
    """Days that their month can have."""
    for end, day, month in days:
        if day <= monthrange(_LEAP_YEAR, month)[1]:
            yield end, DatedDay(day, month)


def _figures(word: str, end: int) -> Iterator[tuple[int, DatedDay]]:
    """A date in figures: month/day, month/day/year, or year-month-day."""
    order = {"/": ("month", "day", "year"), "-": ("year", "month", "day")}
    mark = "/" if "/" in word else "-"
    figures = word.split(mark)
    if not 2 <= len(figures) <= 3 or not all(figure.isdecimal() for figure in figures):
        return
    if mark == "-" and (len(figures) < 3 or len(figures[0]) != 4):
        return
    told = dict(zip(order[mark], map(int, figures)))
    year = told.get("year")
    told["year"] = year + 2000 if year is not None and year < 100 else year
    try:
        date(told["year"] or _LEAP_YEAR, told["month"], told["day"])
    except ValueError:
        return
    yield end, DatedDay(told["day"], told["month"], told["year"])


def _day_numbers(words: Sequence[str], at: int) -> Iterator[tuple[int, int]]:
    """Days of a month: `18`, `18th`, `eighteen`, `eighteenth`, `twenty first`."""
    word = _at(words, at)
    tens = TENS.get(word, 0)
    second = _at(words, at + 1)
    if tens in (20, 30):
        ones = _ORDINALS.get(second, 10) if _ORDINALS.get(second, 10) < 10 else ONES.get(second, 0)
        if ones and tens + ones <= 31:
            yield at + 2, tens + ones
    number = _ORDINALS.get(word) or _small(word[:-2] if _is_figure_ordinal(word) else word)
    if 1 <= number <= 31:
        yield at + 1, number


def _is_figure_ordinal(word: str) -> bool:
    return word.endswith(ORDINAL_ENDINGS) and word[:-2].isdecimal()


def _is_ordinal(word: str) -> bool:
    return word in _ORDINALS or _is_figure_ordinal(word)


# --- Words

def _phrases(words: Sequence[str], start: int, table: dict[tuple[str, ...], Any]) -> Iterator[tuple[int, Any]]:
    """End and meaning of the phrases of a table that stand at a place."""
    for length in (1, 2, 3, 4):
        meaning = table.get(tuple(words[start:start + length]))
        if meaning is not None and start + length <= len(words):
            yield start + length, meaning


def _at(words: Sequence[str], at: int) -> str:
    return words[at] if at < len(words) else ""
