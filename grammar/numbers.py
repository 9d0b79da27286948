"""Finds every number, and every gravity, that a run of words may be heard as.

`ten sixty` is the number 1060 and the gravity 1.060; `two and a half` is 2.5, and `two` only for who stops there.
What is meant is settled later, by where it stands. Words come from `words.py`. Next: `quantities.py`.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from grammar.reading import Reading, weigh_cuts

__all__ = ["Number", "Reading", "all_gravities", "all_numbers", "fractions_at", "read_gravities", "read_numbers"]

HOMOPHONE_COST = 0.3
"""For `to gallons`, which may be two gallons or a unit to convert to."""
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
ZEROS = {"oh", "o", "zero", "nought", "naught"}
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
    """How it was told: literal, cardinal, pair, spelled, decimal, mixed, fraction, part, count, ordinal, article,
    homophone. A part (`half a`), an article and a homophone (`to`) are numbers only before a unit."""


NEEDS_UNIT = frozenset({"part", "article", "homophone"})


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
    elif word in _STARTERS or word[0].isdecimal():
        yield from _amounts_at(words, start)


def _amounts_at(words: Sequence[str], start: int) -> Iterator[Number]:
    """Numbers from 0 up, in every form."""
    wholes = list(_wholes_at(words, start))
    yield from wholes
    for whole in wholes:
        yield from _mixed(words, whole)
        yield from _dozens(words, whole)
    yield from _decimals_at(words, start)
    yield from _fraction_numbers(words, start)
    yield from _odd_words(words, start)


# --- Whole numbers

def _wholes_at(words: Sequence[str], start: int) -> Iterator[Number]:
    for end, value in _cardinals(words, start):
        yield Number(start, end, float(value), "", 0.0, "cardinal")
    literal = _literal(words, start)
    if literal is not None:
        yield Number(start, start + 1, float(literal), literal, 0.0, "literal")
    pairs = list(_pairs(words, start))
    for end, digits in pairs:
        yield Number(start, end, float(digits), digits, 0.0, "pair")
    end = _spelled_end(words, start)
    digits = "".join(_digit(words[at]) for at in range(start, end))
    if len(digits) > 2 and (end, digits) not in pairs:
        yield Number(start, end, float(digits), digits, SPELLED_COST, "spelled")


def _cardinals(words: Sequence[str], start: int) -> Iterator[tuple[int, int]]:
    """End and value of the cardinals told in words, or in words and digits (`5 thousand 2 hundred`)."""
    if _at(words, start) in ZEROS:
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
    at += _at(words, at) == "and"
    yield from _scaled(words, at, scales)
    yield from _short_literal(words, at)


def _hundreds(words: Sequence[str], start: int) -> Iterator[tuple[int, int]]:
    yield from _below_hundred(words, start)
    for end, many in _multipliers(words, start, "hundred"):
        yield end, many * 100
        tail = end + (_at(words, end) == "and")
        for e, v in (*_below_hundred(words, tail), *_short_literal(words, tail)):
            if v < 100:
                yield e, many * 100 + v


def _multipliers(words: Sequence[str], start: int, scale: str) -> Iterator[tuple[int, int]]:
    """End, after the word `scale`, and the number that multiplies it: `a hundred`, `twelve hundred`, `2 hundred`."""
    word = _at(words, start)
    if word == scale:
        yield start + 1, 1
    if word in ARTICLES and _at(words, start + 1) == scale:
        yield start + 2, 1
    smaller = _below_hundred if scale == "hundred" else _hundreds
    for end, many in (*smaller(words, start), *_short_literal(words, start)):
        if _at(words, end) == scale:
            yield end + 1, many


def _below_hundred(words: Sequence[str], start: int) -> Iterator[tuple[int, int]]:
    word = _at(words, start)
    if word in ONES:
        yield start + 1, ONES[word]
    elif word in TEENS:
        yield start + 1, TEENS[word]
    elif word in TENS:
        yield start + 1, TENS[word]
        if _at(words, start + 1) in ONES:
            yield start + 2, TENS[word] + ONES[words[start + 1]]


def _short_literal(words: Sequence[str], start: int) -> Iterator[tuple[int, int]]:
    word = _at(words, start)
    if word.isdecimal() and len(word) <= 3 and word[0] != "0":
        yield start + 1, int(word)


def _literal(words: Sequence[str], start: int) -> str | None:
    """A number in digits, with or without a decimal point."""
    word = words[start]
    return word if word[0].isdecimal() and word.replace(".", "", 1).isdecimal() else None


def _pairs(words: Sequence[str], start: int) -> Iterator[tuple[int, str]]:
    """Numbers told as two short ones: `one fifty two`, `ten sixty`, `one oh five`."""
    for end, head in _below_hundred(words, start):
        if head <= 20:
            yield from ((e, f"{head}{tail}") for e, tail in _two_digits(words, end))


def _two_digits(words: Sequence[str], start: int) -> Iterator[tuple[int, str]]:
    """`sixty four` as 64, `oh five` as 05."""
    if _at(words, start) in ZEROS and _at(words, start + 1) in ONES:
        yield start + 2, f"0{ONES[words[start + 1]]}"
    yield from ((end, str(value)) for end, value in _below_hundred(words, start) if value >= 10)


def _digit(word: str) -> str:
    """A digit told as a word, or nothing."""
    return "0" if word in ZEROS else str(ONES[word]) if word in ONES else ""


def _spelled_end(words: Sequence[str], start: int) -> int:
    end = start
    while _digit(_at(words, end)):
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


def _decimal_heads(words: Sequence[str], start: int) -> Iterator[tuple[int, str]]:
    """What stands before the decimals, the point included."""
    if words[start] in POINTS:
        yield start + 1, "0"
    heads = [(end, str(value)) for end, value in _cardinals(words, start)]
    literal = _literal(words, start)
    if literal and "." not in literal:
        heads.append((start + 1, literal))
    for end, head in (*heads, *_pairs(words, start)):
        if _at(words, end) in POINTS:
            yield end + 1, head


def _decimal_tails(words: Sequence[str], start: int, sofar: str = "") -> Iterator[tuple[int, str]]:
    """Up to four decimals, told one by one or by tens."""
    for end, digits in _more_digits(words, start):
        if len(sofar) + len(digits) <= MOST_DECIMALS:
            yield end, sofar + digits
            yield from _decimal_tails(words, end, sofar + digits)


def _digit_groups(words: Sequence[str], start: int) -> Iterator[tuple[int, str]]:
    """The next digits in a row of digits: `oh`, `five`, `sixty four`, `060`."""
    word = _at(words, start)
    if word.isdecimal():
        yield start + 1, word
    elif word in ZEROS:
        yield start + 1, "0"
    else:
        yield from ((end, str(value)) for end, value in _below_hundred(words, start))


def _more_digits(words: Sequence[str], start: int) -> Iterator[tuple[int, str]]:
    """The same behind other digits; the `four` of `sixty four` does not stand by itself."""
    if not (words[start - 1] in TENS and _at(words, start) in ONES):
        yield from _digit_groups(words, start)


# --- Fractions

def fractions_at(words: Sequence[str], start: int) -> Iterator[tuple[int, float]]:
    """End and value of the proper fractions that open here: `half`, `a quarter`, `three quarters`, `2/3`."""
    word = _at(words, start)
    if word in BARE_PARTS:
        yield start + 1, 1 / PARTS[word]
    elif word in ARTICLES:
        if _at(words, start + 1) in PARTS:
            yield start + 2, 1 / PARTS[words[start + 1]]
    elif word in ONES or word.isdecimal():
        count = ONES.get(word) or int(word)
        part = PARTS.get(_at(words, start + 1), 0)
        if 0 < count < part:
            yield start + 2, count / part
    elif "/" in word[1:]:
        yield from _written_fraction(word, start)


def _written_fraction(word: str, start: int) -> Iterator[tuple[int, float]]:
    over, _, under = word.partition("/")
    if over.isdecimal() and under.isdecimal():
        if 0 < int(over) < int(under) and int(under) in WRITTEN_DENOMINATORS:
            yield start + 1, int(over) / int(under)


def _fraction_numbers(words: Sequence[str], start: int) -> Iterator[Number]:
    for end, value in fractions_at(words, start):
        yield Number(start, end, value, "", 0.0, "fraction")
        of_a = end + (_at(words, end) == "of")
        if _at(words, of_a) in ARTICLES:
            yield Number(start, of_a + 1, value, "", 0.0, "part")
        dozen = end + (_at(words, end) in ARTICLES)
        if _at(words, dozen) == "dozen":
            yield Number(start, dozen + 1, 12 * value, "", 0.0, "count")


def _mixed(words: Sequence[str], whole: Number) -> Iterator[Number]:
    """A whole number and a fraction: `two and a half`, `1 1/2`."""
    if "." in whole.digits:
        return
    yield from _and_fraction(words, whole)
    after = _at(words, whole.end)
    if "/" in after[1:]:
        for end, part in _written_fraction(after, whole.end):
            yield Number(whole.start, end, whole.value + part, "", whole.cost, "mixed")


def _and_fraction(words: Sequence[str], whole: Number) -> Iterator[Number]:
    for join, cost in JOINS.get(_at(words, whole.end), ()):
        at = whole.end + len(join)
        if tuple(words[whole.end:at]) == join:
            for end, part in fractions_at(words, at):
                yield Number(whole.start, end, whole.value + part, "", max(cost, whole.cost), "mixed")


# --- Single words

def _dozens(words: Sequence[str], whole: Number) -> Iterator[Number]:
    if _at(words, whole.end) == "dozen":
        yield Number(whole.start, whole.end + 1, 12 * whole.value, "", whole.cost, "count")


def _odd_words(words: Sequence[str], start: int) -> Iterator[Number]:
    """Articles, couples, dozens, ordinals and words that only sound like numbers."""
    word = words[start]
    end = start + 1
    if word in ARTICLES:
        yield Number(start, end, 1.0, "", 0.0, "article")
        start_of_group, word = start, _at(words, end)
        end += 1
    else:
        start_of_group = start
    if word == "couple":
        yield Number(start_of_group, end, 2.0, "", 0.0, "count")
        if _at(words, end) == "of":
            yield Number(start_of_group, end + 1, 2.0, "", 0.0, "part")
    elif word == "dozen":
        yield Number(start_of_group, end, 12.0, "", 0.0, "count")
    elif word in HOMOPHONES and start_of_group == start:
        homophone = Number(start, end, float(HOMOPHONES[word]), "", HOMOPHONE_COST, "homophone")
        yield homophone
        yield from _and_fraction(words, homophone._replace(cost=HOMOPHONE_AND_PART_COST))
    elif word.endswith(ORDINAL_ENDINGS) and word[:-2].isdecimal():
        yield Number(start, end, float(word[:-2]), word[:-2], ORDINAL_COST, "ordinal")


def _at(words: Sequence[str], at: int) -> str:
    return words[at] if at < len(words) else ""


_STARTERS = frozenset({*ONES, *TEENS, *TENS, *ZEROS, *SCALES, *ARTICLES, *POINTS, *BARE_PARTS, *HOMOPHONES,
                       "hundred", "couple", "dozen"})


# --- Gravities

GLUED_COST = 0.08
"""For digits written apart that only make a gravity together: `1 060`."""
CLOCK_FORM_COST = 0.2
"""For a gravity written down as a clock time: `10:16`."""
LOWEST, HIGHEST = 0.990, 1.170
_LONGEST_GRAVITY = 6


def read_gravities(words: Sequence[str]) -> list[Reading]:
    """Every specific gravity from 0.990 to 1.170 in `words`; a form that could be two gravities is none."""
    return weigh_cuts(all_gravities(words))


def all_gravities(words: Sequence[str]) -> list[Reading]:
    """The same before cuts are weighed."""
    found: dict[tuple[int, int, float], float] = {}
    for start in range(len(words)):
        for end, value, cost in _gravities_at(words, start):
            span = start, end, value
            found[span] = min(cost, found.get(span, cost))
    return [Reading(start, end, "GRAVITY", (value, "sg"), cost) for (start, end, value), cost in found.items()]


def _gravities_at(words: Sequence[str], start: int) -> Iterator[tuple[int, float, float]]:
    word = words[start]
    if word[0] in "019" and not word.isalpha():
        yield from _written_gravity(word, start)
    elif word not in _STARTERS:
        return
    for row in _rows(words, start, _Row(start, "", 0.0, False)):
        value, cost = _gravity(row.text, one_by_one=row.end - start == len(row.text))
        if value and (not row.apart or _exact_length(row.text)):
            yield row.end, value, max(cost, row.cost)
    for end, number in _cardinals(words, start):
        if number >= 990 and end - start > 1:
            value, cost = _gravity(str(number))
            if value:
                yield end, value, cost


class _Row(NamedTuple):
    """Digits told one after the other."""

    end: int
    text: str
    cost: float
    """What it costs to take them together."""
    apart: bool
    """Whether figures stand next to other digits, with a gap between: `1.0 6`."""


def _rows(words: Sequence[str], at: int, row: _Row) -> Iterator[_Row]:
    """Every row of digits with at most one point that goes on from `row`."""
    if row.text:
        yield row
    if len(row.text) >= _LONGEST_GRAVITY or (row.text and row.text[0] not in "019."):
        return
    word = _at(words, at)
    if word in POINTS and "." not in row.text:
        yield from _rows(words, at + 1, row._replace(end=at + 1, text=row.text + "."))
    elif not row.text and "." in word and _literal(words, at):
        yield from _rows(words, at + 1, row._replace(end=at + 1, text=word))
    for end, digits in _more_digits(words, at) if row.text else _digit_groups(words, at):
        figures = row.text[-1:] not in ("", ".") and (word.isdecimal() or words[at - 1][0].isdecimal())
        cost = GLUED_COST if figures and word not in ZEROS else row.cost
        yield from _rows(words, end, _Row(end, row.text + digits, cost, row.apart or figures))


def _exact_length(text: str) -> bool:
    """Whether digits told apart make a gravity of the usual length, and so belong together."""
    whole, point, decimals = text.partition(".")
    return len(decimals) == USUAL_DECIMALS if point else len(whole) == 4 or whole[0] == "9"


def _written_gravity(word: str, start: int) -> Iterator[tuple[int, float, float]]:
    """Gravities in one word with a mark inside: `10-60`, `1-0-6-0`, `10:60`."""
    for mark, dearer in (("-", 0.0), (":", CLOCK_FORM_COST)):
        if mark in word:
            parts = word.split(mark)
            text = "".join(parts)
            if text.isdecimal() and len(text) == 4:
                value, _ = _gravity(text)
                if value:
                    yield start + 1, value, dearer


def _gravity(text: str, one_by_one: bool = False) -> tuple[float | None, float]:
    """The gravity that a row of digits means, and how odd a form it is; None where it could be another."""
    whole, point, decimals = text.partition(".")
    cost = 0.0
    if point and whole in ("", "0", "1") and 1 <= len(decimals) <= MOST_DECIMALS:
        value = float(text)
        cost = 0.0 if 1 < len(decimals) <= USUAL_DECIMALS else ODD_FORM_COST
    elif point and (len(whole) == len(decimals) == 2 or len(whole) == 4 and len(decimals) == 1):
        value, cost = float(f"{whole[0]}.{whole[1:]}{decimals}"), ODD_FORM_COST
    elif not point and (len(whole) == 4 or len(whole) == 5 and one_by_one):
        value, cost = float(f"{whole[0]}.{whole[1:]}"), 0.0 if len(whole) == 4 else ODD_FORM_COST
    elif not point and len(whole) == 3 and whole[0] == "9":
        value = float(f"0.{whole}")
    else:
        return None, 0.0
    return (value, cost) if LOWEST <= value <= HIGHEST else (None, 0.0)
