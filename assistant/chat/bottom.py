"""The line below the one being typed: batch, boil, timers and what is next, as far as they fit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from prompt_toolkit.utils import get_cwidth

from assistant.chat.paper import keep_units

if TYPE_CHECKING:
    from assistant.conversation import Status

BETWEEN = " | "
CUT = "..."

SPANS = ((1.0, 1 / 60, "s"), (120.0, 1.0, "min"), (48 * 60.0, 60.0, "h"), (float("inf"), 24 * 60.0, "days"))
"""Below how many minutes a span is shown in which unit, and the minutes in that unit."""


def span(minutes: float) -> str:
    """A span of time in few characters: `38 min`, and `45 s` in the last minute. Never below 0."""
    length, sign = next((length, sign) for below, length, sign in SPANS if minutes < below)
    return f"{max(0, round(minutes / length))} {sign}"


def batch(status: Status) -> tuple[str, str]:
    if status.batch is None:
        return "no batch yet", "no batch yet"
    boils = status.boil_left is not None
    return (status.batch if boils else f"{status.batch}, {status.stage}"), status.batch


def boil(status: Status) -> tuple[str, str]:
    if status.boil_left is None:
        return "", ""
    if status.boil_left <= 0:
        return "boil time is up", "boil time is up"
    left = span(status.boil_left)
    if status.paused:
        return f"boil paused at {left}", f"paused {left}"
    return f"boil {left} left", f"boil {left}"


def timers(status: Status) -> tuple[str, str]:
    soonest_first = sorted(status.timers, key=lambda timer: timer[1])
    shown = [f"{label or 'timer'} {span(left)}" for label, left in soonest_first]
    return BETWEEN.join(shown), "".join(shown[:1])


def coming(status: Status) -> tuple[str, str]:
    if status.next is None:
        return "", ""
    line = f"{_when(status.next_in)} {status.next}"
    return line, line


def _when(minutes: float | None) -> str:
    if minutes is None:  # Its clock stands still or has not begun.
        return "next"
    return f"in {span(minutes)}" if minutes > 0 else "now"


PARTS: dict[str, Callable[[Status], tuple[str, str]]] = {
    "batch": batch,
    "boil": boil,
    "timers": timers,
    "coming": coming,
}
"""The parts in the order shown, each with a full and a short wording; empty when there is nothing to say.

What is coming stands last and opens with its moment, so that a line cut at its end loses only names.
"""

GIVES_WAY = ("batch", "batch", "timers", "boil", "timers")
"""Which part gives way first when the line is too long. The first time it turns short, then it goes.

The boil stays, for people look at it all along; rather what is coming is cut.
"""


def bottom_line(status: Status, columns: int) -> str:
    """The status in at most `columns` columns, never empty."""
    lines = [line for line in _shorter_and_shorter(status) if line]
    fitting = (line for line in lines if get_cwidth(line) <= columns)
    return next(fitting, None) or _cut(lines[-1], columns)


def _shorter_and_shorter(status: Status) -> Iterator[str]:
    wordings = {name: [*wording(status), ""] for name, wording in PARTS.items()}
    for gives_way in (*GIVES_WAY, None):
        yield BETWEEN.join(left[0] for left in wordings.values() if left[0])
        if gives_way:
            wordings[gives_way].pop(0)


def _cut(line: str, columns: int) -> str:
    """`line` up to the last word, or number and unit, that fits; one long word is cut within."""
    ends = [found.start() for found in re.finditer(" ", keep_units(line))] or range(len(line))
    heads = [line[:end] for end in ends if get_cwidth(line[:end] + CUT) <= columns]
    return (heads[-1].rstrip(" ,|") if heads else "") + CUT[:columns]
