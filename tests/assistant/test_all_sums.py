"""Every sum in every shape it is asked in: it shows its working, and no unit makes a difference.

A shape is an act with the facts that were said. Each shape of the example sentences is put to the batch of the brew day,
and put again with every number in the other system of units; then with numbers at random.
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from talk import TABLES, moment, opened

from assistant import lines
from assistant.brew import Brew
from assistant.conversation import Conversation
from assistant.dispatch import HANDLERS
from assistant.engine.units import Q, parse_unit
from assistant.handlers.sums import SUMS
from assistant.handlers.turn import Turn
from assistant.reply import ASK, DONE, Outcome
from grammar.command import Command
from grammar.language import Language

ASKED_AT = moment("2026-10-24T12:00")

Shape = tuple[str, dict[str, Any]]


def shapes() -> dict[str, Shape]:
    """The first example of each act with each set of facts, by a name for it."""
    found: dict[str, Shape] = {}
    for line in files("grammar").joinpath("examples.jsonl").read_text(encoding="utf-8").splitlines():
        case = json.loads(line)
        if case["act"] in SUMS:
            slots = {name: _with_unit(value) for name, value in case["slots"].items()}
            found.setdefault(f"{case['act']} {' '.join(sorted(slots))}".strip(), (case["act"], slots))
    return found


def _with_unit(value: Any) -> Any:
    return [float(value[0]), value[1]] if isinstance(value, list) else value


SHAPES = shapes()

EXACT = frozenset({"ask_convert", "ask_scale", "ask_bottles"})
"""Sums whose answer may be a matter of arithmetic alone."""

OTHERWISE = {
    "gallon": "liter", "quart": "liter", "pint": "milliliter", "cup": "milliliter", "liter": "gallon",
    "milliliter": "fluid_ounce", "fluid_ounce": "milliliter", "degF": "degC", "degC": "degF", "pound": "kilogram",
    "ounce": "gram", "gram": "ounce", "kilogram": "pound", "foot": "meter", "meter": "foot", "psi": "bar", "bar": "psi",
    "hour": "minute", "minute": "hour", "day": "hour", "week": "day", "month": "day", "gallon/hour": "liter/hour",
    "liter/hour": "gallon/hour", "tablespoon": "milliliter", "teaspoon": "milliliter", "srm": "ebc", "ebc": "srm",
    "btu/hour": "kilowatt", "kilowatt": "btu/hour",
}
"""Each unit, and one of the other system or another size."""


def said_otherwise(slots: dict[str, Any]) -> dict[str, Any]:
    """The same facts with every number in another unit."""
    return {
        name: [float(Q(*value).m_as(parse_unit(OTHERWISE[value[1]]))), OTHERWISE[value[1]]]
        if isinstance(value, list) and value[1] in OTHERWISE
        else value
        for name, value in slots.items()
    }


@pytest.fixture(scope="module")
def conversation(tmp_path_factory: pytest.TempPathFactory, language: Language) -> Iterator[Conversation]:
    """The brew day up to bottling; what is asked here leaves nothing behind."""
    day = (TABLES / "harvest-amber.txt").read_text(encoding="utf-8").partition("[2026-10-24")[0]
    with opened(Path(tmp_path_factory.mktemp("asked")), language) as talk:
        lines.as_json(talk, io.StringIO(day), io.StringIO())
        yield talk


def brew_of(conversation: Conversation) -> Brew:
    return Brew(conversation.session.bench, ASKED_AT)


def put(act: str, slots: dict[str, Any], conversation: Conversation) -> Outcome:
    return HANDLERS[act](Turn(Command(act, slots, 1.0), conversation.session, ASKED_AT))


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_every_answer_shows_its_working(shape: Shape, conversation: Conversation) -> None:
    """Formula, inputs with where each came from, a source, and a range wherever something was measured."""
    act, slots = shape
    outcome = put(act, slots, conversation)
    if outcome.status == ASK:
        assert outcome.ask and outcome.ask not in slots
        return
    if outcome.status != DONE:
        assert outcome.say
        return
    working = outcome.working
    assert working is not None and working.answer == outcome.say
    assert len(working.formula) > len("x = y")
    assert working.inputs and all(given.name and given.value and given.origin for given in working.inputs)
    assert working.sources and all(working.sources)
    assert outcome.values
    nothing = not any(value.magnitude for value in outcome.values.values())
    assert "±" in working.spread or act in EXACT or nothing, working
    assert {name for name, value in slots.items() if isinstance(value, list)} <= _told(act, slots, outcome, brew_of(conversation))


def _told(act: str, slots: dict[str, Any], outcome: Outcome, brew: Brew) -> set[str]:
    """The facts said that stand among the inputs of the answer as said."""
    sum_ = SUMS[act].instead(brew, slots) or SUMS[act]
    names = {need.slot: need.name for need in (*sum_.needs, *sum_.where[1])}
    assert outcome.working is not None
    said = {given.name for given in outcome.working.inputs if given.origin.startswith("said")}
    # What is told of several things stands there part by part.
    parts = {slot for slot in slots if slot.rstrip("_0123456789") in sum_.parts and "part 1" in said}
    return {slot for slot in slots if names.get(slot) in said} | parts


def test_most_shapes_are_answered(conversation: Conversation) -> None:
    """Few lack what only the brewer can say; none but what is dangerous or cannot be is refused."""
    outcomes = {name: put(*shape, conversation) for name, shape in SHAPES.items()}
    answered = [name for name, outcome in outcomes.items() if outcome.status == DONE]
    assert len(answered) >= 0.8 * len(outcomes), [name for name in outcomes if name not in answered]
    assert {SHAPES[name][0] for name in answered} >= SUMS.keys() - {"ask_chill_time"}, "chilled long ago"


def alike(one: Outcome, other: Outcome, share: float) -> bool:
    if one.status != other.status or one.values.keys() != other.values.keys():
        return False
    return all(
        other.values[name].m_as(value.units) == pytest.approx(value.magnitude, rel=share, abs=1e-9)
        for name, value in one.values.items()
    )


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_the_same_in_other_units_gives_the_same(shape: Shape, conversation: Conversation) -> None:
    act, slots = shape
    first, second = put(act, slots, conversation), put(act, said_otherwise(slots), conversation)
    assert alike(first, second, 1e-6), (first.say, second.say)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(sorted(SHAPES)), st.lists(st.floats(0.7, 1.3), min_size=8, max_size=8))
def test_whatever_the_numbers_no_unit_matters(
    conversation: Conversation, name: str, factors: list[float]
) -> None:
    """The numbers of a shape moved at random; answered or refused, it is the same in either system."""
    act, slots = SHAPES[name]
    moved = {
        slot: _moved(value, factor) if isinstance(value, list) else value
        for (slot, value), factor in zip(slots.items(), factors, strict=False)
    }
    first, second = put(act, moved, conversation), put(act, said_otherwise(moved), conversation)
    assert alike(first, second, 1e-6), (moved, first.say, second.say)


def _moved(value: list[Any], factor: float) -> list[Any]:
    """A number moved; of a gravity, what it stands above water."""
    number, unit = value
    return [1 + (number - 1) * factor if unit == "sg" else number * factor, unit]
