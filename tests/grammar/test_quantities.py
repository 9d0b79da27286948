"""What quantities and units are heard in words."""

from datetime import UTC, datetime
from itertools import product
from math import isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st
from spoken_numbers import (
    SIGNS,
    cardinal,
    decimal_forms,
    gravity_forms,
    mixed_forms,
    part_forms,
    value_of,
    whole_forms,
)
from spoken_times import duration_forms, hour_and_number_forms

from grammar.moments import Moment, read_moments
from grammar.quantities import read_quantities
from grammar.reading import Reading
from grammar.words import split

PLAIN = 0.1


def of_all(said: str, kind: str) -> list[Reading]:
    """Readings of one kind that take all the words, the plainest first."""
    words = split(said)
    found = [r for r in read_quantities(words) if (r.start, r.end, r.kind) == (0, len(words), kind)]
    return sorted(found, key=lambda reading: reading.cost)


def assert_means(said: str, kind: str, value: float, unit: str) -> None:
    """The value is the one plain reading of its kind of all the words."""
    found = of_all(said, kind)
    assert found and found[0].cost < PLAIN and found[0].value[1] == unit, (said, found)
    assert found[0].value[0] == pytest.approx(value, abs=1e-9), (said, found)
    rivals = [other for other in found if other.value != found[0].value]
    assert all(rival.cost > found[0].cost for rival in rivals), (said, found)


