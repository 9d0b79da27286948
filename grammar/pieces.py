"""The pieces a moment is told in, on which clock times and days agree."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple, TypeVar

from grammar.moment import AFTERNOON, EVENING, MORNING, NIGHT, Moment

PARTS_OF_DAY = {"morning": MORNING, "afternoon": AFTERNOON, "evening": EVENING, "night": NIGHT}

BARE_COST = 0.05
"""For a clock time or a date without `at` or `on`."""

_Meaning = TypeVar("_Meaning")


class Piece(NamedTuple):
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


def phrases(
    words: Sequence[str], start: int, table: Mapping[tuple[str, ...], _Meaning]
) -> Iterator[tuple[int, _Meaning]]:
    """End and meaning of the phrases of a table that stand at a place, up to four words long."""
    for end in range(start + 1, min(start + 4, len(words)) + 1):
        meaning = table.get(tuple(words[start:end]))
        if meaning is not None:
            yield end, meaning
