"""Finds every number with a unit, every gravity and every bare unit that a run of words may be heard as.

One table says how each unit is told; everything else here is about how numbers and units come together.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from grammar.gravities import all_gravities
from grammar.numbers import ARTICLES, NEEDS_UNIT, Number, all_numbers, fractions_at
from grammar.reading import Reading, weigh_cuts, word_at

__all__ = ["convertible", "read_quantities"]

# kind, name in the unit registry, the ways it is told (| between them)
_UNITS = (
    ("TEMPERATURE", "degF", "f|fahrenheit|degrees f|degree f|deg f|degrees fahrenheit|degree fahrenheit"
                            "|deg fahrenheit"),
    ("TEMPERATURE", "degC", "c|celsius|centigrade|degrees c|degree c|deg c|degrees celsius|degree celsius"
                            "|deg celsius|degrees centigrade|degree centigrade"),
    ("TEMPERATURE", "degrees", "degrees|degree|deg|degs"),
    ("GRAVITY", "plato", "plato|p|degrees plato|degree plato|deg plato|degrees p|deg p"),
    ("GRAVITY", "brix", "brix|bx|degrees brix|degree brix|deg brix|degrees bx"),
    ("GRAVITY", "sg", "sg|specific gravity"),
    ("VOLUME", "gallon", "gallon|gallons|gal|gals|us gallon|us gallons"),
    ("VOLUME", "liter", "liter|liters|litre|litres|l|ltr|ltrs"),
    ("VOLUME", "milliliter", "milliliter|milliliters|millilitre|millilitres|ml|mls|mil|mils|cc|ccs"),
    ("VOLUME", "quart", "quart|quarts|qt|qts|us quart|us quarts"),
    ("VOLUME", "pint", "pint|pints|pt|pts|us pint|us pints"),
    ("VOLUME", "fluid_ounce", "fluid ounce|fluid ounces|fl oz|fluid oz|fl ounce|fl ounces|floz"),
    ("VOLUME", "cup", "cup|cups"),
    ("SPOON", "cup", "cup|cups"),
    ("SPOON", "teaspoon", "teaspoon|teaspoons|tsp|tsps|tea spoon|tea spoons|teaspoonful|teaspoonfuls"),
    ("SPOON", "tablespoon", "tablespoon|tablespoons|tbsp|tbsps|tbs|table spoon|table spoons|tablespoonful"
                            "|tablespoonfuls"),
    ("MASS", "pound", "pound|pounds|lb|lbs"),
    ("MASS", "ounce", "ounce|ounces|oz|ozs"),
    ("MASS", "gram", "gram|grams|gramme|grammes|g|gm|gms"),
    ("MASS", "kilogram", "kilogram|kilograms|kilogramme|kilogrammes|kilo|kilos|kg|kgs"),
    ("MASS", "milligram", "milligram|milligrams|mg|mgs"),
    ("DURATION", "second", "second|seconds|sec|secs|s"),
    ("DURATION", "minute", "minute|minutes|min|mins|m"),
    ("DURATION", "hour", "hour|hours|hr|hrs|h"),
    ("DURATION", "day", "day|days"),
    ("DURATION", "week", "week|weeks|wk|wks"),
    ("DURATION", "month", "month|months"),
    ("DURATION", "year", "year|years|yr|yrs"),
    ("PERCENT", "percent", "percent|per cent|pct"),
    ("IBU", "ibu", "ibu|ibus|bitterness unit|bitterness units|international bitterness units"),
    ("COLOR", "srm", "srm"),
    ("COLOR", "ebc", "ebc"),
    ("CARBONATION", "volume_co2", "volume|volumes|vol|vols|volumes of co2|volumes co2|vols of co2|vols co2"
                                  "|volumes of carbonation|volumes of carbon dioxide|volume of co2"),
    ("PRESSURE", "psi", "psi|pounds of pressure|pound of pressure|pounds pressure|pounds per square inch"
                        "|pound per square inch"),
    ("PRESSURE", "bar", "bar|bars"),
    ("PRESSURE", "kilopascal", "kilopascal|kilopascals|kpa"),
    ("PRESSURE", "hectopascal", "hectopascal|hectopascals|hpa"),
    ("PRESSURE", "millibar", "millibar|millibars|mbar|mb"),
    ("PRESSURE", "inch_Hg", "inches of mercury|inch of mercury|inches mercury|inches hg|in hg|inhg"),
    ("CONCENTRATION", "ppm", "ppm|parts per million|milligrams per liter|milligram per liter|mg per liter|mg / l"
                             "|mg per l|milligrams a liter"),
    ("LENGTH", "foot", "foot|feet|ft"),
    ("LENGTH", "meter", "meter|meters|metre|metres|m"),
    ("LENGTH", "inch", "inch|inches"),
    ("POWER", "kilowatt", "kilowatt|kilowatts|kw"),
    ("POWER", "watt", "watt|watts"),
    ("POWER", "btu/hour", "btu|btus|btu per hour|btus per hour|btu an hour|btus an hour|btu / hour|btu / hr"
                          "|btu per hr|btu / h"),
    ("COUNT", "pack", "pack|packs|packet|packets|package|packages|sachet|sachets|pouch|pouches"),
    ("COUNT", "tablet", "tablet|tablets"),
    ("COUNT", "bottle", "bottle|bottles"),
)
# Never a unit without a number: letters typed behind one, and things that are counted.
_NEVER_BARE = {"p", "m", "s", "h", "mil", "mils"}
_NEVER_BARE_KINDS = {"COUNT"}
_NEVER_BARE_NAMES = {"degrees"}

# How many of the smaller unit make the larger, where people say both: `two pounds four ounces`.
_IN_BOTH = {
    ("pound", "ounce"): 16, ("kilogram", "gram"): 1000, ("liter", "milliliter"): 1000, ("gallon", "quart"): 4,
    ("gallon", "pint"): 8, ("gallon", "cup"): 16, ("quart", "pint"): 2, ("quart", "cup"): 4,
    ("foot", "inch"): 12,
    ("week", "day"): 7, ("day", "hour"): 24, ("hour", "minute"): 60, ("minute", "second"): 60,
}
_PER_HOUR = {"gallon": "gallon/hour", "liter": "liter/hour", "quart": "quart/hour"}
_EACH = {"per", "a", "an", "/", "each", "every"}
_HOUR = {"hour", "hr", "h"}
_WITHIN = {"off", "in"}
_WITHIN_COST = 0.06
"""For `a gallon in an hour`, which may as well be a volume and a time."""

_WITHOUT_ARTICLE_COST = 0.05
"""For `ounce and a half`, its article lost."""
_HOUR_AND_NUMBER_COST = 0.1
"""For `an hour twenty`, where minutes go without saying."""


def unit_words() -> tuple[str, ...]:
    """The single words that stand for units, as they may be heard."""
    return tuple(dict.fromkeys(word for _, _, ways in _UNITS for word in ways.split("|") if word.isalpha()))


class _Unit(NamedTuple):
    """One way a unit is told."""

    words: tuple[str, ...]
    kind: str
    name: str


def _by_first_word() -> dict[str, list[_Unit]]:
    table: dict[str, list[_Unit]] = {}
    for kind, name, forms in _UNITS:
        for form in forms.split("|"):
            words = tuple(form.split())
            table.setdefault(words[0], []).append(_Unit(words, kind, name))
    return table


_FORMS = _by_first_word()

_FULL = frozenset("full whole entire solid".split())
"""Words between a number and its unit: `a full hour`."""

_GIVEN_WHOLE = frozenset("for it".split())
"""Words before `the hour` that make it one hour: `for the hour`, `give it the hour`."""

_KINDS = {name: kind for kind, name, _ in _UNITS}
_BY_DENSITY = {"VOLUME", "SPOON", "MASS"}


def convertible(one: str, other: str) -> bool:
    """Whether a measure in one unit can be told in the other; a mass as a volume where it is known of what."""
    kinds = {_KINDS.get(one, one), _KINDS.get(other, other)}
    return len(kinds) == 1 or kinds <= _BY_DENSITY


class _Amount(NamedTuple):
    """A number with its unit, before it is settled what the parser is told."""

    start: int
    end: int
    value: float
    kind: str
    name: str
    cost: float


def read_quantities(words: Sequence[str]) -> list[Reading]:
    """Every number, quantity, gravity and bare unit in `words`; what is cut out of a longer one at a cost."""
    numbers = [number for number in all_numbers(words) if not _runs_on(words, number)]
    amounts = _amounts(words, numbers)
    return weigh_cuts([
        *(Reading(n.start, n.end, "NUMBER", n.value, n.cost) for n in numbers if n.shape not in NEEDS_UNIT),
        *_gravities(words),
        *(_reading(amount) for amount in amounts),
        *_rates(words, amounts),
        *_bare_units(words),
    ])


def _runs_on(words: Sequence[str], number: Number) -> bool:
    """Whether a number took up the half of the next amount: `at 60 and a half oz` is no `60.5 oz`."""
    return (
        word_at(words, number.start - 1) == "at"
        and "and" in words[number.start : number.end]
        and number.value % 1 > 0
        and any(unit.kind in ("MASS", "SPOON") for _, unit in _units_at(words, number.end))
    )


def _units_at(words: Sequence[str], at: int) -> Iterator[tuple[int, _Unit]]:
    """End and unit of the units told at a place."""
    if at < len(words):
        for unit in _FORMS.get(words[at], ()):
            end = at + len(unit.words)
            if len(unit.words) == 1 or tuple(words[at:end]) == unit.words:
                yield end, unit


def _gravities(words: Sequence[str]) -> Iterator[Reading]:
    for gravity in all_gravities(words):
        yield gravity
        for end, unit in _units_at(words, gravity.end):
            if unit.name == "sg":
                yield gravity._replace(end=end)


def _amounts(words: Sequence[str], numbers: Sequence[Number]) -> list[_Amount]:
    """Numbers with units, alone, with a half after the unit, and in two units."""
    single = [amount for number in numbers for amount in _with_unit(words, number)]
    single += _without_article(words)
    starting: dict[int, list[_Amount]] = {}
    for amount in single:
        starting.setdefault(amount.start, []).append(amount)
    double = [both for large in single for both in _in_both(words, large, starting)]
    hours = [both for large in single for both in _hour_and_number(words, large, numbers)]
    return single + double + hours


def _with_unit(words: Sequence[str], number: Number) -> Iterator[_Amount]:
    after = number.end + (word_at(words, number.end) in _FULL)
    for end, unit in _units_at(words, after):
        if unit.name == "sg" or (number.shape == "article" and len(words[number.end]) == 1):
            continue
        amount = _Amount(number.start, end, number.value, unit.kind, unit.name, number.cost)
        yield amount
        yield from _and_part(words, amount)


def _and_part(words: Sequence[str], amount: _Amount) -> Iterator[_Amount]:
    """`an ounce and a half`, unless the half belongs to a unit of its own."""
    if word_at(words, amount.end) == "and" and amount.value >= 0 and amount.value % 1 == 0:
        for end, part in fractions_at(words, amount.end + 1):
            # `60 minutes and half an ounce`, but `a gallon and a half an hour`
            of_its_own = end + (word_at(words, end) in ("a", "an") and not _hour_end(words, end))
            if not any(_units_at(words, of_its_own)):
                yield amount._replace(end=end, value=amount.value + part)


def _without_article(words: Sequence[str]) -> Iterator[_Amount]:
    """`ounce and a half` for `an ounce and a half`, and `the full hour`, `for the hour` for one."""
    for at, word in enumerate(words):
        before = words[at - 1] if at else ""
        if word in _FULL and before in ("", "the", *ARTICLES, "for", "in", "with", ","):
            yield from (_Amount(at, end, 1.0, unit.kind, unit.name, 0.0) for end, unit in _units_at(words, at + 1))
        if word in _HOUR and before == "the" and at > 1 and words[at - 2] in _GIVEN_WHOLE:
            yield _Amount(at - 1, at + 1, 1.0, "DURATION", "hour", 0.0)
        if word in _FORMS and before not in ARTICLES:
            for end, unit in _units_at(words, at):
                one = _Amount(at, end, 1.0, unit.kind, unit.name, _WITHOUT_ARTICLE_COST)
                yield from _and_part(words, one)


def _in_both(
    words: Sequence[str], large: _Amount, starting: dict[int, list[_Amount]]
) -> Iterator[_Amount]:
    """`2 lb 4 oz`, `two pounds and four ounces`."""
    after = large.end + (word_at(words, large.end) == "and")
    for small in starting.get(after, ()):
        factor = _IN_BOTH.get((large.name, small.name))
        if factor and large.kind == small.kind and 0 <= small.value < factor and large.value % 1 == 0:
            cost = max(large.cost, small.cost)
            if large.name == "hour":
                yield small._replace(start=large.start, value=large.value * factor + small.value, cost=cost)
            else:
                yield large._replace(end=small.end, value=large.value + small.value / factor, cost=cost)


def _hour_and_number(
    words: Sequence[str], hours: _Amount, numbers: Sequence[Number]
) -> Iterator[_Amount]:
    """`an hour twenty`: eighty minutes."""
    if hours.name != "hour":
        return
    after = hours.end + (word_at(words, hours.end) == "and")
    for number in numbers:
        plain = number.start == after and number.shape in ("cardinal", "literal")
        if plain and 0 < number.value < 60 and not any(_units_at(words, number.end)):
            minutes = hours.value * 60 + number.value
            yield _Amount(hours.start, number.end, minutes, "DURATION", "minute", _HOUR_AND_NUMBER_COST)


def _reading(amount: _Amount) -> Reading:
    value, name = amount.value, amount.name
    if name == "hour" and value % 1:
        value, name = value * 60, "minute"  # half an hour is told as 30 minutes
    return Reading(amount.start, amount.end, amount.kind, (value, name), amount.cost)


def _hour_end(words: Sequence[str], at: int) -> int:
    """Where `an hour` or `per hour` ends that opens at a place, else 0."""
    return at + 2 if word_at(words, at) in _EACH and word_at(words, at + 1) in _HOUR else 0


def _within_hour_end(words: Sequence[str], at: int) -> int:
    """Where `off an hour` or `in the hour` ends that opens at a place, else 0."""
    within = word_at(words, at) in _WITHIN and word_at(words, at + 1) in ARTICLES | {"the"} and word_at(words, at + 2) in _HOUR
    return at + 3 if within else 0


def _rates(words: Sequence[str], amounts: Sequence[_Amount]) -> Iterator[Reading]:
    for amount in amounts:
        end = _hour_end(words, amount.end)
        if amount.name in _PER_HOUR and end:
            yield Reading(amount.start, end, "RATE", (amount.value, _PER_HOUR[amount.name]), amount.cost)
        within = _within_hour_end(words, amount.end)
        if amount.name in _PER_HOUR and within:
            yield Reading(
                amount.start, within, "RATE", (amount.value, _PER_HOUR[amount.name]), amount.cost + _WITHIN_COST
            )


def _bare_units(words: Sequence[str]) -> Iterator[Reading]:
    seen = set()
    for at in range(len(words)):
        for end, unit in _units_at(words, at):
            bare = words[at] not in _NEVER_BARE and unit.kind not in _NEVER_BARE_KINDS
            if bare and unit.name not in _NEVER_BARE_NAMES and (at, end, unit.name) not in seen:
                seen.add((at, end, unit.name))
                yield Reading(at, end, "UNIT", unit.name)
                rate_end = _hour_end(words, end)
                if rate_end and unit.name in _PER_HOUR:
                    yield Reading(at, rate_end, "UNIT", _PER_HOUR[unit.name])
