"""Which cautions a sentence calls for, the most pressing first.

The rules are `knowledge/cautions.toml`; here stands only how their conditions are weighed.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from math import inf

import knowledge
from knowledge import Caution, When

NEGATORS = frozenset(["not", "no", "never", "without", "avoid", "avoiding", "prevent", "nobody", "none"])

REACH = 3
"""How many words a negator carries: `not in the garage`."""

FRESH_STARTS = frozenset({
    ",", "i", "my", "we", "he", "she", "they", "it", "and", "but", "because", "is", "are", "was", "stop",
    "stopped", "sure", "know", "only", "feel", "feeling", "good",
})
"""Words a negator does not carry over: `no i burned my hand`, `can not stop the bleeding`."""


@dataclass(frozen=True, slots=True)
class Facts:
    """What is known of a sentence when cautions are looked up; what is left out holds for no condition."""

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


def matching(facts: Facts, told: Collection[str] = ()) -> list[Caution]:
    """The cautions that hold: first where someone is hurt, then danger, warning, advice.

    told: ids of what this batch has been told before; advice among it is not repeated, anything graver is.
    """
    heard = f" {' '.join(facts.words)} "
    held = (
        caution for caution in knowledge.cautions().values()
        if any(_holds(when, facts, heard) for when in caution.when)
    )
    fresh = (caution for caution in held if caution.grave != "advice" or caution.id not in told)
    return sorted(fresh, key=_rank)


def _rank(caution: Caution) -> tuple[bool, int]:
    return not caution.hurt, knowledge.GRAVITY.index(caution.grave)


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


def _holds(when: When, facts: Facts, heard: str) -> bool:
    return all(condition(when, facts, heard) for condition in _CONDITIONS)


def _within(temperature_f: float | None, when: When) -> bool:
    """Whether the temperature lies between the bounds; one that was not spoken of lies within none."""
    low = -inf if when.above_f is None else when.above_f
    high = inf if when.below_f is None else when.below_f
    if temperature_f is None:
        return when.above_f is None and when.below_f is None
    return low < temperature_f < high


def _any_group(groups: tuple[tuple[str, ...], ...], heard: str) -> bool:
    return any(all(_clue(clue, heard) for clue in group) for group in groups)


def _clue(clue: str, heard: str) -> bool:
    """Whether one of the clue's choices is said, and not said away."""
    return any(
        not _negated(heard[:place])
        for choice in clue.split("|")
        for place in _places(f" {choice[:-1]}" if choice.endswith("*") else f" {choice} ", heard)
    )


def _places(needle: str, heard: str) -> Iterator[int]:
    place = heard.find(needle)
    while place >= 0:
        yield place
        place = heard.find(needle, place + 1)


def _negated(before: str) -> bool:
    """Whether the words before a phrase, as far as a negator reaches, take it back."""
    for word in reversed(before.split()[-REACH:]):
        if word in NEGATORS:
            return True
        if word in FRESH_STARTS:
            return False
    return False
