"""What numbers and gravities are heard in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from spoken_numbers import cardinal, gravity_forms, one_by_one, pair

from grammar.gravities import read_gravities
from grammar.numbers import Number, read_numbers
from grammar.reading import Reading
from grammar.words import split

PLAIN = 0.1


def numbers_of_all(said: str) -> list[Number]:
    """Readings that take all the words."""
    words = split(said)
    return [number for number in read_numbers(words) if (number.start, number.end) == (0, len(words))]


def gravities_of_all(said: str) -> list[Reading]:
    words = split(said)
    return [reading for reading in read_gravities(words) if (reading.start, reading.end) == (0, len(words))]


def assert_means(said: str, value: float) -> None:
    """The value is the one plain reading of all the words."""
    found = sorted(numbers_of_all(said), key=lambda number: number.cost)
    assert found and found[0].cost < PLAIN, (said, found)
    assert found[0].value == pytest.approx(value, abs=1e-12), (said, found)
    rivals = [other for other in found if other.value != found[0].value]
    assert all(rival.cost > found[0].cost for rival in rivals), (said, found)


# (said, value); common practice, no source
SAID = [
    ("five", 5), ("zero", 0), ("oh point five", 0.5), ("68", 68), ("0.75", 0.75), (".75", 0.75),
    ("5,280", 5280),
    ("sixty eight", 68), ("sixty-eight", 68), ("forty", 40), ("fourty", 40),
    ("one fifty two", 152), ("one eighty", 180), ("one oh five", 105), ("two twelve", 212),
    ("ten sixty", 1060),
    ("a hundred", 100), ("a hundred and ten", 110), ("a hundred ten", 110),
    ("one hundred and fifty eight", 158),
    ("hundred and ten", 110), ("twelve hundred", 1200), ("2 hundred", 200), ("a hundred and 10", 110),
    ("five thousand two hundred eighty", 5280), ("5 thousand 280", 5280), ("six thousand", 6000),
    ("a thousand and sixty", 1060), ("two million", 2_000_000),
    ("one million two hundred thousand and five", 1_200_005),
    ("two and a half", 2.5), ("2 and a half", 2.5), ("twelve and a half", 12.5), ("12 and a half", 12.5),
    ("two and half", 2.5), ("2 1/2", 2.5), ("2½", 2.5), ("2-1/2", 2.5), ("two 1/2", 2.5), ("2 and 1/2", 2.5),
    ("5 and a quarter", 5.25), ("one and three quarters", 1.75), ("two and two thirds", 8 / 3),
    ("three and an eighth", 3.125), ("twenty two and a half", 22.5),
    ("half", 0.5), ("a half", 0.5), ("one half", 0.5), ("1/2", 0.5), ("½", 0.5), ("a quarter", 0.25),
    ("quarter", 0.25),
    ("three quarters", 0.75), ("3 quarters", 0.75), ("three-quarters", 0.75), ("three fourths", 0.75),
    ("3/4", 0.75),
    ("two thirds", 2 / 3), ("a third", 1 / 3), ("five eighths", 0.625), ("three tenths", 0.3),
    ("one point five", 1.5), ("two point two", 2.2), ("point seven five", 0.75), ("zero point five", 0.5),
    ("five point twenty five", 5.25), ("one point oh one two", 1.012), ("1 point 5", 1.5),
    ("2 point five", 2.5),
    ("one hundred point five", 100.5), ("five dot two", 5.2),
    ("a couple", 2), ("couple", 2), ("a dozen", 12), ("two dozen", 24), ("half a dozen", 6),
    ("half dozen", 6),
    ("minus two", -2), ("negative two", -2), ("minus 2", -2), ("-2", -2), ("minus two and a half", -2.5),
    ("minus point five", -0.5),
    ("for and a half", 4.5), ("to and a half", 2.5), ("won and a half", 1.5), ("ate and a quarter", 8.25),
    ("for end of half", 4.5),
]


@pytest.mark.parametrize(("said", "value"), SAID)
def test_number(said: str, value: float) -> None:
    assert_means(said, value)


@pytest.mark.parametrize("said", [
    "oh", "o", "4-8", "1080p", "1080-80", "10:20", "1.2.3", "third", "and", "point", "minus", "10-60", "5/4",
    "10/18", "2026-10-18",
    "five quarters", "a few", "zero halves", "1 , 2",
])
def test_no_number(said: str) -> None:
    """A range, a time, a mishearing or an order is no number, and none is made of it."""
    assert numbers_of_all(said) == []


@pytest.mark.parametrize(("said", "value", "shape"), [
    ("a", 1, "article"), ("an", 1, "article"), ("another", 1, "article"), ("for", 4, "homophone"),
    ("to", 2, "homophone"),
    ("too", 2, "homophone"), ("half a", 0.5, "part"), ("three quarters of an", 0.75, "part"),
    ("quarter of a", 0.25, "part"), ("a couple of", 2, "part"), ("68th", 68, "ordinal"),
    ("one five two", 152, "spelled"),
])
def test_number_that_needs_more(said: str, value: float, shape: str) -> None:
    """Forms that are numbers only before a unit, or not for certain, are told by their shape."""
    assert [(number.value, number.shape) for number in numbers_of_all(said)] == [(value, shape)]


@pytest.mark.parametrize(("said", "cut"), [
    ("one fifty two", "one"), ("one fifty two", "fifty two"), ("two and a half", "two"),
    ("two and a half", "half"),
    ("one point five", "five"), ("a hundred and ten", "a hundred"), ("sixty eight", "sixty"),
    ("minus two", "two"),
])
def test_part_of_a_number_is_dearer(said: str, cut: str) -> None:
    words = split(said)
    [cost] = {number.cost for number in read_numbers(words) if words[number.start:number.end] == cut.split()}
    assert cost > PLAIN


@pytest.mark.parametrize("joint", [" ", " and "])
def test_every_cardinal_to_ten_thousand(joint: str) -> None:
    for number in range(10_000):
        assert_means(cardinal(number, joint), number)


@given(st.integers(0, 9_999_999))
def test_any_cardinal(number: int) -> None:
    millions, rest = divmod(number, 1_000_000)
    head = f"{cardinal(millions)} million" if millions else ""
    assert_means(f"{head} {cardinal(rest)}" if rest or not head else head, number)


def test_every_pair() -> None:
    for number in range(101, 2000):
        if number % 100 and number // 100 <= 20:
            assert_means(pair(number), number)


@given(st.integers(0, 999), st.integers(1, 3), st.data())
def test_any_decimal(whole: int, places: int, data: st.DataObject) -> None:
    decimals = data.draw(st.text("0123456789", min_size=places, max_size=places))
    for head in (cardinal(whole), str(whole)):
        assert_means(f"{head} {one_by_one('.' + decimals)}", float(f"{whole}.{decimals}"))
    assert_means(f"{whole}.{decimals}", float(f"{whole}.{decimals}"))


# --- Gravities

@pytest.mark.parametrize("points", range(990, 1171))
def test_every_gravity_in_every_form(points: int) -> None:
    for form, said in gravity_forms(points).items():
        found = sorted(gravities_of_all(said), key=lambda reading: reading.cost)
        assert found and found[0].cost < PLAIN, (form, said, found)
        assert found[0].value == (points / 1000, "sg"), (form, said, found)
        assert all(other.cost > found[0].cost for other in found[1:]), (form, said, found)


@pytest.mark.parametrize(("said", "gravity"), [
    ("ten sixty four", 1.064), ("one point oh one two five", 1.0125), ("one oh one two five", 1.0125),
    ("1.0125", 1.0125),
    ("1060.5", 1.0605), ("ten sixty point five", 1.0605), ("a thousand and ten", 1.010),
    ("eleven hundred", 1.1),
    ("ten-sixty", 1.06), ("one 060", 1.06), ("1-0-6-0", 1.06),
])
def test_gravity(said: str, gravity: float) -> None:
    [found] = gravities_of_all(said)
    assert found.value == (gravity, "sg") and found.cost < PLAIN


def test_gravity_written_as_a_clock_time() -> None:
    """Dictation makes 10:16 of `ten sixteen`; a time is likelier until the sentence asks for a gravity."""
    [found] = gravities_of_all("10:16")
    assert found.value == (1.016, "sg") and found.cost > PLAIN


@pytest.mark.parametrize("said", [
    "102", "one oh two", "106", "ten six", "10 6", "1-0", "1.909", "1.171", "1171", "0.989", "989", "1.2",
    "1.5", "2.5",
    "152", "one fifty two", "1080p", "1080-80", "10.6", "100.5", "1.06o.1", "4-8", "68", "5280", "one",
    "1", "12.52",
    "9:30", "9-30", "1-98", "4-98", "98-7", "0-98",
    "1.06 68", "1060 68", "ten sixty sixty eight", "98.8", "10601", "1 06", "0.99 f",
])
def test_no_gravity(said: str) -> None:
    """A lost digit, a slip or another number must not be guessed into a gravity."""
    assert gravities_of_all(said) == []