# (said, kind, value, unit); common practice, no source
SAID = [
    ("68F", "TEMPERATURE", 68, "degF"), ("68 degrees", "TEMPERATURE", 68, "degrees"),
    ("68°F", "TEMPERATURE", 68, "degF"),
    ("sixty eight fahrenheit", "TEMPERATURE", 68, "degF"), ("20C", "TEMPERATURE", 20, "degC"),
    ("twenty degrees celsius", "TEMPERATURE", 20, "degC"), ("minus five C", "TEMPERATURE", -5, "degC"),
    ("20 centigrade", "TEMPERATURE", 20, "degC"), ("one fifty two degrees", "TEMPERATURE", 152, "degrees"),
    ("68 deg f", "TEMPERATURE", 68, "degF"), ("two twelve", "NUMBER", 212, ""),
    ("12.5 plato", "GRAVITY", 12.5, "plato"), ("12.5°P", "GRAVITY", 12.5, "plato"),
    ("twelve and a half plato", "GRAVITY", 12.5, "plato"), ("15 brix", "GRAVITY", 15, "brix"),
    ("15 degrees brix", "GRAVITY", 15, "brix"), ("1.050 sg", "GRAVITY", 1.05, "sg"),
    ("1050 SG", "GRAVITY", 1.05, "sg"),
    ("1.050 specific gravity", "GRAVITY", 1.05, "sg"),
    ("5 gallons", "VOLUME", 5, "gallon"), ("5.25 gal", "VOLUME", 5.25, "gallon"),
    ("5gal.", "VOLUME", 5, "gallon"),
    ("five and a quarter gallons", "VOLUME", 5.25, "gallon"),
    ("a gallon and a half", "VOLUME", 1.5, "gallon"),
    ("one and a half gallons", "VOLUME", 1.5, "gallon"), ("a couple of gallons", "VOLUME", 2, "gallon"),
    ("a couple gallons", "VOLUME", 2, "gallon"), ("a half gallon", "VOLUME", 0.5, "gallon"),
    ("half-gallon", "VOLUME", 0.5, "gallon"), ("2 gallons 3 quarts", "VOLUME", 2.75, "gallon"),
    ("19 L", "VOLUME", 19, "liter"), ("19 litres", "VOLUME", 19, "liter"),
    ("two-liter", "VOLUME", 2, "liter"),
    ("500ml", "VOLUME", 500, "milliliter"), ("six quarts", "VOLUME", 6, "quart"),
    ("a pint", "VOLUME", 1, "pint"),
    ("8 fl oz", "VOLUME", 8, "fluid_ounce"), ("8 fl. oz.", "VOLUME", 8, "fluid_ounce"),
    ("eight fluid ounces", "VOLUME", 8, "fluid_ounce"), ("half a cup", "VOLUME", 0.5, "cup"),
    ("half a cup", "SPOON", 0.5, "cup"), ("¾ cup", "SPOON", 0.75, "cup"),
    ("a cup and a half", "SPOON", 1.5, "cup"),
    ("a teaspoon", "SPOON", 1, "teaspoon"), ("quarter teaspoon", "SPOON", 0.25, "teaspoon"),
    ("a quarter of a teaspoon", "SPOON", 0.25, "teaspoon"), ("1/2 tsp", "SPOON", 0.5, "teaspoon"),
    ("2 tbsp", "SPOON", 2, "tablespoon"), ("two table spoons", "SPOON", 2, "tablespoon"),
    ("a pound", "MASS", 1, "pound"), ("2.5lb", "MASS", 2.5, "pound"), ("half pound", "MASS", 0.5, "pound"),
    ("half a pound", "MASS", 0.5, "pound"), ("a pound and a half", "MASS", 1.5, "pound"),
    ("pound and a half", "MASS", 1.5, "pound"), ("one and a half pounds", "MASS", 1.5, "pound"),
    ("2 lb 4 oz", "MASS", 2.25, "pound"), ("two pounds four ounces", "MASS", 2.25, "pound"),
    ("two pounds and four ounces", "MASS", 2.25, "pound"), ("2lb4oz", "MASS", 2.25, "pound"),
    ("an ounce", "MASS", 1, "ounce"), ("an ounce and a half", "MASS", 1.5, "ounce"),
    ("another ounce", "MASS", 1, "ounce"),
    ("an ounce and a quarter", "MASS", 1.25, "ounce"), ("three quarters of an ounce", "MASS", 0.75, "ounce"),
    ("three quarter ounce", "MASS", 0.75, "ounce"), ("two thirds of an ounce", "MASS", 2 / 3, "ounce"),
    (".75 oz", "MASS", 0.75, "ounce"), ("0.75 of an ounce", "MASS", 0.75, "ounce"),
    ("1 and a 1/2 pounds", "MASS", 1.5, "pound"), ("a 1/4 teaspoon", "SPOON", 0.25, "teaspoon"),
    ("point seven five ounces", "MASS", 0.75, "ounce"),
    ("a pound and a half ounce", "MASS", 1 + 0.5 / 16, "pound"),
    ("minus two ounces", "MASS", -2, "ounce"), ("-2 oz", "MASS", -2, "ounce"),
    ("two hundred grams", "MASS", 200, "gram"), ("28g", "MASS", 28, "gram"),
    ("1.5 kg", "MASS", 1.5, "kilogram"),
    ("a kilo and a half", "MASS", 1.5, "kilogram"), ("1 kg 500 g", "MASS", 1.5, "kilogram"),
    ("50 mg", "MASS", 50, "milligram"),
    ("90 min", "DURATION", 90, "minute"), ("45 minute", "DURATION", 45, "minute"),
    ("an hour", "DURATION", 1, "hour"), ("full hour", "DURATION", 1, "hour"),
    ("an hour and a half", "DURATION", 90, "minute"), ("hour and a half", "DURATION", 90, "minute"),
    ("half an hour", "DURATION", 30, "minute"), ("a half hour", "DURATION", 30, "minute"),
    ("three quarters of an hour", "DURATION", 45, "minute"), ("quarter of an hour", "DURATION", 15, "minute"),
    ("1 hour 30 minutes", "DURATION", 90, "minute"), ("1h30m", "DURATION", 90, "minute"),
    ("an hour and twenty minutes", "DURATION", 80, "minute"),
    ("one and a half hours", "DURATION", 90, "minute"),
    ("two hours", "DURATION", 2, "hour"), ("2 minutes 30 seconds", "DURATION", 2.5, "minute"),
    ("a day and a half", "DURATION", 1.5, "day"), ("three weeks", "DURATION", 3, "week"),
    ("3 months", "DURATION", 3, "month"), ("a year", "DURATION", 1, "year"),
    ("90 sec", "DURATION", 90, "second"),
    ("12%", "PERCENT", 12, "percent"), ("twelve percent", "PERCENT", 12, "percent"),
    ("5.5 per cent", "PERCENT", 5.5, "percent"),
    ("forty I B U", "IBU", 40, "ibu"), ("40 IBUs", "IBU", 40, "ibu"), ("14 SRM", "COLOR", 14, "srm"),
    ("28 EBC", "COLOR", 28, "ebc"),
    ("2.2 vols", "CARBONATION", 2.2, "volume_co2"),
    ("two and a half volumes", "CARBONATION", 2.5, "volume_co2"),
    ("2.4 volumes of CO2", "CARBONATION", 2.4, "volume_co2"),
    ("2.4 volumes of C O two", "CARBONATION", 2.4, "volume_co2"),
    ("12 psi", "PRESSURE", 12, "psi"), ("twelve P S I", "PRESSURE", 12, "psi"),
    ("12 pounds of pressure", "PRESSURE", 12, "psi"),
    ("12 pounds per square inch", "PRESSURE", 12, "psi"), ("0.8 bar", "PRESSURE", 0.8, "bar"),
    ("80 kPa", "PRESSURE", 80, "kilopascal"),
    ("5,280 feet", "LENGTH", 5280, "foot"), ("1600 m", "LENGTH", 1600, "meter"),
    ("six inches", "LENGTH", 6, "inch"),
    ("1 gallon an hour", "RATE", 1, "gallon/hour"), ("a gallon per hour", "RATE", 1, "gallon/hour"),
    ("1.5 gal/hr", "RATE", 1.5, "gallon/hour"), ("half a gallon an hour", "RATE", 0.5, "gallon/hour"),
    ("a gallon and a half an hour", "RATE", 1.5, "gallon/hour"),
    ("4 liters per hour", "RATE", 4, "liter/hour"),
    ("a quart every hour", "RATE", 1, "quart/hour"),
    ("2 kilowatts", "POWER", 2, "kilowatt"), ("1500 watts", "POWER", 1500, "watt"),
    ("60,000 BTU", "POWER", 60000, "btu/hour"),
    ("60000 btu/hr", "POWER", 60000, "btu/hour"),
    ("sixty thousand B T U per hour", "POWER", 60000, "btu/hour"),
    ("two packs", "COUNT", 2, "pack"), ("a packet", "COUNT", 1, "pack"),
    ("half a tablet", "COUNT", 0.5, "tablet"),
    ("a dozen bottles", "COUNT", 12, "bottle"), ("48 bottles", "COUNT", 48, "bottle"),
    ("for and a half gallons", "VOLUME", 4.5, "gallon"), ("to and a half gallons", "VOLUME", 2.5, "gallon"),
]


