"""What is said beside the matter is passed over in a question and asked about in what records."""

from __future__ import annotations

from datetime import datetime

import pytest

from grammar.asides import ASKED, Meaning, asides, passing
from grammar.command import LINE
from grammar.examples import learn
from grammar.language import Language

NOW = datetime(2026, 10, 10, 9, 58).astimezone()


@pytest.mark.parametrize(
    ("said", "act"),
    [
        ("my sister keeps pestering me so how many calories are in a pint", "ask_calories"),
        ("how many bottles do I need for 5 gallons, the shop is about to close", "ask_bottles"),
        ("I am new to all of this and my hands are wet so what does attenuation mean", "define"),
        ("what gravity will this recipe give when all is said and done", "ask_original_gravity"),
    ],
)
def test_a_question_is_answered_whatever_stands_beside_it(language: Language, said: str, act: str) -> None:
    command = language.understand(said, NOW)[0]
    assert command.act == act and command.sure >= LINE


@pytest.mark.parametrize(
    ("said", "act"),
    [
        ("added 2 oz of Magnum, or so he thought", "log_addition"),
        ("gravity is 1.050, my glasses are fogged up", "log_gravity"),
        ("pitched the yeast, here goes nothing", "log_event"),
    ],
)
def test_what_records_is_asked_back(language: Language, said: str, act: str) -> None:
    command = language.understand(said, NOW)[0]
    assert command.act == act and 0.3 <= command.sure < LINE


@pytest.mark.parametrize(
    "said",
    [
        "how much beach for 2 gallons of sanitizer",
        "a teaspoon of absent salt in 6 gallons, what does that add",
        "how many bottles for 19 leaders",
    ],
)
def test_a_word_that_may_be_another_one_is_not_passed_over(language: Language, said: str) -> None:
    command = language.understand(said, NOW)[0]
    assert command.sure < LINE or command.repairs


@pytest.mark.parametrize(
    "said", ["it is about to boil", "my buddy pitched the yeast", "his cider dropped to 0.998", "it is 80 degrees outside"]
)
def test_what_is_not_so_or_not_ours_is_not_recorded(language: Language, said: str) -> None:
    command = language.understand(said, NOW)[0]
    assert command.sure < LINE


def test_numbers_are_in_no_aside() -> None:
    words = "we have 5 gallons , how strong is it".split()
    found = asides(words, numbers=frozenset({2}), names=frozenset(), turning=frozenset())
    assert found and all(aside.end <= 2 or aside.start > 2 for aside in found)


def test_an_aside_costs_a_recording_more_and_a_parted_one_costs_a_question_less() -> None:
    words = "sorry about that , how strong is it".split()
    found = {aside.end: aside for aside in asides(words, frozenset(), frozenset(), frozenset()) if aside.start == 0}
    assert all(aside.harmless < aside.recording for aside in found.values())
    assert found[4].harmless < found[3].harmless


def test_words_that_count_are_never_passed_over() -> None:
    examples = learn([{"said": "how strong is it", "act": "ask_abv"}, {"said": "note it", "act": "note"}])
    meanings = {"ask_abv": Meaning({"strong"}, {"STRENGTH"}), "log_volume": Meaning((), ())}
    costs = passing("how strong is it not".split(), {4}, {"how", "is", "it", "not"}, {2, 3}, meanings, examples)
    assert set(costs) == {"ask_abv", "log_volume", ASKED}
    passed = [cost < float("inf") for cost in costs["log_volume"]]
    assert passed == [False, False, True, True, False], "what records passes over small words alone"
    assert costs["ask_abv"][4] == float("inf")
    assert costs["ask_abv"][1] > costs["ask_abv"][0], "a word that carries the question costs more"
