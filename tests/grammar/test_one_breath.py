"""Several things said in one breath: each is heard, in order, and none is swallowed by another's words."""

from __future__ import annotations

from datetime import datetime

import pytest

from grammar.command import LINE
from grammar.language import Language

NOW = datetime(2026, 10, 10, 9, 58).astimezone()


@pytest.mark.parametrize(
    ("said", "heard"),
    [
        ("boil's on and I'm adding the magnum", ["boil_start", "magnum"]),
        ("the boil is on and in goes an ounce of magnum", ["boil_start", "magnum"]),
        ("flame's off and the chiller's on", ["flameout", "chill_start"]),
        ("pitched the yeast and sealed it up", ["pitch", "seal"]),
        ("add 1 oz magnum at 60 and half an oz willamette at 10", ["magnum", "willamette"]),
        ("add 1 oz magnum at 60 minutes and 2 oz willamette at 10", ["magnum", "willamette"]),
        ("added 1 oz magnum and 2 oz willamette", ["magnum", "willamette"]),
        ("it's 68 degrees and reading 1.012, can I bottle it", ["log_gravity", "ask_ready"]),
        ("wort's down to 72, can I pitch", ["log_temperature", "ask_pitch_temperature"]),
    ],
)
def test_nothing_said_in_one_breath_is_lost(language: Language, said: str, heard: list[str]) -> None:
    commands = language.understand(said, NOW)
    told = [command.slots.get("event", command.slots.get("ingredient", command.act)) for command in commands]
    assert told == heard and all(command.sure >= LINE for command in commands)


def test_two_amounts_stay_with_what_they_belong_to(language: Language) -> None:
    commands = language.understand("add 1 oz magnum at 60 and half an oz willamette at 10", NOW)
    assert [(command.slots["amount"], command.slots["boil_left"]) for command in commands] == [
        ([1.0, "ounce"], [60.0, "minute"]),
        ([0.5, "ounce"], [10.0, "minute"]),
    ]


@pytest.mark.parametrize("said", ["added half the magnum", "added half of the magnum"])
def test_a_part_is_not_logged_as_the_whole(language: Language, said: str) -> None:
    assert language.understand(said, NOW)[0].sure < LINE