@pytest.mark.parametrize(("said", "kind", "value", "unit"), [row for row in SAID if row[1] != "NUMBER"])
def test_quantity(said: str, kind: str, value: float, unit: str) -> None:
    assert_means(said, kind, value, unit)


@pytest.mark.parametrize(("said", "kind", "value", "cost"), [
    ("to gallons", "VOLUME", (2, "gallon"), 0.3), ("for pounds", "MASS", (4, "pound"), 0.3),
    ("ate ounces", "MASS", (8, "ounce"), 0.3), ("68th fahrenheit", "TEMPERATURE", (68, "degF"), 0.3),
    ("an hour twenty", "DURATION", (80, "minute"), 0.1),
])
def test_uncertain_quantity(said: str, kind: str, value: tuple[float, str], cost: float) -> None:
    assert [(reading.value, reading.cost) for reading in of_all(said, kind)] == [(value, pytest.approx(cost))]


@pytest.mark.parametrize("said", [
    "4-8 pounds", "1080p gallons", "a few ounces", "gallons", "to", "a c", "an l", "5 imperial gallons",
    "10/18 pounds",
    "5 gallons 1.050", "some hops", "pound and a half ounces", "1.5 of a pound",
    "0 of a pound", "a 5/4 pound",
])
def test_no_quantity(said: str) -> None:
    """What has no number, a range for one, or a unit we do not know, is not made into a quantity."""
    words = split(said)
    whole = [r for r in read_quantities(words) if (r.start, r.end) == (0, len(words)) and r.kind != "UNIT"]
    assert whole == []


