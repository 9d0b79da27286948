"""Finds clock times: `10:20`, `8 pm`, `half past eight`, `8 in the morning`, and `ten twenty` behind `at`."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import time

from grammar.moment import Moment
from grammar.numbers import ARTICLES, ONES, TEENS, TENS, ZEROS
from grammar.pieces import BARE_COST, PARTS_OF_DAY, Piece, phrases
from grammar.reading import whole_number, word_at

_HALVES = {"am": 0, "pm": 12}
_ALWAYS = {("noon",): time(12), ("midday",): time(12), ("midnight",): time(0), ("12", "noon"): time(12),
           ("twelve", "noon"): time(12), ("12", "midnight"): time(0), ("twelve", "midnight"): time(0)}
_PAST = {"past": 1, "after": 1, "to": -1, "till": -1, "til": -1, "before": -1, "of": -1}
_O_CLOCK = (("o'clock",), ("oclock",), ("o", "clock"), ("oh", "clock"))
PAIR_COST = 0.04
"""For `at ten twenty`, which may be a gravity."""
BARE_HOUR_COST = 0.3
"""For `at 8`, which may be many things."""


def clocks_at(words: Sequence[str], start: int) -> Iterator[Piece]:
    """Clock times, with the half of the day where it is told."""
    for end, clock in phrases(words, start, _ALWAYS):
        yield Piece(end, Moment(clock=clock, half_known=True))
    for piece in (*_written(words, start), *_by_hour(words, start), *_around_the_hour(words, start)):
        yield piece
        yield from _with_half(words, piece)


def _with_half(words: Sequence[str], piece: Piece) -> Iterator[Piece]:
    """`8 pm`, `8 in the morning`."""
    clock = piece.moment.clock
    if not clock or piece.moment.half_known and not 0 < clock.hour <= 12:
        return
    half = _HALVES.get(word_at(words, piece.end))
    if half is not None:
        yield Piece(piece.end + 1, Moment(clock=clock.replace(clock.hour % 12 + half), half_known=True))
    for lead in (("in", "the"), ("at",)):
        at = piece.end + len(lead)
        part = PARTS_OF_DAY.get(word_at(words, at))
        if part and tuple(words[piece.end:at]) == lead:
            yield Piece(at + 1, replace(piece.moment, part=part))


def _written(words: Sequence[str], start: int) -> Iterator[Piece]:
    """`10:20`, `20:30`, `08:30`."""
    told, _, rest = word_at(words, start).partition(":")
    hour, minute = whole_number(told), whole_number(rest)
    if hour is not None and minute is not None and hour < 24 and minute < 60 and len(rest) == 2:
        moment = Moment(clock=time(hour, minute), half_known=told[0] == "0" or hour > 12)
        yield Piece(start + 1, moment, bare_cost=BARE_COST)


def _by_hour(words: Sequence[str], start: int) -> Iterator[Piece]:
    """`8`, `8 o'clock`, `ten twenty`, `eight oh five`; only o'clock makes a time of it by itself."""
    hour = _hour(words, start)
    if hour is None:
        return
    yield Piece(start + 1, Moment(clock=time(hour)), BARE_HOUR_COST, needs_intro=True)
    for phrase in _O_CLOCK:
        end = start + 1 + len(phrase)
        if tuple(words[start + 1:end]) == phrase:
            yield Piece(end, Moment(clock=time(hour)), bare_cost=BARE_COST)
    for end, minute in _minutes(words, start + 1):
        yield Piece(end, Moment(clock=time(hour, minute)), PAIR_COST, needs_intro=True)


def _around_the_hour(words: Sequence[str], start: int) -> Iterator[Piece]:
    """`half past eight`, `quarter to nine`, `ten minutes past ten`."""
    for at, minutes, plain in _spans(words, start):
        direction = _PAST.get(word_at(words, at))
        hour = _hour(words, at + 1)
        if direction is None or hour is None or (minutes == 30 and direction < 0):
            continue
        total = (hour * 60 + direction * minutes) % (12 * 60)
        clock = time(total // 60 or 12, total % 60)
        end = at + 2 + (word_at(words, at + 2) in ("o'clock", "oclock"))
        # `ten to twelve` may be a range, so it is a time by itself only with `quarter`, `half` or `minutes`.
        yield Piece(end, Moment(clock=clock), bare_cost=BARE_COST, needs_intro=not plain and direction < 0)


def _spans(words: Sequence[str], start: int) -> Iterator[tuple[int, int, bool]]:
    """End and minutes of what is told before `past` or `to`, and whether it can be nothing but a time."""
    at = start + (word_at(words, start) in ARTICLES)
    named = {"quarter": 15, "half": 30}.get(word_at(words, at))
    if named:
        yield at + 1, named, True
        return
    single = small_number(word_at(words, start))
    for end, minutes in ([(start + 1, single)] if 0 < single < 10 else _minutes(words, start)):
        if 0 < minutes < 30:
            told = word_at(words, end) in ("minutes", "minute", "min")
            yield end + told, minutes, told


def small_number(word: str) -> int:
    """A number below a hundred in one word, or 0."""
    figures = whole_number(word) or 0
    return ONES.get(word) or TEENS.get(word) or TENS.get(word) or (figures if figures < 100 else 0)


def _hour(words: Sequence[str], at: int) -> int | None:
    word = word_at(words, at)
    hour = small_number(word)
    return hour if 1 <= hour <= 12 and word[0] != "0" else None


def _minutes(words: Sequence[str], at: int) -> Iterator[tuple[int, int]]:
    """Minutes told in two digits: `twenty`, `twenty five`, `oh five`, `20`."""
    word = word_at(words, at)
    if word in ZEROS and word_at(words, at + 1) in ONES:
        yield at + 2, ONES[words[at + 1]]
    elif word in TEENS:
        yield at + 1, TEENS[word]
    elif len(word) == 2 and (minute := whole_number(word)) is not None and minute < 60:
        yield at + 1, minute
    elif TENS.get(word, 60) < 60:
        yield at + 1, TENS[word]
        if word_at(words, at + 1) in ONES:
            yield at + 2, TENS[word] + ONES[words[at + 1]]
