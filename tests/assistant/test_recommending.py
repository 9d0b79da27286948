"""An ingredient for a purpose is named from the entries' own words; what asks for something else is left alone."""

from __future__ import annotations

import pytest

from assistant.recommending import asked_for, fitting

FITS = [
    # what is asked, one that must be among those named; made up, judged by what the entries say
    ("which hop smells of pine", "bobek"),
    ("what's a good citrusy hop", "citra"),
    ("whats a good hop just for the bitter part", "warrior"),
    ("which yeast for a wheat beer", "wheat beer yeast"),
    ("what yeast makes banana", "wheat beer yeast"),
    ("what sugar for bottling", "corn sugar"),
    ("what grain gives coffee flavor", "brown malt"),
    ("is there a hop that tastes like mango", "azacca"),
]

OTHERS = [
    "which hops did I add", "what hop goes in next", "what yeast am I using", "what hops do I need", "how much sugar for bottling",
    "the hops smell good", "what malt gives a red color",
]
"""Questions that ask for no recommendation."""


@pytest.mark.parametrize("said, one", FITS)
def test_what_fits_a_purpose_is_named(said: str, one: str) -> None:
    command = asked_for(said)
    assert command is not None
    named = [each.entry for each in fitting(command.slots["kind"], command.slots["purpose"])]
    assert one in [entry.id for entry in named] and len(named) <= 3
    assert all(entry.source and not entry.generic for entry in named)


def test_what_a_yeast_is_said_to_be_without_is_no_fit() -> None:
    assert "american wheat yeast" not in [each.entry.id for each in fitting("yeast", ["banana"])]


@pytest.mark.parametrize("said", OTHERS)
def test_other_questions_are_left_alone(said: str) -> None:
    assert asked_for(said) is None
