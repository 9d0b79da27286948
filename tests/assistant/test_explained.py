"""Every sum says how it came about, and gives the same answer to metric and to US questions.

The sums are asked on the batch of the brew day, each by the sentence that stands as its example.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from shutil import copytree

import pytest
from talk import TABLES, moment, opened

from assistant import lines
from assistant.acts import ACTS
from assistant.conversation import Conversation
from assistant.engine.units import Q
from assistant.handlers.sums import SUMS
from assistant.reply import Reply
from grammar.language import Language

EXPLAINED = [*SUMS, "ask_ready", "ask_pitch_temperature", "ask_substitute"]

ORIGINS = (
    "said",
    "setting",
    "logged",
    "default",
    "recipe",
    "batch",
    "usual",
    "knowledge base",
    "middle of",
    "boiling",
    "measured",
)
"""How the origin of an input may begin or what it must name: none may come from nowhere."""

NOT_MEASURED = frozenset({"ask_convert", "ask_ready", "ask_pitch_temperature", "ask_scale"})
"""Sums with nothing in them that could be off, or whose answer is a verdict."""

BEFORE = {
    "ask_chill_time": (
        (90, "new batch called Winter Porter, 5 gallons"),
        (80, "the boil is on"),
        (20, "flame out"),
        (15, "the wort is at 180F"),
        (5, "the wort is at 120F"),
    )
}
"""What must have been said how many minutes earlier, where the brewed batch can no longer be asked."""

ASKED_AT = moment("2026-10-24T12:00")
"""On bottling day, an hour before the bottling itself."""


@pytest.fixture(scope="module")
def brewed(tmp_path_factory: pytest.TempPathFactory, language: Language) -> Path:
    """The folder of the brew day, up to bottling."""
    folder = tmp_path_factory.mktemp("brewed")
    day = (TABLES / "harvest-amber.txt").read_text(encoding="utf-8").partition("[2026-10-24")[0]
    with opened(folder, language) as conversation:
        lines.as_json(conversation, io.StringIO(day), io.StringIO())
    return folder


@pytest.fixture
def conversation(brewed: Path, tmp_path: Path, language: Language) -> Iterator[Conversation]:
    """A talk on a copy, so that no question leaves anything to the next."""
    with opened(Path(copytree(brewed, tmp_path / "brew")), language) as talk:
        yield talk


def ask(act: str, conversation: Conversation) -> Reply:
    """Ask for a sum by its example, on a batch that can answer it."""
    for minutes, sentence in BEFORE.get(act, ()):
        assert conversation.answer(sentence, ASKED_AT - timedelta(minutes=minutes)).status == "done"
    return conversation.answer(ACTS[act].example, ASKED_AT)


@pytest.mark.parametrize("act", EXPLAINED)
def test_how_did_you_get_that(act: str, conversation: Conversation) -> None:
    """The answer again, its formula, every input with where it came from, a source, and how sure it is."""
    asked = ask(act, conversation)
    assert (asked.parts[0].act, asked.status) == (act, "done")
    told = conversation.answer("how did you get that", ASKED_AT).text.splitlines()
    assert told[0] == asked.parts[0].outcome.say
    assert told[1].startswith("Formula: ") and len(told[1]) > len("Formula: x = y")
    inputs = [line for line in told if line.startswith("  ")]
    assert inputs, "nothing it rests on"
    assert [line for line in inputs if not any(origin in line for origin in ORIGINS)] == []
    assert any(line.startswith("Source: ") and len(line) > len("Source: ") for line in told)
    assert any(line.startswith("How sure: ") and "±" in line for line in told) == (act not in NOT_MEASURED)


@pytest.mark.parametrize("act", [act for act in EXPLAINED if act not in NOT_MEASURED])
def test_the_spread_can_be_read(act: str, conversation: Conversation) -> None:
    """In units as people write them, and with no more digits than they can use."""
    ask(act, conversation)
    told = conversation.answer("how did you get that", ASKED_AT).text.splitlines()
    (spread,) = (line for line in told if line.startswith("How sure: "))
    assert "_" not in spread
    assert not re.search(r"\d{5}", spread)


@pytest.mark.parametrize("act", sorted(SUMS))
def test_a_sum_gives_numbers_and_names_its_sources(act: str, conversation: Conversation) -> None:
    answer = ask(act, conversation).as_object()
    assert answer["values"] and answer["sources"]
    assert answer["say"][0].isdigit() or answer["say"].startswith("About ")
    assert len(answer["say"]) <= 140, "it must be read aloud in a breath"


def test_why_speaks_of_the_last_sum_and_not_of_what_came_between(conversation: Conversation) -> None:
    answer = conversation.answer("how strong is my beer", ASKED_AT).say
    conversation.answer("note that the garage is cold", ASKED_AT)
    assert conversation.answer("how did you get that", ASKED_AT).text.startswith(answer)


@pytest.mark.parametrize(
    "asked, pieces",
    [
        # what the batch of the brew day gave, and where it says it has it from
        (
            "how strong is my beer",
            ["1.054 (logged Oct 10 12:00, corrected", "1.013 (logged Oct 23 19:00, corrected"],
        ),
        ("how much will boil off", ["1 gal/h (setting)"]),
        ("how bitter is my recipe", ["0.75 oz at 60 min", "package decides", "logged Oct 10 09:58", "1 oz at 15 min"]),
        ("how many bottles do I need", ["5.25 gal (logged Oct 10 11:56)", "default: 12 ounce bottles"]),
        (
            "what attenuation did I get",
            ["1.054 (logged Oct 10 12:00, corrected", "1.013 (logged Oct 23 19:00, corrected"],
        ),
        ("blend my beer with 1 gallon of 1.008", ["this batch: 5.25 gal at 1.013", "1 gal at 1.008 (said)"]),
        ("how much wort do I lose to trub and hops", ["2 lb (recipe)", "2.75 oz (recipe)", "default: nothing set"]),
        ("what's 1.050 at 100F corrected", ["1.050 (said)", "100 °F (said)", "60 °F (setting)"]),
        ("is it ready to bottle", ["reading Oct 23: 1.0126", "reading Oct 21: 1.0126"]),
    ],
)
def test_inputs_say_where_they_are_from(asked: str, pieces: list[str], conversation: Conversation) -> None:
    assert conversation.answer(asked, ASKED_AT).status == "done"
    told = conversation.answer("how did you get that", ASKED_AT).text
    assert [piece for piece in pieces if piece not in told] == []


def test_an_answer_says_what_makes_it_unsure(conversation: Conversation) -> None:
    """Each input with its resolution, the one that matters most first, and the formula's own error."""
    conversation.answer("what if I mix 2 gallons at 200F with 3 gallons at 40F", ASKED_AT)
    told = conversation.answer("how did you get that", ASKED_AT).text
    assert "; from cold volume ± 0.06 gal, hot volume ± 0.04 gal, " in told
    conversation.answer("what if I mix 2 gallons at 200F with 3 gallons at 40F in an 8 lb steel pot", ASKED_AT)
    conversation.answer("how strong is my beer", ASKED_AT)
    told = conversation.answer("how did you get that", ASKED_AT).text
    assert "gravity ± 0.001 and the formula itself ± " in told


