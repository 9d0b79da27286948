"""What is taken back within a sentence does not count, and what is said twice counts once."""

from __future__ import annotations

from datetime import datetime

import pytest

from grammar.command import LINE, Slot
from grammar.language import Language

NOW = datetime(2026, 10, 10, 9, 58).astimezone()


@pytest.mark.parametrize(
    ("said", "act", "slots"),
    [
        ("ten sixty, no, ten fifty eight", "log_gravity", {"gravity": [1.058, "sg"]}),
        ("added two pounds, no, three of wheat malt", "log_addition", {"amount": [3.0, "pound"]}),
        ("set a timer for 20, no, 30 minutes", "start_timer", {"duration": [30.0, "minute"]}),
        ("threw in the cascade, I mean the fuggle", "log_addition", {"ingredient": "fuggle"}),
        ("wort is 70 degrees, hang on, sorry, 68 degrees", "log_temperature", {"temperature": [68.0, "degF"]}),
    ],
)
def test_the_last_counts_and_is_asked_back(language: Language, said: str, act: str, slots: dict[str, Slot]) -> None:
    commands = language.understand(said, NOW)
    assert [command.act for command in commands] == [act]
    assert slots.items() <= commands[0].slots.items()
    assert 0.3 <= commands[0].sure < LINE
    assert commands[0].repairs, "it says what was taken for what"


def test_a_question_is_answered_for_the_last(language: Language) -> None:
    command = language.understand("how much ice for 3 gallons, no, 4 gallons at 180", NOW)[0]
    assert (command.act, command.slots["volume"]) == ("ask_ice", [4.0, "gallon"]) and command.sure >= LINE


@pytest.mark.parametrize("said", ["no, 1.052", "make that 2 ounces", "sorry, I meant 68 degrees"])
def test_what_was_logged_before_is_corrected(language: Language, said: str) -> None:
    assert language.understand(said, NOW)[0].act == "correct_last"


def test_a_note_keeps_its_words(language: Language) -> None:
    command = language.understand("note: took 2 ounces, no, 3 ounces from the bag", NOW)[0]
    assert (command.act, command.slots["text"]) == ("note", "took 2 ounces, no, 3 ounces from the bag")


@pytest.mark.parametrize(
    ("said", "events"),
    [
        ("lid's on, lid's on", ["seal"]),
        ("boil's on boil's on boil's on", ["boil_start"]),
        ("bunged and airlocked", ["seal"]),
    ],
)
def test_said_twice_counts_once(language: Language, said: str, events: list[str]) -> None:
    assert [command.slots["event"] for command in language.understand(said, NOW)] == events


def test_a_number_said_twice_stays(language: Language) -> None:
    assert all(command.sure < LINE for command in language.understand("fifty fifty", NOW))
