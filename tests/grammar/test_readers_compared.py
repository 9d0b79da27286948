"""Compares our reading of numbers and quantities with that of two general-purpose libraries, on one list.

    python tests/grammar/test_readers_compared.py

prints who reads how many right; `pytest -s` prints it too. `tables/shared_numbers.jsonl` holds a phrase of a
brew day a line, how it is written or said in plain English (`plain`) or in the trade and by a dictation
program (`trade`), what it means, and what it was `told` as where that is more than one quantity. How such
things are said is common practice, no source.

The list is ours, and what ours missed of it was mended. The libraries are given their due: a gravity may be a
bare number or thousandths, and the parts of `2 lb 4 oz` may stay apart. text2num only turns words into
figures, so it is judged by the number alone, and what it leaves half in words counts as unread. quantulum3
runs without its classifier, so another unit of the same word (a minute of arc, a farad for F) is not held
against it. Ours is asked for a gravity, a number or a quantity with a unit, which in a sentence follows from
the place.
"""

from __future__ import annotations

import json
import re
import warnings
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

import pint
import pytest

from assistant.engine.errors import UnknownUnit
from assistant.engine.units import Q, parse_unit
from grammar.quantities import read_quantities
from grammar.words import split

TABLE = Path(__file__).parent / "tables" / "shared_numbers.jsonl"
SHARES = ("plain", "trade")
VERDICTS = ("right", "number only", "wrong", "unread")
NO_UNIT = ""
LEAST_RIGHT = 0.25
"""A library that reads less than this share of plain English was not really run."""

Heard = list[tuple[float, str | None]]
"""Numbers with their units: empty for a bare number, None where the reader knows no units."""


class Row(NamedTuple):
    """A phrase and what it means."""

    said: str
    share: str
    means: tuple[float, str]
    told: list[tuple[float, str]]


Reader = Callable[[Row], Heard]


def rows() -> list[Row]:
    lines = map(json.loads, TABLE.read_text(encoding="utf-8").splitlines())
    return [Row(line["said"], line["share"], tuple(line["means"]), [*map(tuple, line.get("told", ()))])
            for line in lines]


# --- The readers

def ours() -> Reader:
    kinds = {NO_UNIT: {"NUMBER"}, "sg": {"GRAVITY"}}
    no_quantities = {"NUMBER", "UNIT"}

    def read(row: Row) -> Heard:
        words = split(row.said)
        found = [r for r in read_quantities(words) if (r.start, r.end) == (0, len(words))]
        wanted = kinds.get(row.means[1])
        fitting = [r for r in found if (r.kind in wanted if wanted else r.kind not in no_quantities)]
        plainest = min((reading.cost for reading in fitting), default=0.0)
        values = dict.fromkeys(reading.value for reading in fitting if reading.cost == plainest)
        return [value if isinstance(value, tuple) else (value, NO_UNIT) for value in values]

    return read


def text2num() -> Reader:
    from text_to_num import alpha2digit

    left_in_words = re.compile(r"\b(half|quarters?|point|oh|dozen|couple)\b|[½/]")

    def read(row: Row) -> Heard:
        figures = alpha2digit(row.said, "en", 0).replace(",", "").replace("minus ", "-")
        if left_in_words.search(figures):
            return []
        return [(float(number), None) for number in re.findall(r"(?<!\d)-?\d+(?:\.\d+)?|\d+", figures)]

    return read


QUANTULUM_UNITS = {
    "dimensionless": (1, NO_UNIT), "dozen": (12, NO_UNIT), "percentage": (1, "percent"),
    "degree fahrenheit": (1, "degF"), "farad": (1, "degF"), "degree angle farad": (1, "degF"),
    "degree Celsius": (1, "degC"), "degree angle": (1, "degrees"),
    "pound-mass": (1, "pound"), "pound sterling": (1, "pound"), "pound per square inch": (1, "psi"),
    "litre": (1, "liter"), "cubic centimetre": (1, "milliliter"), "fluid ounce": (1, "fluid_ounce"),
    "minute of arc": (1, "minute"), "second of arc": (1, "second"), "gallon per hour": (1, "gallon/hour"),
}
"""How many of which of our units its units are, where the names differ."""


def quantulum3() -> Reader:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns that the classifier is missing
        from quantulum3 import parser

    def read(row: Row) -> Heard:
        heard: Heard = []
        for quantity in parser.parse(row.said):
            factor, unit = QUANTULUM_UNITS.get(quantity.unit.name, (1, quantity.unit.name))
            heard.append((quantity.value * factor, unit))
        return heard

    return read


