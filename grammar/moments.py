"""Finds when something happened: `5 minutes ago`, `at 10:20`, `yesterday evening`, `on october 18 at noon`.

Clock times come from `clock_times.py`, days from `days.py`; here they are put together. Which moment is meant
is for `Moment.at` to say, once it is known when it was told.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from grammar.clock_times import clocks_at
from grammar.days import days_at
from grammar.moment import CALENDAR_DAYS, CALENDAR_MONTHS, DaysBack, Moment
from grammar.pieces import Piece, phrases
from grammar.quantities import read_quantities
from grammar.reading import Reading, weigh_cuts, word_at

__all__ = ["Moment", "read_moments"]

_INTROS: dict[tuple[str, ...], str] = {
    ("at",): "at", ("since",): "since", ("around",): "around", ("about",): "about", ("on",): "on",
    ("at", "around"): "at", ("at", "about"): "at", ("since", "around"): "since", ("since", "about"): "since",
}
# What may stand behind an intro that does not go with everything.
_ONLY_BEFORE = {"on": {"date"}, "at": {"clock"}}
_NOW: dict[tuple[str, ...], float] = {
    ("just", "now"): 0.0, ("right", "now"): 0.0, ("a", "moment", "ago"): 0.0, ("this", "minute"): 0.0,
    ("this", "moment"): 0.0, ("now",): 0.05,
}

_STANDS = ("is", "are", "am")
"""Behind these `at one fifty` tells how something stands, and no time."""

MOST_AGO = 1000
"""Nobody counts more days or minutes than this; it keeps a slip of dictation within the calendar."""
BESIDE_A_DAY_COST = 0.04
"""At most this for any clock time beside a day: `yesterday at 8`."""


def read_moments(words: Sequence[str]) -> list[Reading]:
    """Every moment (kind WHEN) and every bare clock time (kind CLOCK, a `datetime.time`) in `words`."""
    agos = _agos(words)
    return weigh_cuts(
        reading for start in range(len(words)) for reading in (
            *_moments_at(words, start, agos), *_bare_clocks(words, start)))


def _agos(words: Sequence[str]) -> dict[int, list[Piece]]:
    """What was so long ago, by the word it opens with; whole days are days, which may have a clock time."""
    agos: dict[int, list[Piece]] = {}
    for reading in read_quantities(words) if "ago" in words else ():
        if reading.kind != "DURATION" or word_at(words, reading.end) != "ago":
            continue
        count, unit = reading.value
        if not 0 <= count <= MOST_AGO or (count % 1 and unit in CALENDAR_MONTHS):
            continue
        if count % 1 == 0 and unit in CALENDAR_DAYS:
            moment = Moment(DaysBack(int(count) * CALENDAR_DAYS[unit]))
        else:
            moment = Moment(ago=reading.value)
        agos.setdefault(reading.start, []).append(Piece(reading.end + 1, moment, reading.cost, "day"))
    return agos


def _moments_at(words: Sequence[str], start: int, agos: dict[int, list[Piece]]) -> Iterator[Reading]:
    for end, cost in phrases(words, start, _NOW):
        yield Reading(start, end, "WHEN", Moment(), cost)
    stands = start and words[start] == "at" and words[start - 1] in _STANDS
    for at in () if stands else _after_intro(words, start):
        for piece in _combined(words, at, agos):
            if _fits(words[start:at], piece):
                bare = piece.bare_cost if at == start else 0.0
                yield Reading(start, piece.end, "WHEN", piece.moment, piece.cost + bare)


def _after_intro(words: Sequence[str], start: int) -> Iterator[int]:
    """The places where a piece may open: here, and behind `at`, `since about` and the like."""
    yield start
    for end, _ in phrases(words, start, _INTROS):
        yield end


def _fits(intro: Sequence[str], piece: Piece) -> bool:
    """Whether a piece may stand behind these words: `at noon`, `on tuesday`, `boiling since yesterday`."""
    if not intro:
        return not piece.needs_intro
    return intro[0] not in _ONLY_BEFORE or piece.opens in _ONLY_BEFORE[intro[0]]


def _bare_clocks(words: Sequence[str], start: int) -> Iterator[Reading]:
    for piece in clocks_at(words, start):
        if not piece.needs_intro:
            yield Reading(start, piece.end, "CLOCK", piece.moment.clock, piece.cost)


# --- Clock times and days together

def _combined(words: Sequence[str], start: int, agos: dict[int, list[Piece]]) -> Iterator[Piece]:
    """A clock time, a day, or both in either order."""
    for clock in clocks_at(words, start):
        yield clock
        for day in _behind(words, clock.end, lambda at: _days(words, at, agos)):
            if not day.moment.ago:
                yield _both(clock, day, day, clock)
    for day in _days(words, start, agos):
        yield day
        for clock in _behind(words, day.end, lambda at: clocks_at(words, at)):
            if not day.moment.ago:
                yield _both(day, clock, day, clock)


def _days(words: Sequence[str], at: int, agos: dict[int, list[Piece]]) -> Iterator[Piece]:
    yield from agos.get(at, ())
    yield from days_at(words, at)


def _behind(words: Sequence[str], end: int, pieces: Callable[[int], Iterator[Piece]]) -> Iterator[Piece]:
    """The second half of a moment, behind the first."""
    opens = end + (word_at(words, end) == ",")
    for at in _after_intro(words, opens):
        yield from (piece for piece in pieces(at) if _fits(words[opens:at], piece))


def _both(first: Piece, second: Piece, day: Piece, clock: Piece) -> Piece:
    """One moment of the day and the clock time, in the order told; beside a day even `at 8` is a time."""
    part = clock.moment.part or day.moment.part
    moment = replace(clock.moment, day=day.moment.day, part=part)
    cost = max(day.cost, min(clock.cost, BESIDE_A_DAY_COST))
    return first._replace(end=second.end, moment=moment, cost=cost, bare_cost=0.0)