@pytest.mark.parametrize(("said", "unit"), [
    ("celsius", "degC"), ("f", "degF"), ("gallons", "gallon"), ("grams", "gram"), ("plato", "plato"),
    ("brix", "brix"),
    ("specific gravity", "sg"), ("liters", "liter"), ("fluid ounces", "fluid_ounce"),
    ("degrees fahrenheit", "degF"),
    ("psi", "psi"), ("volumes of CO2", "volume_co2"), ("gallons an hour", "gallon/hour"), ("cups", "cup"),
    ("minutes", "minute"),
])
def test_bare_unit(said: str, unit: str) -> None:
    """The unit alone, as the target of a conversion."""
    assert [(reading.value, reading.cost) for reading in of_all(said, "UNIT")] == [(unit, 0.0)]


@pytest.mark.parametrize("said", ["bottles", "pack", "m", "s", "h", "p", "degrees", "mil"])
def test_never_a_bare_unit(said: str) -> None:
    assert read_quantities(split(said)) == []


# Sentences, and all that is heard in them at a cost below 0.1 besides bare units.
SENTENCES = [
    ("half a pound of Munich malt", {("half a pound", "MASS")}),
    ("a pound and a half of crystal", {("a pound and a half", "MASS")}),
    ("what if I mix 2 gallons at 200F with 3 gallons at 40 degrees",
     {("2 gallons", "VOLUME"), ("200 f", "TEMPERATURE"), ("3 gallons", "VOLUME"),
     ("40 degrees", "TEMPERATURE")}),
    ("convert 19 liters to gallons", {("19 liters", "VOLUME")}),
    ("my boil off is one gallon an hour", {("one gallon an hour", "RATE")}),
    ("five gallons and a half pound of sugar", {("five gallons", "VOLUME"), ("a half pound", "MASS")}),
    ("1 oz at 15, 1 oz at 5",
     {("1 oz", "MASS"), ("15", "NUMBER"), ("5", "NUMBER")}),
    ("1.06 5 gallons", {("1.06", "NUMBER"), ("1.06", "GRAVITY"), ("1.06 5", "GRAVITY"),
    ("5 gallons", "VOLUME")}),
]


@pytest.mark.parametrize(("said", "heard"), SENTENCES)
def test_plain_readings_of_a_sentence(said: str, heard: set[tuple[str, str]]) -> None:
    words = split(said)
    plain = [r for r in read_quantities(words) if r.cost < PLAIN and r.kind != "UNIT"]
    assert {(" ".join(words[r.start:r.end]), r.kind) for r in plain} == heard


_TRICKY = (
    "a an half and one oh ten sixty hundred thousand point to for of 1 0 1.0 10-60 1/2 10:20 ago at pm hour "
    "ounce pounds may 5th on tuesday minus couple dozen p sg degrees f"
).split()


@given(st.one_of(
    st.text(max_size=60),
    st.lists(st.sampled_from(_TRICKY), max_size=14).map(" ".join),
    st.from_regex(r"[0-9]{0,6000}[ :/.-]?[0-9]{1,5000}(?: (?:half|pounds|days ago|th|pm))?", fullmatch=True),
))
def test_any_sentence_can_be_read(said: str) -> None:
    """No sentence is a fault; every reading lies within the words, is finite and has a cost."""
    words = split(said)
    for reading in (*read_quantities(words), *read_moments(words)):
        assert 0 <= reading.start < reading.end <= len(words) and reading.cost >= 0
        if isinstance(reading.value, tuple):
            assert isfinite(reading.value[0])
        if isinstance(reading.value, Moment):
            assert reading.value.at(datetime(2026, 10, 10, 9, tzinfo=UTC)).tzinfo is UTC


# --- Whole ranges

