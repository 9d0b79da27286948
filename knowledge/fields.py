"""How one value in a knowledge file is read, by the type its field is declared with."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import NamedTuple

PHRASE = re.compile(r"[a-z0-9]+( [a-z0-9]+)*")
_CHOICE = r"([a-z0-9]+( [a-z0-9]+)*\*?|<[a-z]+>)"
CLUE = re.compile(rf"~?{_CHOICE}(\|{_CHOICE})*")
FAMILY = re.compile(r"<([a-z]+)>")
"""A word family of families.toml, where a clue may have a choice."""


class Range(NamedTuple):
    """From `low` to `high`, both included, in the unit the field says."""

    low: float
    high: float


class Amount(NamedTuple):
    """A number with the name of its unit, as the calculations spell units."""

    number: float
    unit: str


def text(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise ValueError(f"is {value!r}", "write text in quotes")
    return value


def flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"is {value!r}", "write true or false")
    return value


def number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise ValueError(f"is {value!r}", "write a number")
    return float(value)


def range_(value: object) -> Range:
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError(f"is {value!r}", "write [low, high]")
    found = Range(*map(number, value))
    if found.low > found.high:
        raise ValueError(f"runs from {found.low:g} down to {found.high:g}", "write the lower number first")
    return found


def amount(value: object) -> Amount:
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError(f"is {value!r}", 'write [number, "unit"]')
    return Amount(number(value[0]), text(value[1]))


def texts(value: object) -> tuple[str, ...]:
    """A list of texts; a lone text counts as a list of one."""
    if value == []:
        raise ValueError("is []", "leave it out or write at least one")
    return tuple(map(text, value if isinstance(value, list) else [value]))


def spelled(pattern: re.Pattern[str], value: object, works: str) -> tuple[str, ...]:
    found = texts(value)
    for phrase in found:
        if not pattern.fullmatch(phrase):
            raise ValueError(f"holds {phrase!r}", works)
    return found


def phrase(value: object) -> str:
    """What a brewer says, as the words come out of a sentence: lower case, no punctuation."""
    (only,) = phrases(text(value))
    return only


def phrases(value: object) -> tuple[str, ...]:
    """A list of such phrases; a lone one counts as a list of one."""
    return spelled(PHRASE, value, "write lower-case words and digits with one space between")


def choices(value: object) -> tuple[str, ...]:
    """The words of a family, each as it may stand in a clue."""
    return spelled(re.compile(rf"{_CHOICE}"), value, "write lower-case words, * after the opening of a word")


def clues(value: object) -> tuple[tuple[str, ...], ...]:
    """Groups of clues; within a group all must be heard, and one group is enough."""
    groups = value if isinstance(value, list) else []
    if not groups or not all(isinstance(group, list) and group for group in groups):
        raise ValueError(f"is {value!r}", 'write groups, [["all", "of"], ["or", "these"]]')
    works = "write lower-case words, | between choices, * after the opening of a word, <family> for the words of a family"
    return tuple(spelled(CLUE, group, works) for group in groups)


def opened(found: tuple[tuple[str, ...], ...], family: Callable[[str], tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """The same clues with each family as the choices it stands for."""
    return tuple(
        tuple(FAMILY.sub(lambda named: "|".join(family(named[1])), clue) if "<" in clue else clue for clue in group) for group in found
    )


Reader = Callable[[object], object]

READERS: dict[str, Reader] = {
    "str": text,
    "bool": flag,
    "float": number,
    "float | None": number,
    "Range": range_,
    "Range | None": range_,
    "Amount | None": amount,
    "Texts": texts,
    "Phrase": phrase,
    "Phrases": phrases,
    "Clues": clues,
    "Choices": choices,
}
"""A reader for each type a field may be declared with. It raises ValueError(what is wrong, what works)."""
