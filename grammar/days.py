"""Finds days: `yesterday evening`, `last friday`, `on october 18`, `the 18th`, `10/18`."""

from calendar import monthrange
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from grammar.clock_times import small_number
from grammar.moment import NIGHT, DatedDay, DaysBack, Moment, Weekday
from grammar.numbers import ONES, ORDINAL_ENDINGS, TENS
from grammar.pieces import BARE_COST, PARTS_OF_DAY, Piece, phrases
from grammar.reading import whole_number, word_at

_DAYS: dict[tuple[str, ...], Moment] = {
    ("today",): Moment(DaysBack(0)),
    ("tonight",): Moment(DaysBack(0), part=NIGHT),
    ("yesterday",): Moment(DaysBack(1)),
    ("last", "night"): Moment(DaysBack(1), part=NIGHT),
    ("day", "before", "yesterday"): Moment(DaysBack(2)),
    ("the", "day", "before", "yesterday"): Moment(DaysBack(2)),
    ("the", "night", "before", "last"): Moment(DaysBack(2), part=NIGHT),
    **{("this", name): Moment(DaysBack(0), part=part) for name, part in PARTS_OF_DAY.items()},
}
_WEEKDAYS = {name: n for n, name in enumerate(
    "monday tuesday wednesday thursday friday saturday sunday".split())} | {
    "mon": 0, "tue": 1, "tues": 1, "wed": 2, "thu": 3, "thur": 3, "thurs": 3, "fri": 4}
_MONTHS = {form: n for n, forms in enumerate(
    ("january jan", "february feb", "march mar", "april apr", "may", "june jun", "july jul", "august aug",
     "september sep sept", "october oct", "november nov", "december dec"), 1) for form in forms.split()}
# Months that are other words too: `at 10 may I pitch`. Such a date, like 3/4, is one only behind `on`.
_DOUBTFUL_DATES = {"may", "march", "mar"}
_LEAP_YEAR = 2024
_ORDINALS = {word: n for n, word in enumerate(
    "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth "
    "fifteenth sixteenth seventeenth eighteenth nineteenth twentieth".split(), 1)} | {"thirtieth": 30}


def days_at(words: Sequence[str], start: int) -> Iterator[Piece]:
    """Days, with the part of the day where it is told."""
    named = [Piece(end, moment, opens="day") for end, moment in phrases(words, start, _DAYS)]
    for piece in (*named, *_weekdays(words, start), *_dated(words, start)):
        yield piece
        part = PARTS_OF_DAY.get(word_at(words, piece.end))
        if part and not piece.moment.part:
            yield piece._replace(end=piece.end + 1, moment=replace(piece.moment, part=part))


def _weekdays(words: Sequence[str], start: int) -> Iterator[Piece]:
    last = word_at(words, start) == "last"
    weekday = _WEEKDAYS.get(word_at(words, start + last))
    if weekday is not None:
        yield Piece(start + last + 1, Moment(Weekday(weekday, last)), opens="date",
                     bare_cost=0.0 if last else BARE_COST)


def _dated(words: Sequence[str], start: int) -> Iterator[Piece]:
    for end, day in _dates(words, start):
        told = words[start:end]
        doubtful = not _DOUBTFUL_DATES.isdisjoint(told) and not any(map(_is_ordinal, told))
        needs_intro = doubtful or "/" in told[0] and not day.year
        yield Piece(end, Moment(day), opens="date", bare_cost=0.0 if day.year else BARE_COST,
                    needs_intro=needs_intro)
    if word_at(words, start) == "the":
        for end, number in _day_numbers(words, start + 1):
            if any(map(_is_ordinal, words[start + 1:end])):
                yield Piece(end, Moment(DatedDay(number)), opens="date", needs_intro=True)


def _dates(words: Sequence[str], start: int) -> Iterator[tuple[int, DatedDay]]:
    """`october 18`, `the 18th of october`, `10/18`, `2026-10-18`."""
    month = _MONTHS.get(word_at(words, start))
    if month:
        at = start + 1 + (word_at(words, start + 1) == "the")
        yield from _fitting((end, number, month) for end, number in _day_numbers(words, at))
    at = start + (word_at(words, start) == "the")
    for end, number in _day_numbers(words, at):
        after = end + (word_at(words, end) == "of")
        if month := _MONTHS.get(word_at(words, after)):
            yield from _fitting([(after + 1, number, month)])
    yield from _figures(word_at(words, start), start + 1)


def _fitting(days: Iterable[tuple[int, int, int]]) -> Iterator[tuple[int, DatedDay]]:
    """Days that their month can have."""
    for end, day, month in days:
        if day <= monthrange(_LEAP_YEAR, month)[1]:
            yield end, DatedDay(day, month)


def _figures(word: str, end: int) -> Iterator[tuple[int, DatedDay]]:
    """A date in figures: month/day, month/day/year, or year-month-day."""
    match "/" in word, [whole_number(figures) for figures in word.replace("/", "-").split("-")]:
        case True, [int(month), int(day)]:
            year = None
        case (True, [int(month), int(day), int(year)]) | (False, [int(year), int(month), int(day)]):
            year += 2000 if year < 100 else 0
        case _:
            return
    try:
        date(year or _LEAP_YEAR, month, day)
    except (ValueError, OverflowError):
        return
    yield end, DatedDay(day, month, year)


def _day_numbers(words: Sequence[str], at: int) -> Iterator[tuple[int, int]]:
    """Days of a month: `18`, `18th`, `eighteen`, `eighteenth`, `twenty first`."""
    word = word_at(words, at)
    tens = TENS.get(word, 0)
    second = word_at(words, at + 1)
    if tens in (20, 30):
        ones = _ORDINALS.get(second, 10) if _ORDINALS.get(second, 10) < 10 else ONES.get(second, 0)
        if ones and tens + ones <= 31:
            yield at + 2, tens + ones
    number = _ORDINALS.get(word) or small_number(word[:-2] if _is_figure_ordinal(word) else word)
    if 1 <= number <= 31:
        yield at + 1, number


def _is_figure_ordinal(word: str) -> bool:
    return word.endswith(ORDINAL_ENDINGS) and whole_number(word[:-2]) is not None


def _is_ordinal(word: str) -> bool:
    return word in _ORDINALS or _is_figure_ordinal(word)