@pytest.mark.parametrize(("lowest", "highest", "unit", "forms"), [
    (30, 215, "degF", ("{}F", "{} F", "{}°F", "{} degrees F", "{} deg F", "{} degrees fahrenheit",
                       "{} fahrenheit")),
    (0, 105, "degC", ("{}C", "{}°C", "{} degrees C", "{} celsius", "{} degrees celsius", "{} centigrade")),
    (0, 215, "degrees", ("{} degrees", "{}°")),
])
def test_every_temperature(lowest: int, highest: int, unit: str, forms: tuple[str, ...]) -> None:
    for degrees in range(lowest, highest + 1):
        for way, form in product(whole_forms(degrees), forms):
            if way.isdecimal() or not form.startswith(("{}F", "{}C")):  # letters are glued to figures only
                assert_means(form.format(way), "TEMPERATURE", degrees, unit)
        for half in (f"{degrees}.5", *decimal_forms(f"{degrees}.5"), *mixed_forms(degrees, "1/2")):
            assert_means(f"{half} {forms[-1].removeprefix('{}')}", "TEMPERATURE", degrees + 0.5, unit)


# one, many, short, kind, unit told, how many of it make one
UNITS = [
    ("pound", "pounds", "lb", "MASS", "pound", 1), ("ounce", "ounces", "oz", "MASS", "ounce", 1),
    ("gram", "grams", "g", "MASS", "gram", 1), ("kilogram", "kilograms", "kg", "MASS", "kilogram", 1),
    ("gallon", "gallons", "gal", "VOLUME", "gallon", 1), ("quart", "quarts", "qt", "VOLUME", "quart", 1),
    ("pint", "pints", "pt", "VOLUME", "pint", 1), ("liter", "liters", "l", "VOLUME", "liter", 1),
    ("fluid ounce", "fluid ounces", "fl oz", "VOLUME", "fluid_ounce", 1),
    ("teaspoon", "teaspoons", "tsp", "SPOON", "teaspoon", 1),
    ("tablespoon", "tablespoons", "tbsp", "SPOON", "tablespoon", 1),
    ("cup", "cups", "cups", "SPOON", "cup", 1),
    ("second", "seconds", "sec", "DURATION", "second", 1),
    ("minute", "minutes", "min", "DURATION", "minute", 1),
    ("hour", "hours", "hr", "DURATION", "minute", 60), ("day", "days", "days", "DURATION", "day", 1),
    ("week", "weeks", "wk", "DURATION", "week", 1),
]


@pytest.mark.parametrize(("one", "many", "short", "kind", "unit", "size"), UNITS)
def test_every_mixed_amount(one: str, many: str, short: str, kind: str, unit: str, size: int) -> None:
    for whole, fraction in product(range(1, 21), SIGNS):
        means = size * (whole + value_of(fraction))
        for number in mixed_forms(whole, fraction):
            assert_means(f"{number} {many}", kind, means, unit)
            assert_means(f"{number} {short}", kind, means, unit)
        for head, part in product((cardinal(whole), str(whole)), part_forms(fraction)):
            assert_means(f"{head} {many if whole > 1 else one} and {part}", kind, means, unit)


@pytest.mark.parametrize(("one", "many", "short", "kind", "unit", "size"), UNITS)
def test_every_part_of_one(one: str, many: str, short: str, kind: str, unit: str, size: int) -> None:
    a_unit = f"an {one}" if one[0] in "oh" else f"a {one}"
    for fraction, sign in SIGNS.items():
        means = size * value_of(fraction)
        parts = part_forms(fraction)
        if fraction in ("1/2", "1/4"):
            parts.append(parts[0].removeprefix("a "))
        for part in parts:
            for said in (f"{part} of {a_unit}", f"{part} {one}", f"{part} {a_unit}"):
                assert_means(said, kind, means, unit)
            assert_means(f"{a_unit} and {part}", kind, size + means, unit)
            assert_means(f"{one} and {part}", kind, size + means, unit)
        for typed in (fraction, sign):
            for said in (f"{typed} {short}", f"{typed}{short}", f"{typed} of {a_unit}", f"{typed} {a_unit}",
                         f"a {typed} {one}"):
                assert_means(said, kind, means, unit)


