"""The whole brew day of Harvest Amber and the weeks after, replayed line by line.

What was recorded is held against a table written out by hand, and every sum against the same sum in plain
arithmetic that calls nothing of the engine.
"""

from __future__ import annotations

import io
import json
from dataclasses import dataclass
from datetime import datetime
from math import ceil, exp, log
from pathlib import Path
from typing import Any

import pytest
from talk import TABLES, entries, entry_text, moment, opened, table_lines

from assistant import lines
from grammar.language import Language

Answers = dict[str, dict[str, Any]]

BREW_DAY = TABLES / "harvest-amber.txt"

RECORDED = table_lines("harvest-amber-log.txt")


@dataclass(frozen=True)
class Day:
    """The brew day once it was replayed."""

    folder: Path
    objects: list[dict[str, Any]]

    def at(self, clock: str, heard: str) -> dict[str, Any]:
        """The one answer to that sentence at that time of whatever day."""
        said = [line.partition("] ")[::2] for line in table_lines("harvest-amber.txt")]
        found = [
            answer
            for (when, text), answer in zip(said, self.objects, strict=True)
            if when.endswith(clock) and text == heard
        ]
        assert len(found) == 1, f"{len(found)} answers to {heard} at {clock}"
        return found[0]


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory, language: Language) -> Day:
    folder = tmp_path_factory.mktemp("brewday")
    out = io.StringIO()
    with opened(folder, language) as conversation, BREW_DAY.open(encoding="utf-8") as said:
        lines.as_json(conversation, said, out)
    return Day(folder, [json.loads(line) for line in out.getvalue().splitlines()])


def test_every_line_is_understood_and_done(day: Day) -> None:
    assert len(day.objects) == len(table_lines("harvest-amber.txt"))
    stuck = [
        (answer["heard"], part["status"], part["say"])
        for answer in day.objects
        for part in (answer, *answer.get("also", []))
        if part["status"] != "done"
    ]
    assert stuck == []


def test_everything_told_is_recorded_once_and_nothing_else(day: Day) -> None:
    assert [entry_text(entry) for entry in entries(day.folder)] == RECORDED


def test_each_entry_keeps_the_sentence_as_it_was_said(day: Day) -> None:
    said = {line.partition("] ")[2] for line in table_lines("harvest-amber.txt")}
    assert {entry.heard for entry in entries(day.folder)} <= said


def test_the_correction_speaks_of_the_reading_before_it(day: Day) -> None:
    reading, correction = (
        entry for entry in entries(day.folder) if entry.slots.get("gravity") in ([1.053, "sg"], [1.052, "sg"])
    )
    assert (correction.act, correction.refers) == ("correct_last", reading.id)


# --- Sums by hand: pounds, gallons, ounces and degrees Fahrenheit as the brewer said them

LITERS = 3.785411784
"""In a US gallon; exact."""
OUNCE = 28.349523125
"""Grams; exact."""

POUNDS_POINTS_SHADES = (
    (6.0, 36.0, 20.0),  # amber liquid extract: points and shade from memory
    (1.0, 44.0, 8.0),  # light dry extract: from memory
    (1.5, 22.0, 40.0),  # crystal 40, steeped: Palmer, How to Brew, table 9
    (
        0.5,
        35.0 * (8 / 32 + 4 / 32) / 2,
        10.0,
    ),  # Munich, steeped: a guess from brown and dextrin malt, table 9
)
"""The recipe: pounds, points per pound per gallon, degrees Lovibond."""

POINTS = sum(pounds * points for pounds, points, _ in POUNDS_POINTS_SHADES)
"""Thousandths of gravity in one gallon."""

ALPHA = {"magnum": (11 + 16) / 2, "willamette": (4 + 6) / 2}
"""Percent: the middle of the usual range, from memory."""


def boil_gravity(gallons: float, minutes: float) -> float:
    """Mean over the last minutes of a boil that ends with so many gallons and loses one an hour.

    points / (gallons + hours left), integrated over the hours left and divided by them.
    """
    hours = minutes / 60
    return 1 + POINTS / 1000 * log((gallons + hours) / gallons) / hours


def tinseth(ounces: float, hop: str, minutes: float, gravity: float, gallons: float) -> float:
    """IBU = oz x alpha x U x 7490 / gal; pellets give a tenth more (common practice, no source)."""
    used = 1.65 * float(0.000125 ** (gravity - 1)) * (1 - exp(-0.04 * minutes)) / 4.15
    return ounces * ALPHA[hop] / 100 * used * 7490 / gallons * 1.1


def bitterness(end_gallons: float, gallons: float) -> float:
    """The two hops that boil; those at flameout give none by this formula."""
    return sum(
        tinseth(ounces, hop, minutes, boil_gravity(end_gallons, minutes), gallons)
        for ounces, hop, minutes in ((0.75, "magnum", 60), (1.0, "willamette", 15))
    )


def morey(gallons: float) -> float:
    """SRM = 1.4922 x MCU^0.6859, MCU = sum of pounds x Lovibond / gallons."""
    units = sum(pounds * shade for pounds, _, shade in POUNDS_POINTS_SHADES) / gallons
    return 1.4922 * float(units**0.6859)


