"""Finds every number that a run of words may be heard as.

`ten sixty` is 1060, and a gravity for `gravities.py`; `two and a half` is 2.5, and `two` for who stops there.
What is meant is settled later, by where it stands. Words come from `words.py`. Next: `gravities.py`.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from grammar.reading import MOST_FIGURES, weigh_cuts, whole_number, word_at

__all__ = ["NEEDS_UNIT", "Number", "all_numbers", "fractions_at", "read_numbers"]

HOMOPHONE_COST = 0.3
"""For `to gallons`, which may be two gallons or a unit to convert to."""
UNSAID_ARTICLE_COST = 0.15
"""For `sixty and half`: more likely two things, `at 60 and half an ounce`."""
HOMOPHONE_AND_PART_COST = 0.04
"""For `for and a half`, which hardly means anything but four and a half."""
ORDINAL_COST = 0.3
ODD_FORM_COST = 0.05
"""For a form that is rarely used: a gravity told as `10.60` or `1.1`, more than three decimals."""
USUAL_DECIMALS, MOST_DECIMALS = 3, 4
SPELLED_COST = 0.1
"""For a number told digit by digit without a point: `one five two`."""

ONES = {word: n for n, word in enumerate("one two three four five six seven eight nine".split(), 1)}
TEENS = {word: n for n, word in enumerate(
    "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split(), 10)}
TENS = {word: 10 * n for n, word in enumerate(
    "twenty thirty forty fifty sixty seventy eighty ninety".split(), 2)} | {"fourty": 40}
ZERO_NAMES = {"zero", "nought", "naught"}
# Noughts among other digits; by itself `oh` is no number but a cry.
ZEROS = {"oh", "o", *ZERO_NAMES}
SCALES = {"thousand": 1_000, "million": 1_000_000}
ARTICLES = {"a", "an", "another"}
POINTS = {"point", "dot"}
MINUS = {"minus", "negative"}
HOMOPHONES = {"for": 4, "fore": 4, "to": 2, "too": 2, "won": 1, "ate": 8}
PARTS = {"half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "fourth": 4,
         "fourths": 4, "fifth": 5, "fifths": 5, "sixth": 6, "sixths": 6, "eighth": 8, "eighths": 8,
         "tenth": 10, "tenths": 10, "sixteenth": 16, "sixteenths": 16}
# What `and` is heard as between a whole number and its part, by its first word.
JOINS = {"and": ((("and",), 0.0),), "n": ((("n",), 0.04),), "end": ((("end",), 0.04), (("end", "of"), 0.04))}
# Parts that need no `one` or `a` before them; a bare `third` is an order.
BARE_PARTS = {"half", "quarter"}
ORDINAL_ENDINGS = ("st", "nd", "rd", "th")
WRITTEN_DENOMINATORS = {2, 3, 4, 5, 6, 8, 10, 16}


class Number(NamedTuple):
    """Words `start` to `end` (end not included) as a number."""

    start: int
    end: int
    value: float
    digits: str
    """As heard, where it was heard in digits (`1.060`), else empty."""
    cost: float
    shape: str
    """How it was told: literal, cardinal, pair, spelled, decimal, mixed, fraction, part, count, ordinal,
    article or homophone."""


NEEDS_UNIT = frozenset({"part", "article", "homophone"})
"""Shapes that are numbers only before a unit: `half a`, `an`, and `to` for two."""


def read_numbers(words: Sequence[str]) -> list[Number]:
    """Every number in `words`, those cut out of a longer one at a cost."""
    return weigh_cuts(all_numbers(words))


def all_numbers(words: Sequence[str]) -> list[Number]:
    """The same before cuts are weighed, for a reader that has longer things to weigh them against."""
    return [number for start in range(len(words)) for number in _numbers_at(words, start)]


def _numbers_at(words: Sequence[str], start: int) -> Iterator[Number]:
    word = words[start]
    if word in MINUS:
        if start + 1 < len(words):
            for number in _amounts_at(words, start + 1):
                yield number._replace(start=start, value=-number.value)
    elif word in STARTERS or word[0].isdecimal():
        yield from _amounts_at(words, start)


def _amounts_at(words: Sequence[str], start: int) -> Iterator[Number]:
    """Numbers from 0 up, in every form."""
    wholes = list(_wholes_at(words, start))
    yield from wholes
    for whole in wholes:
        yield from _mixed(words, whole)
        yield from _dozens(words, whole)
    decimals = list(_decimals_at(words, start))
    yield from decimals
    for number in (*wholes, *decimals):
        yield from _decimal_part(words, number)
    yield from _fraction_numbers(words, start)
    yield from _odd_words(words, start)


# --- Whole numbers

def _wholes_at(words: Sequence[str], start: int) -> Iterator[Number]:
    for end, value in cardinals(words, start):
        yield Number(start, end, float(value), "", 0.0, "cardinal")
    figures = literal(words, start)
    if figures:
        yield Number(start, start + 1, float(figures), figures, 0.0, "literal")
    pairs = list(_pairs(words, start))
    for end, digits in pairs:
        yield Number(start, end, float(digits), digits, 0.0, "pair")
    end = _spelled_end(words, start)
    digits = "".join(_digit(words[at]) for at in range(start, end))
    if len(digits) > 2 and (end, digits) not in pairs:
        yield Number(start, end, float(digits), digits, SPELLED_COST, "spelled")


def cardinals(words: Sequence[str], start: int) -> Iterator[tuple[int, int]]:
    """End and value of the cardinals told in words, or in words and digits (`5 thousand 2 hundred`)."""
    if word_at(words, start) in ZERO_NAMES:
        yield start + 1, 0
    yield from _scaled(words, start, ("million", "thousand"))


def _scaled(words: Sequence[str], start: int, scales: tuple[str, ...]) -> Iterator[tuple[int, int]]:
    """Cardinals that open with the first of `scales` or a smaller one."""
    if not scales:
        yield from _hundreds(words, start)
        return
    scale, *smaller = scales
    rest = tuple(smaller)
    yield from _scaled(words, start, rest)
    for end, many in _multipliers(words, start, scale):
        value = many * SCALES[scale]
        yield end, value
        yield from ((e, value + v) for e, v in _scaled_tail(words, end, rest) if v < SCALES[scale])


def _scaled_tail(words: Sequence[str], at: int, scales: tuple[str, ...]) -> Iterator[tuple[int, int]]:
    at += word_at(words, at) == "and"
    yield from _scaled(words, at, scales)
    yield from _short_literal(words, at)


def _hundreds(words: Sequence[str], start: int) -> Iterator[tuple[int, int]]:
    yield from _below_hundred(words, start)
    for end, many in _multipliers(words, start, "hundred"):
        yield end, many * 100
        tail = end + (word_at(words, end) == "and")
        for e, v in (*_below_hundred(words, tail), *_short_literal(words, tail)):
            if v < 100:
                yield e, many * 100 + v


def _multipliers(words: Sequence[str], start: int, scale: str) -> Iterator[tuple[int, int]]:
    """End, after the word `scale`, and how many of it: `a hundred`, `twelve hundred`, `2 hundred`."""
    word = word_at(words, start)
    if word == scale:
        yield start + 1, 1
    if word in ARTICLES and word_at(words, start + 1) == scale:
        yield start + 2, 1
    smaller = _below_hundred if scale == "hundred" else _hundreds
    for end, many in (*smaller(words, start), *_short_literal(words, start)):
        if word_at(words, end) == scale:
            yield end + 1, many


def _below_hundred(words: Sequence[str], start: int) -> Iterator[tuple[int, int]]:
    word = word_at(words, start)
    if word in ONES:
        yield start + 1, ONES[word]
    elif word in TEENS:
        yield start + 1, TEENS[word]
    elif word in TENS:
        yield start + 1, TENS[word]
        if word_at(words, start + 1) in ONES:
            yield start + 2, TENS[word] + ONES[words[start + 1]]


def _short_literal(words: Sequence[str], start: int) -> Iterator[tuple[int, int]]:
    word = word_at(words, start)
    if word.isdecimal() and len(word) <= 3 and word[0] != "0":
        yield start + 1, int(word)


def literal(words: Sequence[str], start: int) -> str:
    """A number in figures, with or without a decimal point; empty if the word is none."""
    word = words[start]
    figures = word[0].isdecimal() and word.replace(".", "", 1).isdecimal()
    return word if figures and len(word) <= MOST_FIGURES else ""


def _pairs(words: Sequence[str], start: int) -> Iterator[tuple[int, str]]:
    """Numbers told as two short ones: `one fifty two`, `ten sixty`, `one oh five`."""
    for end, head in _below_hundred(words, start):
        if head <= 20:
            yield from ((e, f"{head}{tail}") for e, tail in _two_digits(words, end))


def _two_digits(words: Sequence[str], start: int) -> Iterator[tuple[int, str]]:
    """`sixty four` as 64, `oh five` as 05."""
    if word_at(words, start) in ZEROS and word_at(words, start + 1) in ONES:
        yield start + 2, f"0{ONES[words[start + 1]]}"
    yield from ((end, str(value)) for end, value in _below_hundred(words, start) if value >= 10)


def _digit(word: str) -> str:
    """A digit told as a word, or nothing."""
    return "0" if word in ZEROS else str(ONES[word]) if word in ONES else ""


def _spelled_end(words: Sequence[str], start: int) -> int:
    end = start
    while _digit(word_at(words, end)):
        end += 1
    return end


# --- Decimals

def _decimals_at(words: Sequence[str], start: int) -> Iterator[Number]:
    """`two point five`, `point seven five`, `1 point oh 5`, `five point twenty five`."""
    for end, head in _decimal_heads(words, start):
        for tail_end, tail in _decimal_tails(words, end):
            digits = f"{head}.{tail}"
            cost = 0.0 if len(tail) <= USUAL_DECIMALS else ODD_FORM_COST
            yield Number(start, tail_end, float(digits), digits, cost, "decimal")


def _decimal_part(words: Sequence[str], number: Number) -> Iterator[Number]:
    """`point seven five of an`, `0.75 of a`."""
    of_a = word_at(words, number.end) == "of" and word_at(words, number.end + 1) in ARTICLES
    if of_a and 0 < number.value < 1:
        yield number._replace(end=number.end + 2, digits="", shape="part")


def _decimal_heads(words: Sequence[str], start: int) -> Iterator[tuple[int, str]]:
    """What stands before the decimals, the point included."""
    if words[start] in POINTS:
        yield start + 1, "0"
    heads = [(end, str(value)) for end, value in cardinals(words, start)]
    if words[start] in ZEROS:
        heads.append((start + 1, "0"))
    figures = literal(words, start)
    if figures and "." not in figures:
        heads.append((start + 1, figures))
    for end, head in (*heads, *_pairs(words, start)):
        if word_at(words, end) in POINTS:
            yield end + 1, head


def _decimal_tails(words: Sequence[str], start: int, sofar: str = "") -> Iterator[tuple[int, str]]:
    """Up to four decimals, told one by one or by tens."""
    for end, digits in more_digits(words, start):
        if len(sofar) + len(digits) <= MOST_DECIMALS:
            yield end, sofar + digits
            yield from _decimal_tails(words, end, sofar + digits)


def digit_groups(words: Sequence[str], start: int) -> Iterator[tuple[int, str]]:
    """The next digits in a row of digits: `oh`, `five`, `sixty four`, `060`."""
    word = word_at(words, start)
    if word.isdecimal():
        yield start + 1, word
    elif word in ZEROS:
        yield start + 1, "0"
    else:
        yield from ((end, str(value)) for end, value in _below_hundred(words, start))


def more_digits(words: Sequence[str], start: int) -> Iterator[tuple[int, str]]:
    """The same behind other digits; the `four` of `sixty four` does not stand by itself."""
    if not (words[start - 1] in TENS and word_at(words, start) in ONES):
        yield from digit_groups(words, start)


# --- Fractions

def fractions_at(words: Sequence[str], start: int) -> Iterator[tuple[int, float]]:
    """End and value of the proper fractions that open here: `half`, `a quarter`, `2 thirds`, `a 1/2`."""
    word = word_at(words, start)
    if word in BARE_PARTS:
        yield start + 1, 1 / PARTS[word]
    elif word in ARTICLES:
        if word_at(words, start + 1) in PARTS:
            yield start + 2, 1 / PARTS[words[start + 1]]
        yield from _written_fraction(word_at(words, start + 1), start + 1)
    elif "/" not in word:
        count = ONES.get(word) or whole_number(word) or 0
        part = PARTS.get(word_at(words, start + 1), 0)
        if 0 < count < part:
            yield start + 2, count / part
    else:
        yield from _written_fraction(word, start)


def _written_fraction(word: str, start: int) -> Iterator[tuple[int, float]]:
    over, _, under = word.partition("/")
    count, part = whole_number(over), whole_number(under)
    if count and part in WRITTEN_DENOMINATORS and count < part:
        yield start + 1, count / part


def _fraction_numbers(words: Sequence[str], start: int) -> Iterator[Number]:
    for end, value in fractions_at(words, start):
        yield Number(start, end, value, "", 0.0, "fraction")
        of_a = end + (word_at(words, end) == "of")
        if word_at(words, of_a) in ARTICLES:
            yield Number(start, of_a + 1, value, "", 0.0, "part")
        dozen = end + (word_at(words, end) in ARTICLES)
        if word_at(words, dozen) == "dozen":
            yield Number(start, dozen + 1, 12 * value, "", 0.0, "count")


def _mixed(words: Sequence[str], whole: Number) -> Iterator[Number]:
    """A whole number and a fraction: `two and a half`, `1 1/2`."""
    if "." in whole.digits:
        return
    yield from _and_fraction(words, whole)
    for end, part in _written_fraction(word_at(words, whole.end), whole.end):
        yield Number(whole.start, end, whole.value + part, "", whole.cost, "mixed")


def _and_fraction(words: Sequence[str], whole: Number) -> Iterator[Number]:
    for join, cost in JOINS.get(word_at(words, whole.end), ()):
        at = whole.end + len(join)
        if tuple(words[whole.end:at]) == join:
            for end, part in fractions_at(words, at):
                bare = UNSAID_ARTICLE_COST if whole.value >= 10 and words[at] == "half" else 0.0
                yield Number(whole.start, end, whole.value + part, "", max(cost, whole.cost, bare), "mixed")


# --- Single words

def _dozens(words: Sequence[str], whole: Number) -> Iterator[Number]:
    if word_at(words, whole.end) == "dozen":
        yield Number(whole.start, whole.end + 1, 12 * whole.value, "", whole.cost, "count")


def _odd_words(words: Sequence[str], start: int) -> Iterator[Number]:
    """Articles, couples, dozens, ordinals and words that only sound like numbers."""
    word = words[start]
    end = start + 1
    if word in ARTICLES:
        yield Number(start, end, 1.0, "", 0.0, "article")
        start_of_group, word = start, word_at(words, end)
        end += 1
    else:
        start_of_group = start
    if word == "couple":
        yield Number(start_of_group, end, 2.0, "", 0.0, "count")
        if word_at(words, end) == "of":
            yield Number(start_of_group, end + 1, 2.0, "", 0.0, "part")
    elif word == "dozen":
        yield Number(start_of_group, end, 12.0, "", 0.0, "count")
    elif word in HOMOPHONES and start_of_group == start:
        homophone = Number(start, end, float(HOMOPHONES[word]), "", HOMOPHONE_COST, "homophone")
        yield homophone
        yield from _and_fraction(words, homophone._replace(cost=HOMOPHONE_AND_PART_COST))
    elif word.endswith(ORDINAL_ENDINGS) and (order := whole_number(word[:-2])) is not None:
        yield Number(start, end, float(order), word[:-2], ORDINAL_COST, "ordinal")


STARTERS = frozenset({*ONES, *TEENS, *TENS, *ZEROS, *SCALES, *ARTICLES, *POINTS, *BARE_PARTS, *HOMOPHONES,
                       "hundred", "couple", "dozen"})
