"""Whether the facts alone tell which sum is meant, and what happens where they fit none, or two."""

from __future__ import annotations

import pytest

from grammar.command import LINE
from tests.grammar.judging import Hear, listener

STATED = {
    "that kettle's at 200 and I have 3 gallons of water at 40, two gallons in the kettle": "ask_mix_temperature",
    "I've 4 gallons, kept it at 66, I have only table sugar, 2.5": "ask_priming",
}
"""What is told without a question: asked back with the right sum (imagined, common practice, no source)."""

RIVALS = {
    "1.050 and 1.012. what's that": {"ask_abv", "ask_attenuation"},
    "2.5 volumes at 38, what is it": {"ask_keg_pressure", "ask_priming"},
}
"""Facts that two sums have."""

NO_SUM = ("what is it with 3 gallons and 4 gallons and 5 gallons", "what's 1.050 and 70 percent", "my kid is 4 and 38 pounds")


@pytest.fixture(scope="module")
def hear() -> Hear:
    return listener()


@pytest.mark.parametrize("said", STATED)
def test_facts_stated_are_asked_back(said: str, hear: Hear) -> None:
    (command,) = hear(said)
    assert command.act == STATED[said]
    assert 0.3 <= command.sure < LINE


@pytest.mark.parametrize("said", RIVALS)
def test_facts_of_two_sums_are_asked_about(said: str, hear: Hear) -> None:
    (command,) = hear(said)
    assert {command.act, *(rival.act for rival in command.rivals)} == RIVALS[said]
    assert command.sure < LINE


@pytest.mark.parametrize("said", NO_SUM)
def test_facts_of_no_sum_are_not_answered(said: str, hear: Hear) -> None:
    assert min(command.sure for command in hear(said)) < LINE


def test_a_number_without_unit_follows_the_sentence(hear: Hear) -> None:
    """Liters bring Celsius with them, and points are a gravity where only a gravity is missing."""
    (mixed,) = hear("ten liters at 40, ten liters at 8. that's what then")
    assert mixed.slots["hot_temperature"] == [40.0, "degC"]
    (strength,) = hear("fifty four down to twelve makes it how strong")
    assert strength.slots == {"original": [1.054, "sg"], "final": [1.012, "sg"]}


def test_a_volume_on_which_another_is_poured_keeps_its_degrees(hear: Hear) -> None:
    """`three gallons at 38` belong together, though `200 degrees` stand nearer to the three gallons."""
    (mixed,) = hear("two gallons at, say, 200 degrees poured on three gallons at 38, where would that end up")
    assert (mixed.slots["hot_volume"], mixed.slots["cold_volume"]) == ([2.0, "gallon"], [3.0, "gallon"])
