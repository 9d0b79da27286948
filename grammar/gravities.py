"""Finds every specific gravity that a run of words may be heard as.

`ten sixty`, `one oh six oh`, `10-60` and `1.06 oh` are 1.060; `102` may have lost a digit, so it is none.
Gravities are told as rows of digits, in words or figures; see `numbers.py`. Next: `quantities.py`.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from grammar.numbers import (
    MOST_DECIMALS,
    ODD_FORM_COST,
    POINTS,
    STARTERS,
    USUAL_DECIMALS,
    ZEROS,
    cardinals,
    digit_groups,
    literal,
    more_digits,
)
from grammar.reading import Reading, weigh_cuts, word_at

__all__ = ["all_gravities", "read_gravities"]

GLUED_COST = 0.08
"""For digits written apart that only make a gravity together: `1 060`."""
CLOCK_FORM_COST = 0.2
"""For a gravity written down as a clock time: `10:16`."""
LOWEST, HIGHEST = 0.990, 1.170
_LONGEST_ROW = 6


def read_gravities(words: Sequence[str]) -> list[Reading]:
    """Every specific gravity from 0.990 to 1.170 in `words`; a form that could be two gravities is none."""
    return weigh_cuts(all_gravities(words))


def all_gravities(words: Sequence[str]) -> list[Reading]:
    """The same before cuts are weighed."""
    found: dict[tuple[int, int, float], float] = {}
    for start in range(len(words)):
        for end, value, cost in _gravities_at(words, start):
            span = start, end, value
            found[span] = min(cost, found.get(span, cost))
    return [Reading(start, end, "GRAVITY", (value, "sg"), cost)
            for (start, end, value), cost in found.items()]


def _gravities_at(words: Sequence[str], start: int) -> Iterator[tuple[int, float, float]]:
    word = words[start]
    if word[0] in "019" and not word.isalpha():
        yield from _written_gravity(word, start)
    elif word not in STARTERS:
        return
    for row in _rows(words, start, _Row(start, "", 0.0, False)):
        value, cost = _gravity(row.text, one_by_one=row.end - start == len(row.text))
        if value and (not row.apart or _exact_length(row.text)):
            yield row.end, value, max(cost, row.cost)
    for end, number in cardinals(words, start):
        if number >= 990 and end - start > 1:
            value, cost = _gravity(str(number))
            if value:
                yield end, value, cost


class _Row(NamedTuple):
    """Digits told one after the other."""

    end: int
    text: str
    cost: float
    """What it costs to take them together."""
    apart: bool
    """Whether figures stand next to other digits, with a gap between: `1.0 6`."""


def _rows(words: Sequence[str], at: int, row: _Row) -> Iterator[_Row]:
    """Every row of digits with at most one point that goes on from `row`."""
    if row.text:
        yield row
    if len(row.text) >= _LONGEST_ROW or (row.text and row.text[0] not in "019."):
        return
    word = word_at(words, at)
    if word in POINTS and "." not in row.text:
        yield from _rows(words, at + 1, row._replace(end=at + 1, text=row.text + "."))
    elif not row.text and "." in word and literal(words, at):
        yield from _rows(words, at + 1, row._replace(end=at + 1, text=word))
    for end, digits in more_digits(words, at) if row.text else digit_groups(words, at):
        figures = row.text[-1:] not in ("", ".") and (word.isdecimal() or words[at - 1][0].isdecimal())
        cost = GLUED_COST if figures and word not in ZEROS else row.cost
        yield from _rows(words, end, _Row(end, row.text + digits, cost, row.apart or figures))


def _exact_length(text: str) -> bool:
    """Whether digits told apart make a gravity of the usual length, and so belong together."""
    whole, point, decimals = text.partition(".")
    return len(decimals) == USUAL_DECIMALS if point else len(whole) == 4 or whole[0] == "9"


def _written_gravity(word: str, start: int) -> Iterator[tuple[int, float, float]]:
    """Gravities in one word with a mark inside: `10-60`, `1-0-6-0`, `9-98`, `10:60`."""
    for mark, dearer in (("-", 0.0), (":", CLOCK_FORM_COST)):
        if mark in word:
            text = word.replace(mark, "")
            if text.isdecimal():
                value, _ = _gravity(text)
                if value:
                    yield start + 1, value, dearer


def _gravity(text: str, one_by_one: bool = False) -> tuple[float | None, float]:
    """The gravity that a row of digits means, and how odd a form it is; None where it could be another."""
    whole, point, decimals = text.partition(".")
    cost = 0.0
    if point and whole in ("", "0", "1") and 1 <= len(decimals) <= MOST_DECIMALS:
        value = float(text)
        cost = 0.0 if 1 < len(decimals) <= USUAL_DECIMALS else ODD_FORM_COST
    elif point and (len(whole) == len(decimals) == 2 or len(whole) == 4 and len(decimals) == 1):
        value, cost = float(f"{whole[0]}.{whole[1:]}{decimals}"), ODD_FORM_COST
    elif not point and (len(whole) == 4 or len(whole) == 5 and one_by_one):
        value, cost = float(f"{whole[0]}.{whole[1:]}"), 0.0 if len(whole) == 4 else ODD_FORM_COST
    elif not point and len(whole) == 3 and whole[0] == "9":
        value = float(f"0.{whole}")
    else:
        return None, 0.0
    return (value, cost) if LOWEST <= value <= HIGHEST else (None, 0.0)
