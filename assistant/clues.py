"""Whether the words of a sentence, and what is known with it, meet the conditions of an entry.

Cautions, troubles and beliefs are heard by the same clues; `knowledge/cautions.toml` says how they are written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from math import inf

from knowledge import When

NEGATORS = frozenset(["not", "no", "never", "without", "avoid", "avoiding", "prevent", "nobody", "none"])

REACH = 3
"""How many words a negator carries: `not in the garage`."""

FRESH_STARTS = frozenset({
    ",", "i", "my", "we", "he", "she", "they", "it", "and", "but", "because", "is", "are", "was", "stop",
    "stopped", "sure", "know", "only", "feel", "feeling", "good",
})
"""Words a negator does not carry over: `no i burned my hand`, `can not stop the bleeding`."""

EITHER_WAY = "~"
"""Before a clue that counts although it is said away: the foam of `there is no foam`."""


@dataclass(frozen=True, slots=True)
class Facts:
    """What is known of a sentence when entries are looked up; what is left out holds for no condition."""

    words: tuple[str, ...] = ()
    """The words of the sentence, lower case, contractions opened, a pause as the word `,`."""
    act: str | None = None
    event: str | None = None
    stage: str | None = None
    """Where the batch stands, one of `knowledge.entries.BATCH_STAGES`."""
    ingredient: str | None = None
    """The id of the ingredient spoken of."""
    kind: str | None = None
    """The kind of that ingredient."""
    temperature_f: float | None = None
    """The temperature spoken of, degrees Fahrenheit."""
    flags: frozenset[str] = frozenset()
    """What is known of the batch, from `knowledge.entries.FLAGS`."""


Condition = Callable[[When, Facts, str], bool]

_CONDITIONS: tuple[Condition, ...] = (
    lambda when, facts, heard: not when.acts or facts.act in when.acts,
    lambda when, facts, heard: not when.events or facts.event in when.events,
    lambda when, facts, heard: not when.stages or facts.stage in when.stages,
    lambda when, facts, heard: not when.kinds or facts.kind in when.kinds,
    lambda when, facts, heard: not when.ingredients or facts.ingredient in when.ingredients,
    lambda when, facts, heard: facts.flags.issuperset(when.flags),
    lambda when, facts, heard: _within(facts.temperature_f, when),
    lambda when, facts, heard: not when.words or _any_group(when.words, heard),
    lambda when, facts, heard: not _any_group(when.unless, heard),
)
"""One line for each field of `When`, the cheap ones first; a condition that is not written holds."""


def hold(conditions: Iterable[When], facts: Facts) -> bool:
    """Whether one of them holds whole."""
    heard = f" {' '.join(facts.words)} "
    return any(all(condition(when, facts, heard) for condition in _CONDITIONS) for when in conditions)


def clues_heard(conditions: Iterable[When], words: Iterable[str]) -> int:
    """The clues of the fullest group that is heard whole: how particularly these conditions fit the words."""
    heard = f" {' '.join(words)} "
    return max((
        len(group)
        for when in conditions
        for group in when.words if _whole(group, heard) and not _any_group(when.unless, heard)
    ), default=0)


def ruled_out(conditions: Iterable[When], words: Iterable[str]) -> bool:
    """Whether the words hold what none of these conditions bears."""
    heard = f" {' '.join(words)} "
    rows = list(conditions)
    return bool(rows) and all(_any_group(when.unless, heard) for when in rows)


def _within(temperature_f: float | None, when: When) -> bool:
    """Whether the temperature lies between the bounds; one that was not spoken of lies within none."""
    low = -inf if when.above_f is None else when.above_f
    high = inf if when.below_f is None else when.below_f
    if temperature_f is None:
        return when.above_f is None and when.below_f is None
    return low < temperature_f < high


def _any_group(groups: tuple[tuple[str, ...], ...], heard: str) -> bool:
    return any(_whole(group, heard) for group in groups)


def _whole(group: tuple[str, ...], heard: str) -> bool:
    return all(_clue(clue, heard) for clue in group)


def _clue(clue: str, heard: str) -> bool:
    """Whether one of the clue's choices is said, and not said away."""
    for choice in _choices(clue):
        place = heard.find(choice)
        while place >= 0:
            if clue.startswith(EITHER_WAY) or not _negated(heard[:place]):
                return True
            place = heard.find(choice, place + 1)
    return False


@cache
def _choices(clue: str) -> tuple[str, ...]:
    """The clue's choices as they stand in words with a gap around each; plain text, for patterns take long to make ready."""
    choices = clue.removeprefix(EITHER_WAY).split("|")
    return tuple(f" {choice[:-1]}" if choice.endswith("*") else f" {choice} " for choice in choices)


def _negated(before: str) -> bool:
    """Whether the words before a phrase, as far as a negator reaches, take it back."""
    for word in reversed(before.split()[-REACH:]):
        if word in NEGATORS:
            return True
        if word in FRESH_STARTS:
            return False
    return False