MODULES: dict[Callable[[], Reader], str] = {text2num: "text_to_num", quantulum3: "quantulum3"}


# --- The verdicts

def same(wanted: tuple[float, str], heard: tuple[float, str | None]) -> bool:
    """Whether two quantities are equal, whichever units of a kind they are in."""
    (number, unit), (value, heard_unit) = wanted, heard
    if heard_unit not in (unit, None):
        try:
            value = Q(value, heard_unit or NO_UNIT).m_as(parse_unit(unit))
        except (UnknownUnit, pint.DimensionalityError):
            return False
    return number == pytest.approx(value, rel=1e-9)


def wordings(row: Row) -> Iterator[list[tuple[float, str]]]:
    """The ways the meaning may be given."""
    yield [row.means]
    if row.told:
        yield row.told
    number, unit = row.means
    if unit == "sg":
        yield [(number, NO_UNIT)]
        yield [(1000 * number, NO_UNIT)]


def verdict(row: Row, heard: Heard) -> str:
    if not heard:
        return "unread"
    fitting = [wanted for wanted in wordings(row) if len(wanted) == len(heard)]
    if any(all(map(same, wanted, heard)) for wanted in fitting):
        return "right"
    numbers = [(value, None) for value, _ in heard]
    return "number only" if any(all(map(same, wanted, numbers)) for wanted in fitting) else "wrong"


class Score(NamedTuple):
    """How one reader fared."""

    verdicts: dict[str, str]
    """By phrase."""
    seconds: dict[str, float]
    """By share."""

    def counts(self, share: str) -> Counter[str]:
        return Counter(self.verdicts[row.said] for row in rows() if row.share == share)


@cache
def score(reader: Callable[[], Reader]) -> Score:
    read = reader()
    verdicts: dict[str, str] = {}
    seconds = dict.fromkeys(SHARES, 0.0)
    read(rows()[0])  # the first reading loads tables
    for row in rows():
        start = perf_counter()
        heard = read(row)
        seconds[row.share] += perf_counter() - start
        verdicts[row.said] = verdict(row, heard)
    return Score(verdicts, seconds)


def table() -> Iterator[str]:
    heads = "".join(f"{name:>13}" for name in VERDICTS)
    yield f"{'reader':<12}{'share':<7}{'of':>4}{heads}{'seconds':>10}"
    for share in SHARES:
        for reader in (ours, *MODULES):
            counts = score(reader).counts(share)
            figures = "".join(f"{counts[name]:>13}" for name in VERDICTS)
            seconds = score(reader).seconds[share]
            yield f"{reader.__name__:<12}{share:<7}{counts.total():>4}{figures}{seconds:>10.4f}"


# --- The tests

def test_the_list_is_long_and_mixed() -> None:
    said = [row.said for row in rows()]
    assert len(set(said)) == len(said) >= 200
    assert {row.share for row in rows()} == set(SHARES)


def test_ours_reads_all_of_it() -> None:
    missed = {said: found for said, found in score(ours).verdicts.items() if found != "right"}
    assert missed == {}


def test_a_wrong_reading_is_told_apart() -> None:
    """The judge itself: wrong numbers, wrong units, parts and thousandths."""
    pounds = Row("2 lb 4 oz", "plain", (2.25, "pound"), [(2, "pound"), (4, "ounce")])
    gravity = Row("1060", "trade", (1.06, "sg"), [])
    assert [verdict(pounds, heard) for heard in (
        [(36.0, "ounce")], [(2.0, "pound"), (4.0, "ounce")], [(2.25, "gallon")], [(2.0, "pound")], [],
    )] == ["right", "right", "number only", "wrong", "unread"]
    assert [verdict(gravity, heard) for heard in (
        [(1.06, NO_UNIT)], [(1060.0, NO_UNIT)], [(1.06, "sg")], [(10.6, NO_UNIT)],
        [(10.0, None), (60.0, None)],
    )] == ["right", "right", "right", "wrong", "wrong"]


def test_compared_with_general_libraries() -> None:
    for module in MODULES.values():
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            pytest.importorskip(module)
    print("", *table(), sep="\n")
    for reader in MODULES:
        counts = score(reader).counts("plain")
        assert counts["right"] >= LEAST_RIGHT * counts.total(), (reader.__name__, counts)


if __name__ == "__main__":
    print(*table(), sep="\n")
