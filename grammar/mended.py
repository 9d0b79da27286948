"""What a speaker takes back or says over within one breath: `an ounce, no, half an ounce`, `bag's in bag's in`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from grammar.reading import CUT, Reading

RETRACTING = frozenset("no nope sorry rather correction scratch strike oops whoops wait".split())
"""Words of which one must stand between what is taken back and what holds, or one of the pairs below."""

RETRACTING_PAIRS = frozenset({("i", "mean"), ("make", "that"), ("make", "it"), ("call", "it")})

BETWEEN_BOTH = RETRACTING | frozenset(
    ", i mean make call that it this is on hold hang actually well or um uh er just the a my not".split()
)
"""Words that may stand there."""

NAME = "INGREDIENT"
"""The kind of everything that goes into a beer, for one may be taken back for any other."""

UNLIKE_NUMBERS = frozenset({NAME, "WHEN", "CLOCK"})
"""Kinds of which a number alone is no part; `GRAVITY` has no unit to take over."""


class Mended(NamedTuple):
    """A sentence as it was meant in the end."""

    words: list[str]
    taken_back: tuple[tuple[str, str], ...]
    """For each change of mind what was said, and which of it holds."""


def once(words: Sequence[str], numbers: frozenset[int]) -> list[str]:
    """The words of a sentence that says the same twice or more, said once; `numbers` are places, and count."""
    said = [(place, word) for place, word in enumerate(words) if word != ","]
    length = len(said)
    for run in range(1, length // 2 + 1):
        first = [word for _, word in said[:run]]
        repeats = length % run == 0 and [word for _, word in said] == first * (length // run)
        if repeats and not numbers.issuperset(place for place, _ in said[:run]):
            return list(words[: said[run - 1][0] + 1])
    return list(words)


def mended(words: Sequence[str], readings: Sequence[Reading]) -> Mended:
    """The sentence without what is taken back in it at once for another of its kind; `readings` are of what may be.

    Where what holds is a number alone it takes over the unit: `two pounds, no, three`.
    """
    found: list[tuple[str, str]] = []
    holds, shift = list(words), 0
    for start, end in _gaps(words):
        before = [r for r in readings if r.end == start and r.cost < CUT]
        after = [r for r in readings if r.start == end and r.cost < CUT]
        pair = _pair(before, after)
        if pair is None:
            continue
        old, new = pair
        instead = [*words[end : new.end], *_unit(words, readings, old, new)]
        found.append((" ".join(words[old.start : new.end]), " ".join(instead)))
        holds[old.start + shift : new.end + shift] = instead
        shift += len(instead) - (new.end - old.start)
    return Mended(holds, tuple(found))


def _gaps(words: Sequence[str]) -> list[tuple[int, int]]:
    """Where words stand that take back what is before them."""
    found, place = [], 0
    while place < len(words):
        end = place
        while end < len(words) and words[end] in BETWEEN_BOTH:
            end += 1
        gap = words[place:end]
        pairs = set(zip(gap, gap[1:], strict=False))
        if place and end < len(words) and (RETRACTING & set(gap) or RETRACTING_PAIRS & pairs):
            found.append((place, end))
        place = max(end, place + 1)
    return found


def _pair(before: Sequence[Reading], after: Sequence[Reading]) -> tuple[Reading, Reading] | None:
    """The longest two of one kind, or a quantity and a number that takes over its unit or lends it one."""
    pairs = [
        (old, new)
        for old in before
        for new in after
        if old.kind == new.kind or ("NUMBER" in (old.kind, new.kind) and not UNLIKE_NUMBERS & {old.kind, new.kind})
    ]
    return max(
        pairs,
        key=lambda pair: (pair[0].kind == pair[1].kind, pair[1].end - pair[0].start, pair[0].kind != "NUMBER"),
        default=None,
    )


def _unit(words: Sequence[str], readings: Sequence[Reading], old: Reading, new: Reading) -> list[str]:
    """The words of the unit that a number alone takes over."""
    if new.kind != "NUMBER":
        return []
    ends = [r.end for r in readings if r.kind == "NUMBER" and r.start == old.start and r.end < old.end]
    return list(words[max(ends) : old.end]) if ends else []
