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


@pytest.mark.parametrize(
    "said",
    [
        "1 oz magnum at 60 and a half oz willamette at 10",
        "1 oz magnum at sixty and a half ounce of willamette at ten",
        "1 oz magnum at 60 minutes and half an ounce of willamette at 10 minutes",
    ],
)
def test_a_half_belongs_to_the_amount_behind_it(language: Language, said: str) -> None:
    commands = language.understand(said, NOW)
    assert [(command.act, command.slots["amount"], command.slots["boil_left"]) for command in commands] == [
        ("plan_addition", [1.0, "ounce"], [60.0, "minute"]),
        ("plan_addition", [0.5, "ounce"], [10.0, "minute"]),
    ]
    assert all(command.sure >= LINE for command in commands)


@pytest.mark.parametrize("lead", ["", "add ", "the recipe has "])
@pytest.mark.parametrize("turn", range(5))
def test_a_recipe_told_in_one_breath_is_planned_whole(language: Language, lead: str, turn: int) -> None:
    """Whichever comes first; `crystal forty one ounce` is the malt and an ounce, not 41 of them."""
    items = {
        "6 lb amber liquid malt extract": ("amber liquid malt extract", [6.0, "pound"]),
        "one pound crystal forty": ("crystal 40", [1.0, "pound"]),
        "one ounce magnum at sixty": ("magnum", [1.0, "ounce"]),
        "half an ounce willamette at 15": ("willamette", [0.5, "ounce"]),
        "1 tsp irish moss at 15": ("irish moss", [1.0, "teaspoon"]),
    }
    order = [*list(items)[turn:], *list(items)[:turn]]
    commands = language.understand(lead + ", ".join(order[:-1]) + " and " + order[-1], NOW)
    told = [(command.slots["ingredient"], command.slots["amount"]) for command in commands]
    assert told == [items[item] for item in order]
    assert all(command.act == "plan_addition" and command.sure >= LINE for command in commands)


def test_a_number_in_a_name_is_not_the_next_amounts(language: Language) -> None:
    commands = language.understand("one pound crystal forty one ounce magnum at sixty", NOW)
    assert [command.slots["amount"] for command in commands] == [[1.0, "pound"], [1.0, "ounce"]]