# --- The same question in both systems. Units exact by definition (NIST Handbook 44, from memory)

PAIRS: list[tuple[str, str, str, float]] = [
    # in US units, in metric ones, the value, how far they may part as a share: the inputs are rounded
    ("what's 1.050 at 86F corrected", "what's 1.050 at 30C corrected", "gravity", 1e-6),
    ("convert 5 gallons to liters", "convert 18.927059 liters to liters", "result", 1e-6),
    (
        "how much water to get 3 gallons of 1.090 down to 1.055",
        "how much water to get 11.356235 liters of 1.090 down to 1.055",
        "water",
        1e-6,
    ),
    (
        "what will 3 gal of 1.088 be topped up to 5 gal",
        "what will 11.356235 L of 1.088 be topped up to 18.927059 L",
        "gravity",
        1e-6,
    ),
    (
        "what gravity will 6 lb of dry malt extract give in 5 gallons",
        "what gravity will 2.7215542 kg of dry malt extract give in 18.927059 liters",
        "gravity",
        1e-6,
    ),
    (
        "how much dry malt extract for 5 gallons at 1.050",
        "how much dry malt extract for 18.927059 liters at 1.050",
        "amount",
        1e-6,
    ),
    (
        "what if I mix 2 gallons at 194F with 3 gallons at 41F",
        "what if I mix 7.5708236 liters at 90C with 11.356235 liters at 5C",
        "temperature",
        1e-4,
    ),
    (
        "how much ice to cool 2.5 gallons from 176F to 68F",
        "how much ice to cool 9.4635295 liters from 80C to 20C",
        "ice",
        1e-4,
    ),
    (
        "how long to heat 3 gallons from 59F to 158F",
        "how long to heat 11.356235 liters from 15C to 70C",
        "duration",
        1e-4,
    ),
    (
        "gravity of 2 gallons of 1.080 blended with 3 gallons of 1.040",
        "gravity of 7.5708236 liters of 1.080 blended with 11.356235 liters of 1.040",
        "gravity",
        1e-6,
    ),
    (
        "where will 2 lb of grain in 2 gallons of 158 degree F water settle",
        "where will 0.90718474 kg of grain in 7.5708236 liters of 70 degree C water settle",
        "temperature",
        1e-5,
    ),
    (
        "how much boiling water to raise 2 gallons from 149F to 158F",
        "how much boiling water to raise 7.5708236 liters from 65C to 70C",
        "water",
        1e-4,
    ),
    (
        "how much will 3 gallons shrink when it cools from 203F to 68F",
        "how much will 11.356235 liters shrink when it cools from 95C to 20C",
        "volume",
        1e-6,
    ),
    (
        "mix 2 gal at 194F, 1 gal at 59F and 1 gal at 41F",
        "mix 7.5708236 liters at 90C, 3.7854118 liters at 15C and 3.7854118 liters at 5C",
        "temperature",
        1e-4,
    ),
    (
        "mix 2 gal at 194F with 3 gal at 41F in an 8 lb steel pot",
        "mix 7.5708236 liters at 90C with 11.356235 liters at 5C in a 3.6287390 kg steel pot",
        "temperature",
        1e-4,
    ),
    (
        "boiling point at 5280 feet with the barometer at 29.5 inches of mercury",
        "boiling point at 1609.344 meters with the barometer at 998.985 hPa",
        "temperature",
        1e-5,
    ),
    ("how much water will 2 lb of grain soak up", "how much water will 0.90718474 kg of grain soak up", "volume", 1e-6),
    (
        "how much gypsum to get 150 ppm sulfate in 5 gal",
        "how much gypsum to get 150 ppm sulfate in 18.927059 liters",
        "amount",
        1e-6,
    ),
    (
        "which salts for 80 ppm calcium and 120 ppm sulfate in 5 gallons",
        "which salts for 80 ppm calcium and 120 ppm sulfate in 18.927059 liters",
        "gypsum",
        1e-6,
    ),
    (
        "what do I need to do to 6 gallons of distilled water for all grain",
        "what do I need to do to 22.712471 liters of distilled water for all grain",
        "salt",
        1e-6,
    ),
    (
        "how strong is 1 oz of iodophor in 5 gallons",
        "how strong is 29.573530 ml of iodophor in 18.927059 liters",
        "concentration",
        1e-5,
    ),
    ("what attenuation from 1.048 to 1.012", "what attenuation from 11.91 plato to 3.07 plato", "attenuation", 0.003),
    ("where does water boil at 6000 ft", "where does water boil at 1828.8 meters", "temperature", 1e-6),
    (
        "how much corn sugar to bottle 5 gallons at 2.4 volumes at 68F",
        "how much corn sugar to bottle 18.927059 liters at 2.4 volumes at 20C",
        "sugar",
        1e-6,
    ),
    ("keg pressure for 2.5 volumes at 41F", "keg pressure for 2.5 volumes at 5C", "pressure", 1e-6),
    ("how much iodophor for 5 gallons", "how much iodophor for 18.927059 liters", "dose", 1e-6),
    ("how much Campden to treat 6 gallons", "how much Campden to treat 22.712471 liters", "dose", 1e-6),
    ("how much yeast for 5 gallons of 1.050", "how much yeast for 18.927059 liters of 1.050", "cells", 1e-6),
    ("how many bottles for 5 gallons", "how many bottles for 18.927 liters", "count", 0),
    # 1.048 is 11.91 and 1.012 is 3.07 degrees Plato by the ASBC table (computed)
    ("abv from 1.048 to 1.012", "abv from 11.91 plato to 3.07 plato", "abv", 0.003),
]


@pytest.mark.parametrize("us, metric, name, share", PAIRS, ids=[row[0] for row in PAIRS])
def test_metric_and_us_questions_agree(
    us: str, metric: str, name: str, share: float, conversation: Conversation
) -> None:
    """The same sum, answered in the units it was asked in."""
    first, second = (conversation.answer(asked, ASKED_AT) for asked in (us, metric))
    assert (first.status, second.status) == ("done", "done"), (first.say, second.say)
    assert first.parts[0].act == second.parts[0].act
    ours, theirs = (Q(*reply.as_object()["values"][name]) for reply in (first, second))
    assert theirs.m_as(ours.units) == pytest.approx(ours.magnitude, rel=share or 1e-12)