def water_to_start() -> float:
    """Batch + boil-off + what grain and hops keep - room for the extract - water that extract brings along.

    A pound of sugar in a gallon gives 46.17 points (computed), so points / 46.17 is pounds of extract; in
    water it takes up 0.62 liter a kilogram (from memory); grain keeps half a quart a pound, hops 5 liters
    a kilogram (from memory). Hops: 0.75, 1 and 1 ounce.
    """
    extract = POINTS / 46.17 * 0.45359237
    brought = sum(
        pounds * (1 - points / 46.17) * 0.45359237 for pounds, points, _ in POUNDS_POINTS_SHADES[:2]
    )
    kept = (1.5 + 0.5) * 0.5 / 4 + 2.75 * 0.028349523 * 5 / LITERS
    return 5 + 1 * 60 / 60 + kept - (0.62 * extract + brought) / LITERS


def mix() -> float:
    """Mean temperature by mass: a gallon at 200 F weighs 0.9631 of one at 40 F (IAPWS-95)."""
    hot, cold = 2 * 0.9631, 3 * 1.0000
    return (hot * 200 + cold * 40) / (hot + cold)


OG = 1.052 + 0.00156
"""Read at 72 F (22.2 C) on a hydrometer for 60 F: between +0.97 at 20 C and +2.30 at 25 C for 1.050, computed
from the density of sucrose solutions."""

FG_18 = 1.014 + 0.00058
"""Read at 66 F (18.9 C): between -0.07 and +0.70 for 1.000, -0.10 and +0.92 for 1.040, at 15 and 20 C."""

FG_24 = 1.012 + 0.00057


def plato(sg: float) -> float:
    """Lincoln's P = (463 - 205 S)(S - 1), found in print; the engine has another one."""
    return (463 - 205 * sg) * (sg - 1)


def balling(original: float, final: float) -> float:
    """By weight (OE - RE) / (2.0665 - 0.010665 OE), RE = 0.1808 OE + 0.8192 AE; by volume x FG / 0.7906."""
    start, end = plato(original), plato(final)
    left = 0.1808 * start + 0.8192 * end
    return (start - left) / (2.0665 - 0.010665 * start) * final / 0.7906


PRIMING = 5 * LITERS * (2.3 - 0.860) * 4.451 / OUNCE
"""Liters x (wanted - left at 20 C by Henry's law) x grams of glucose monohydrate a liter for each volume:
computed by stoichiometry."""

HEATING = 3 * 8.34 * (160 - 60) / (50000 * 0.4) * 60
"""Pounds of water x degrees / BTU an hour; two fifths of a gas flame reach the water (common practice, no
source)."""

IODOPHOR = 12.5 * 5 * LITERS / 16 / 29.5735
"""Milligrams a liter x liters / milligrams in a milliliter of 1.6 % concentrate (from memory), as ounces."""

PRIMING_ASKED = "how much corn sugar to bottle 5 gallons at 2.3 volumes at 68F"

SUMS: list[tuple[str, str, str, float, str, float]] = [
    # when, said, value, by hand, unit, tolerance and why
    # The program weighs extract instead of counting points, which parts them by less than a thousandth.
    ("08:36", "what should the original gravity be", "gravity", 1 + POINTS / 5 / 1000, "sg", 0.001),
    ("08:36", "how bitter is my recipe", "bitterness", bitterness(5, 5), "ibu", 0.5),
    ("08:37", "how dark will it be", "color", morey(5), "srm", 0.05),
    ("08:38", "how much water do I need to start with", "volume", water_to_start(), "gallon", 0.03),
    # Labels of the concentrate part by a fifth.
    ("08:41", "how much iodophor for 5 gallons", "dose", IODOPHOR, "fluid_ounce", 0.1),
    ("08:46", "how long to heat 3 gallons from 60 to 160", "duration", HEATING, "minute", 0.3),
    ("11:06", "what if I mix 2 gallons at 200F with 3 gallons at 40F", "temperature", mix(), "degF", 0.3),
    ("12:00", "hydrometer says 1.053 at 72F", "corrected", 1.053 + 0.00156, "sg", 0.0002),
    ("19:00", "reading 1.014 at 66F", "corrected", FG_18, "sg", 0.0002),
    # The short rule, and Balling's.
    ("19:01", "how strong is my beer", "abv", 131.25 * (OG - FG_18), "percent", 0.2),
    ("19:01", "how strong is my beer", "abv", balling(OG, FG_18), "percent", 0.05),
    ("10:05", PRIMING_ASKED, "sugar", PRIMING, "ounce", 0.005 * PRIMING),
    ("10:07", "how many bottles do I need for 5 gallons", "count", ceil(5 * 128 / 12), "bottle", 0),
    ("13:05", "how's this batch looking", "original", OG, "sg", 0.0002),
    ("13:05", "how's this batch looking", "gravity", FG_24, "sg", 0.0002),
    ("13:05", "how's this batch looking", "abv", balling(OG, FG_24), "percent", 0.05),
]


