"""Says durations and clock times the usual ways, for the tests of their readers.

Common practice, no source.
"""

from collections.abc import Iterator

from spoken_numbers import SIGNS, below_hundred, cardinal, mixed_forms, pair, part_forms, whole_forms

QUARTERS = {15: "1/4", 30: "1/2", 45: "3/4"}
"""The minutes that are told as a fraction of the hour."""


def duration_forms(minutes: int) -> Iterator[str]:
    """Every usual way to say or type so many minutes: `ninety minutes`, `an hour and a half`, `1h30m`."""
    for count in whole_forms(minutes):
        yield from (f"{count} minutes", f"{count} mins", f"{count}-minute")
    yield from (f"{minutes}m", f"{minutes}min")
    hours, rest = divmod(minutes, 60)
    if hours and rest:
        yield from _hours_and_minutes(hours, rest)
    elif hours:
        yield from _hours(hours)
    if rest in QUARTERS:
        yield from _hours_and_part(hours, QUARTERS[rest]) if hours else _part_of_an_hour(QUARTERS[rest])


def _hours(hours: int) -> Iterator[str]:
    yield from (f"{hours} hours", f"{hours} hr", f"{hours}h", f"{cardinal(hours)} hours")
    if hours == 1:
        yield from ("an hour", "one hour", "1 hour")


def _heads(hours: int) -> list[str]:
    """How the hours are told before the minutes."""
    many = "hour" if hours == 1 else "hours"
    return [f"{hours} {many}", f"{cardinal(hours)} {many}"] + (["an hour"] if hours == 1 else [])


def _hours_and_minutes(hours: int, minutes: int) -> Iterator[str]:
    for head in _heads(hours):
        for count in (str(minutes), below_hundred(minutes)):
            yield from (f"{head} {count} minutes", f"{head} and {count} minutes")
    yield from (f"{hours}h{minutes}m", f"{hours}h {minutes}m", f"{hours} hr {minutes} min")


def _hours_and_part(hours: int, fraction: str) -> Iterator[str]:
    yield from (f"{number} hours" for number in mixed_forms(hours, fraction))
    over, under = map(int, fraction.split("/"))
    yield f"{hours + over / under} hours"
    heads = _heads(hours) + (["hour"] if hours == 1 else [])
    yield from (f"{head} and {part}" for head in heads for part in part_forms(fraction))


def _part_of_an_hour(fraction: str) -> Iterator[str]:
    yield from (f"{part} of an hour" for part in part_forms(fraction))
    yield from (f"{fraction} hour", f"{SIGNS[fraction]} hour", f"{fraction} of an hour")
    if fraction == "1/2":
        yield from ("half an hour", "half hour", "half-hour", "a half hour", "a half an hour", "1/2 an hour")
    if fraction == "1/4":
        yield from ("quarter of an hour", "quarter hour", "a quarter hour")


def hour_and_number_forms(minutes: int) -> Iterator[str]:
    """`an hour twenty`, where minutes go without saying; less sure than the rest."""
    hours, rest = divmod(minutes, 60)
    for head in _heads(hours):
        yield from (f"{head} {rest}", f"{head} {below_hundred(rest)}")


# --- Clock times

def clock_forms(hour: int, minute: int) -> Iterator[str]:
    """Every usual way to tell a time on a dial of twelve hours, without the half of the day."""
    twelve = hour % 12 or 12
    yield f"{twelve}:{minute:02d}"
    for told in (str(twelve), below_hundred(twelve)):
        if not minute:
            yield from (f"{told} o'clock", f"{told} oclock")
            continue
        yield f"{told} {below_hundred(minute) if minute > 9 else 'oh ' + below_hundred(minute)}"
        if minute <= 30:
            yield from _around(told, minute, ("past", "after"))
    if minute:
        yield f"{twelve} {minute:02d}"
        yield pair(100 * twelve + minute).replace(" ", "-")
        if minute < 10:
            yield from (f"{below_hundred(twelve)} {zero} {below_hundred(minute)}" for zero in ("o", "zero"))
    if minute > 30:
        for told in (str(twelve % 12 + 1), below_hundred(twelve % 12 + 1)):
            yield from _around(told, 60 - minute, ("to", "till", "til", "before", "of"))


def _around(hour: str, minutes: int, ways: tuple[str, ...]) -> Iterator[str]:
    """`half past ten`, `twenty to five`, `a quarter of nine`, `ten minutes after eight`."""
    if minutes == 30:
        yield f"half past {hour}"
        return
    for way in ways:
        if minutes == 15:
            yield from (f"quarter {way} {hour}", f"a quarter {way} {hour}")
        for count in (str(minutes), below_hundred(minutes)):
            yield from (f"{count} {way} {hour}", f"{count} minutes {way} {hour}")


def clock_forms_of_24_hours(hour: int, minute: int) -> Iterator[str]:
    """`14:05`, `09:05`, `0:05`; in the morning the nought tells the half of the day."""
    yield f"{hour:02d}:{minute:02d}"
    if hour == 0:
        yield f"0:{minute:02d}"
