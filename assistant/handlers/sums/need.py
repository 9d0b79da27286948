"""What a sum needs and what it says: the shape of every line of the tables of sums.

A `Need` is looked for in the sentence, then in the batch, then among the usual values; what none gives is asked for.
The same list feeds the working, so an answer can always say what it rests on.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import knowledge
from assistant.brew import Brew, Known
from assistant.engine.result import Result
from assistant.engine.units import Q
from assistant.reply import Input

Values = Mapping[str, Any]
"""The inputs of a sum by slot: quantities and names; a missing optional one is absent."""


@dataclass(frozen=True)
class Need:
    """One input of a sum."""

    slot: str
    name: str
    """What the brewer calls it."""
    question: str = ""
    """Asked when nothing gives it; an input without a question is optional."""
    batch: Callable[[Brew], Known | None] | None = None
    usual: Known | None = None
    follows: Callable[[Brew, Values], Known | None] | None = None
    """What inputs found before it give, such as a hop's alpha acids."""
    answered: bool = False
    """"That" means what the last answer gave, and the ingredient it was about."""
    asked_if: Callable[[Values], bool] = field(default=lambda given: True)
    """Whether it is needed at all, beside the inputs found before it."""


@dataclass(frozen=True)
class Offer:
    """What may be done with an answer, and the question whether it shall be."""

    question: str
    act: str
    slots: dict[str, Any]


@dataclass(frozen=True)
class Sum:
    """One act's sum."""

    needs: tuple[Need, ...]
    work: Callable[[Brew, Values], Result]
    say: Callable[[Values, Values], str]
    """The answer from the result's values and the inputs; number first."""
    more: Callable[[Values, Values], tuple[str, ...]] = field(default=lambda values, given: ())
    where: tuple[str, tuple[Need, ...]] = ("", ())
    """Needs that only a slot which was said calls for: its name, and they."""
    lists: Callable[[Brew, Values, Values], tuple[str, ...]] = field(default=lambda brew, values, given: ())
    """What the answer lists of the batch, from the result's values and the inputs."""
    lines: Callable[[Brew, Values], list[Input]] = field(default=lambda brew, given: [])
    """The lines of the recipe it rests on."""
    ranged: str = ""
    """The value, a time, whose range is told with the answer: a forecast."""
    instead: Callable[[Brew, Mapping[str, Any]], Sum | None] = field(default=lambda brew, slots: None)
    """Another sum for the same question, where the batch knows better; beside it the slots that were said."""
    offers: Callable[[Brew, Values, Values], Offer | None] = field(default=lambda brew, values, given: None)
    """What a yes does with the answer."""
    parts: tuple[str, ...] = ()
    """Slots that a sentence may tell of several things, such as worts; `given["parts"]` holds them, thing by thing."""


def usual(number: float, unit: str, why: str) -> Known:
    return Known(Q(number, unit), f"default: {why}")


def of_setting(name: str) -> Callable[[Brew], Known | None]:
    return lambda brew: brew.setting(name)


def named(values: Values) -> str:
    entry = knowledge.ingredients().get(values["ingredient"])
    return entry.name if entry else str(values["ingredient"])


VOLUME = Need("volume", "volume", "What volume?", Brew.volume)
KETTLE = Need("volume", "volume", "What volume?", lambda brew: brew.kettle_volume() or brew.volume())
INGREDIENT = Need("ingredient", "ingredient", "Of what?")
AMOUNT = Need("amount", "amount", "How much of it?")