@pytest.mark.parametrize(
    "clock, heard, name, by_hand, unit, tolerance", SUMS, ids=[f"{row[0]} {row[2]}" for row in SUMS]
)
def test_sum_by_hand(
    day: Day, clock: str, heard: str, name: str, by_hand: float, unit: str, tolerance: float
) -> None:
    number, given_unit = day.at(clock, heard)["values"][name]
    assert given_unit == unit
    assert number == pytest.approx(by_hand, abs=tolerance, rel=0)


def test_a_small_strong_boil_counts_in_the_bitterness(day: Day, language: Language) -> None:
    """After the day three gallons were boiled, down to two, and five and a quarter stand in the fermenter."""
    with opened(day.folder, language) as conversation:
        reply = conversation.answer("how bitter is my recipe", moment("2026-10-25T10:00"))
    number, unit = reply.as_object()["values"]["bitterness"]
    assert unit == "ibu"
    assert number == pytest.approx(bitterness(2, 5.25), abs=0.5)
    assert number < bitterness(5, 5.25) * 0.65, "0.000125^0.07 is 0.53: strong wort takes up much less"


# --- Clocks: boil on at 9:58, an hour of it, so 15 minutes are left at 10:43 and after a pause of 4 at 10:47


def test_what_is_next(day: Day) -> None:
    answer = day.at("10:20", "what's next")
    assert answer["values"]["in"] == [pytest.approx(23.0), "minute"]
    assert all(words in answer["say"] for words in ("Willamette", "Irish moss", "23 minutes", "10:43"))


@pytest.mark.parametrize(
    "clock, heard, name, minutes",
    [
        ("09:20", "how long left", "left", 30 - 17),
        ("10:23", "pause the boil", "boil_left", 60 - 25),
        ("10:27", "boil's back on, resume", "boil_left", 60 - 25),
    ],
)
def test_time_left(day: Day, clock: str, heard: str, name: str, minutes: float) -> None:
    assert day.at(clock, heard)["values"][name] == [pytest.approx(minutes), "minute"]


@pytest.mark.parametrize(
    "clock, heard, names, due",
    [
        ("09:34", "i pulled the grain bag", ["steep"], "09:33"),
        ("09:58", "boil's on", ["Magnum"], "09:58"),
        # The Willamette is in with this very sentence, so only the moss is still to be called.
        ("10:47", "just put in an ounce of Willamette", ["Irish moss"], "10:47"),
        ("11:02", "flame out", ["Willamette"], "11:02"),
    ],
)
def test_alerts_come_with_the_line_that_finds_them_due(
    day: Day, clock: str, heard: str, names: list[str], due: str
) -> None:
    (alert,) = day.at(clock, heard)["alerts"]
    assert all(name in alert["label"] for name in names)
    assert f"{datetime.fromisoformat(alert['at']):%H:%M}" == due


def test_nothing_else_rings(day: Day) -> None:
    assert sum(len(answer["alerts"]) for answer in day.objects) == 4


def test_whoever_says_something_else_at_that_minute_hears_both(tmp_path: Path, language: Language) -> None:
    """The pause moved Willamette and Irish moss from 10:43 to 10:47, and neither is in yet."""
    text = BREW_DAY.read_text(encoding="utf-8").partition("[2026-10-10T10:47]")[0]
    with opened(tmp_path, language) as conversation:
        lines.as_json(conversation, io.StringIO(text), io.StringIO())
        early = conversation.answer("how long left", moment("2026-10-10T10:46:59"))
        there = conversation.answer("how long left", moment("2026-10-10T10:47"))
    assert early.alerts == ()
    (alert,) = there.alerts
    assert "Willamette" in alert.label and "Irish moss" in alert.label
    assert alert.at == moment("2026-10-10T10:47")


# --- Verdicts


@pytest.mark.parametrize(
    "clock, heard, verdict, words",
    [
        ("19:01", "is it ready to bottle", "No", ("burst",)),
        ("10:00", "is it ready to bottle", "Yes", ("1.013",)),
    ],
)
def test_ready(day: Day, clock: str, heard: str, verdict: str, words: tuple[str, ...]) -> None:
    """Two readings days apart that agree: no on Oct 18 (1.024, 1.014), yes on Oct 24 (1.012 twice)."""
    answer = day.at(clock, heard)
    assert answer["say"].startswith(verdict)
    assert all(word in answer["say"] for word in words)
    assert any("Do not bottle before" in told for told in answer["cautions"]) == (verdict == "No")


def test_too_hot_to_pitch(day: Day) -> None:
    """85 F against 60 to 72 F of an ale yeast (common practice, no source)."""
    answer = day.at("11:20", "the wort's at 85, can I pitch")
    assert [part["act"] for part in answer["also"]] == ["ask_pitch_temperature"]
    assert "Not yet" in answer["also"][0]["say"] and "13 °F" in answer["also"][0]["say"]


def test_the_log_is_shown_as_it_stands(day: Day) -> None:
    """One line an entry: all but the correction, and the reading as corrected."""
    text = day.at("13:06", "show the log")["text"]
    assert len(text.splitlines()) - 1 == len(RECORDED) - 1
    assert "1.052 at 72 °F" in text and "1.053" not in text
