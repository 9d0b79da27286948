"""What the batch has measured of itself goes before what is usual: heating, boil-off, cooling, refractometer.

Each row: what was said when, on a batch of its own, and what the last line must answer and rest on.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from talk import moment

from assistant.conversation import Conversation

DAY = "2026-11-28T"

MEASURED: list[tuple[str, list[tuple[str, str]], str, float, float, list[str]]] = [
    # title, what was said, value, by hand, tolerance, what the working must name
    (
        "forty degrees in ten minutes, fifty more take twelve and a half; five of them are gone",
        [
            ("09:00", "got 3 gallons in the kettle"),
            ("09:00", "water's at 70F"),
            ("09:10", "water is at 110F"),
            ("09:15", "how long until it hits 160"),
        ],
        "duration", 7.5, 0.1, ["70 °F (logged Nov 28 09:00)", "110 °F (logged Nov 28 09:10)", "BTU/h arrive in 3 gal"],
    ),
    (
        "a burner that was named is asked about, whatever was logged",
        [
            ("09:00", "water's at 70F"),
            ("09:10", "water is at 110F"),
            ("09:15", "how long to heat 3 gallons from 60 to 160"),
        ],
        "duration", 7.5, 0.1, ["default: a usual gas burner"],
    ),
    (
        "0.85 gallons hot in an hour are 4 percent less cold",
        [
            ("10:00", "3.6 gallons in the kettle"),
            ("10:05", "the boil is on"),
            ("11:05", "flame out"),
            ("11:06", "2.75 gallons in the kettle"),
            ("11:10", "how much will boil off in 60 minutes"),
        ],
        "volume", 0.85 * 0.9601, 0.005, ["measured: 3.6 gal logged Nov 28 10:00 to 2.75 gal", "60 min of boiling"],
    ),
    (
        # 6 lb at 44 points hold 2.59 kg of extract: with 9.45 kg of water 21.3 Plato, 1.089, 2.96 gal. Boiling a gallon
        # off its mean is 1.109, where hops give 0.136 of themselves: 0.135 x 7490 / 5 x 1.1 x 0.136
        "water becomes more by the extract, and its wort thinner than in the water alone",
        [
            ("08:00", "new batch called Plain Pale, 5 gallons"),
            ("08:00", "the recipe has 6 lb of light dry malt extract"),
            ("08:00", "add 1 oz Magnum at 60 minutes"),
            ("08:05", "2.5 gallons in the kettle"),
            ("08:06", "how bitter will it be"),
        ],
        "bitterness", 30.3, 0.3, ["2.5 gal logged Nov 28 08:05, with the extract"],
    ),
    (
        "extract that went in between makes it no measure",
        [
            ("10:00", "3 gallons in the kettle"),
            ("10:02", "6 lb of amber liquid extract is in"),
            ("10:05", "the boil is on"),
            ("11:05", "flame out"),
            ("11:06", "2.75 gallons in the kettle"),
            ("11:10", "how much will boil off in 60 minutes"),
        ],
        "volume", 1.0, 0.001, ["usual on a gas burner"],
    ),
    (
        "a pause is no boiling",
        [
            ("10:00", "3.6 gallons in the kettle"),
            ("10:05", "the boil is on"),
            ("10:25", "pause the boil"),
            ("10:55", "boil's back on, resume"),
            ("11:35", "flame out"),
            ("11:36", "2.75 gallons in the kettle"),
            ("11:40", "how much will boil off in 60 minutes"),
        ],
        "volume", 0.85 * 0.9601, 0.005, ["60 min of boiling"],
    ),
    (
        "150 above the bath, then 90; to 28 above it the same law takes 22.9 minutes",
        [
            ("10:05", "the boil is on"),
            ("11:05", "flame out"),
            ("11:10", "wort is at 190"),
            ("11:19", "ice bath is at 40F"),
            ("11:20", "wort is at 130"),
            ("11:20", "how long until it is cool enough to pitch"),
        ],
        "duration", 22.86, 0.1, ["cooling water: 40 °F (logged Nov 28 11:19)", "190 °F (logged Nov 28 11:10)"],
    ),
    (
        "12.98 brix over 1.04 are 12.48 plato, which is 1.0504",
        [("12:00", "refractometer reads 12.98 brix"), ("12:05", "what should the final gravity be")],
        "gravity", 1 + 0.0504 * 0.25, 0.0002, ["by refractometer"],
    ),
    (
        "14.56 to 7.28 brix over 1.04 are 14 to 7: 1.0580 to 1.0129 by the cubic of the fit",
        [
            ("12:00", "refractometer reads 14.56 brix"),
            ("12:05", "pitched the yeast"),
            ("23:00", "refractometer reads 7.28 brix"),
            ("23:05", "what attenuation did I get"),
        ],
        "attenuation", 100 * (1 - 0.01291 / 0.05684), 0.3, ["by refractometer"],
    ),
]


@pytest.mark.parametrize("title, said, name, by_hand, tolerance, names", MEASURED, ids=[row[0] for row in MEASURED])
def test_what_was_measured_goes_first(
    title: str,
    said: list[tuple[str, str]],
    name: str,
    by_hand: float,
    tolerance: float,
    names: list[str],
    talk: Callable[[Path], Conversation],
    tmp_path: Path,
) -> None:
    conversation = talk(tmp_path)
    conversation.answer("new batch called Winter Porter, 5 gallons", moment(f"{DAY}08:00"))
    for clock, sentence in said:
        reply = conversation.answer(sentence, moment(DAY + clock))
        assert reply.status == "done", (sentence, reply.say)
    answered = reply.as_object()["values"][name][0]
    assert answered == pytest.approx(by_hand, abs=tolerance)
    told = conversation.answer("how did you get that", moment(DAY + said[-1][0])).text
    assert [piece for piece in names if piece not in told] == []


ASKED_BACK: list[tuple[list[str], str]] = [
    # what is asked, in turn, and what must come of it
    (["which salts for 50 ppm calcium in 5 gallons", "gypsum"], "4.1 g of Gypsum brings 5 gal to 50 ppm calcium."),
    (["calculate the residual alkalinity of my water", "100 ppm", "50 ppm"], "61 ppm residual alkalinity"),
]


@pytest.mark.parametrize("said, answer", ASKED_BACK, ids=[row[0][0] for row in ASKED_BACK])
def test_what_nothing_gives_is_asked_for(
    said: list[str], answer: str, talk: Callable[[Path], Conversation], tmp_path: Path
) -> None:
    conversation = talk(tmp_path)
    for sentence in said[:-1]:
        assert conversation.answer(sentence, moment(f"{DAY}09:00")).status == "ask"
    assert conversation.answer(said[-1], moment(f"{DAY}09:01")).say.startswith(answer)


ADVICE: list[tuple[str, str]] = [
    # sentence, what the whole reply must hold
    ("where will 1 lb of grain in 2 gallons of 190 degree water settle", "tannin"),
    ("can I brew with softened water", "0 gallons of softened water"),
    ("is tap water good enough for extract", "89 mg of Campden powder"),
    ("can I use distilled water for an extract beer", "0 g of salts needed"),
    ("how much iodophor for five gallons at twenty five parts per million", "then rinse"),
    ("how much iodophor for 5 gallons", "2 minutes wet, no rinse"),
    ("how much bleach for 3 gallons", "20 minutes wet, then rinse"),
    ("how much sodium metabisulfite for five gallons at two ppm chloramine", "51 mg of sodium metabisulfite"),
    ("salts for calcium 100 sulfate 150 chloride 60 in 20 liters", "98 ppm calcium"),
    ("alcohol by weight from 1.050 to 1.012", "3.9 % alcohol by weight"),
    ("refractometer from 12 brix to 6 brix", "1.011"),
    # 11.22 kg give 28.9 x 4.18 kJ each; a kilogram of ice takes 36 to melting, 333 to melt, 84 to 20 degC: 2.99 kg
    ("how much ice from the freezer to cool 3 gallons from 120 to 68", "6.59 lb of ice"),
]


@pytest.mark.parametrize("said, piece", ADVICE, ids=[row[0] for row in ADVICE])
def test_the_answer_says_what_it_means(
    said: str, piece: str, talk: Callable[[Path], Conversation], tmp_path: Path
) -> None:
    reply = talk(tmp_path).answer(said, moment(f"{DAY}09:00"))
    assert reply.status == "done"
    assert piece in reply.text


READ_WHILE_IT_FERMENTS = [("10 10:00", "1.052"), ("14 10:00", "1.024"), ("16 10:00", "1.018")]


def test_a_forecast_counts_from_the_original_gravity_where_no_pitch_was_told(
    talk: Callable[[Path], Conversation], tmp_path: Path
) -> None:
    """The yeast goes in when that is read, so telling of it changes nothing."""
    told = []
    for pitch in ((), ("pitched the yeast",)):
        conversation = talk(tmp_path / str(len(pitch)))
        for day, gravity in READ_WHILE_IT_FERMENTS:
            conversation.answer(f"reading {gravity} at 60F", moment(f"2026-10-{day.replace(' ', 'T')}"))
            if day == "10 10:00":
                for sentence in pitch:
                    conversation.answer(sentence, moment("2026-10-10T10:00"))
        reply = conversation.answer("when will it be done fermenting", moment("2026-10-16T10:00"))
        told.append([line for line in reply.text.splitlines() if line.startswith("Forecast")])
    assert told[0] == told[1] != []