def test_every_decimal_amount_to_ten_pounds() -> None:
    for hundredths in range(1, 1001):
        typed = f"{hundredths / 100:.2f}"
        assert_means(f"{typed}lb", "MASS", hundredths / 100, "pound")
        for number in (*decimal_forms(typed), *(decimal_forms(typed[:-1]) if typed[-1] == "0" else ())):
            assert_means(f"{number} pounds", "MASS", hundredths / 100, "pound")
            if hundredths < 100:
                assert_means(f"{number} of a pound", "MASS", hundredths / 100, "pound")


@pytest.mark.parametrize(("one", "many", "short", "kind", "unit", "size"), UNITS)
def test_every_whole_to_two_hundred_and_every_tenth_to_ten(
    one: str, many: str, short: str, kind: str, unit: str, size: int
) -> None:
    told = [(count, form) for count in range(1, 201) for form in whole_forms(count)]
    told += [(tenths / 10, form) for tenths in range(1, 101) for form in decimal_forms(f"{tenths / 10:.1f}")]
    for number, form in told:
        for said in (f"{form} {many}", f"{form}{'' if form.isdecimal() else ' '}{short}"):
            [found] = {reading.value for reading in of_all(said, kind) if reading.cost < PLAIN}
            in_unit = found[0] if found[1] == unit else found[0] * size
            assert found[1] in (unit, one) and in_unit == pytest.approx(size * number), (said, found)


def test_every_pound_and_ounce() -> None:
    for pounds, ounces in product(range(1, 11), range(1, 16)):
        for said in (f"{pounds} lb {ounces} oz", f"{pounds}lb{ounces}oz",
                     f"{cardinal(pounds)} pounds {cardinal(ounces)} ounces",
                     f"{cardinal(pounds)} pounds and {cardinal(ounces)} ounces"):
            assert_means(said, "MASS", pounds + ounces / 16, "pound")


IN_MINUTES = {"second": 1 / 60, "minute": 1, "hour": 60, "day": 1440, "week": 10080}


def assert_lasts(said: str, minutes: float, most: float = PLAIN) -> None:
    """The length is the one plain reading of all the words, in whichever unit."""
    found = of_all(said, "DURATION")
    assert found and found[0].cost < most, (said, found)
    for reading in found:
        count, unit = reading.value
        assert count * IN_MINUTES[unit] == pytest.approx(minutes), (said, found)


def test_every_duration_to_six_hours() -> None:
    for minutes in range(1, 361):
        for said in duration_forms(minutes):
            assert_lasts(said, minutes)
        if minutes > 60 and minutes % 60:
            for said in hour_and_number_forms(minutes):
                assert_lasts(said, minutes, most=0.2)


@pytest.mark.parametrize(("unit", "forms"), [
    ("second", ("{} seconds", "{} secs", "{} sec")), ("hour", ("{} hours", "{} hrs")),
    ("day", ("{} days", "{}-day")), ("week", ("{} weeks", "{} wks")),
])
def test_every_count_of_a_unit_of_time(unit: str, forms: tuple[str, ...]) -> None:
    for count in range(1, 241):
        for way, form in product(whole_forms(count), forms):
            assert_lasts(form.format(way), count * IN_MINUTES[unit])


@pytest.mark.parametrize("points", range(990, 1171, 7))
def test_gravities_are_quantities_in_every_form(points: int) -> None:
    for said in gravity_forms(points).values():
        assert_means(said, "GRAVITY", points / 1000, "sg")


def test_every_unit_form_reads_as_its_unit() -> None:
    """Each form of the table is read behind a number, and no form stands for two units of one kind."""
    from grammar.quantities import _UNITS  # the table itself is under test

    seen = set()
    for kind, unit, forms in _UNITS:
        for form in forms.split("|"):
            assert (kind, form) not in seen
            seen.add((kind, form))
            number = "1.050" if unit == "sg" else "7"
            assert_means(f"{number} {form}", kind, float(number), unit)
