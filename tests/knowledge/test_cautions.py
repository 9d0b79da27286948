"""Danger comes first and first aid before all; harmless sentences raise no alarm."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

import knowledge
from assistant.cautions import Facts, matching
from grammar.words import split

TABLE = Path(__file__).parent / "tables" / "cautions.toml"
CASES: list[dict[str, Any]] = tomllib.loads(TABLE.read_text(encoding="utf-8"))["case"]
LOUD = [case for case in CASES if "first" in case]
QUIET = [case for case in CASES if "quiet" in case]
ABOUT_THE_SENTENCE = ("act", "event", "stage", "ingredient", "kind", "temperature_f")


def facts(case: dict[str, Any]) -> Facts:
    known = {name: case[name] for name in ABOUT_THE_SENTENCE if name in case}
    return Facts(words=tuple(split(case["said"])), flags=frozenset(case.get("flags", ())), **known)


def ids(case: dict[str, Any], told: tuple[str, ...] = ()) -> list[str]:
    return [caution.id for caution in matching(facts(case), told)]


@pytest.mark.parametrize("case", LOUD, ids=lambda case: case["said"])
def test_the_caution_that_matters_comes_first(case: dict[str, Any]) -> None:
    assert ids(case)[:1] == [case["first"]]


@pytest.mark.parametrize("case", QUIET, ids=lambda case: case["said"])
def test_harmless_sentences_raise_no_alarm(case: dict[str, Any]) -> None:
    assert [caution.id for caution in matching(facts(case)) if caution.grave == "danger"] == []


TEMPERATE = [case for case in CASES if "calm" in case]


@pytest.mark.parametrize("case", TEMPERATE, ids=lambda case: f"{case['said']} while {case['stage']}")
def test_a_temperature_that_is_right_brings_nothing(case: dict[str, Any]) -> None:
    assert case["calm"] not in ids(case)


def test_no_rule_is_out_of_reach() -> None:
    reached = {id for case in LOUD for id in ids(case)}
    assert set(knowledge.cautions()) - reached == set()


def test_first_aid_then_danger_then_warning_then_advice() -> None:
    """One sentence that holds all four, at the moment the flame goes off."""
    said = "I burned my hand and the kettle is boiling over"
    everything = {"said": said, "event": "flameout", "stage": "boiling"}
    grave = [(caution.hurt, caution.grave) for caution in matching(facts(everything))]
    order = [(True, "danger"), (False, "danger"), (False, "warning"), (False, "advice")]
    assert grave == sorted(grave, key=order.index)
    assert set(grave) == set(order)


@pytest.mark.parametrize("case", LOUD, ids=lambda case: case["said"])
def test_advice_is_told_once_and_danger_every_time(case: dict[str, Any]) -> None:
    first = ids(case)
    graver = [id for id in first if knowledge.cautions()[id].grave != "advice"]
    assert ids(case, told=tuple(first)) == graver


def test_someone_hurt_is_told_whom_to_call() -> None:
    """In either text, for each may be shown alone; common practice, no source."""
    helpers = ("emergency number", "poison center", "veterinarian", "fire service", "doctor")
    silent = [
        caution.id for caution in knowledge.cautions().values() if caution.hurt
        for text in (caution.say, caution.if_happened) if not any(helper in text for helper in helpers)
    ]
    assert silent == []
