"""Says numbers the usual ways, for the tests of their readers.

How Americans say numbers, gravities and times on a brew day is common practice, no source; the forms written
with figures are those a dictation program was seen to make of the same words. Times are in `spoken_times.py`.
"""

from collections.abc import Iterator

ONES = "zero one two three four five six seven eight nine".split()
TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
TENS = "- - twenty thirty forty fifty sixty seventy eighty ninety".split()


def below_hundred(number: int) -> str:
    """`sixty four`."""
    if number < 20:
        return (ONES + TEENS)[number]
    return TENS[number // 10] + (f" {ONES[number % 10]}" if number % 10 else "")


def cardinal(number: int, joint: str = " ") -> str:
    """`one thousand two hundred sixty four`; `joint` stands between hundreds and the rest."""
    if number < 100:
        return below_hundred(number)
    size, name = (1000, "thousand") if number >= 1000 else (100, "hundred")
    head = f"{cardinal(number // size, joint)} {name}"
    rest = number % size
    if not rest:
        return head
    return head + (joint if rest < 100 else " ") + cardinal(rest, joint)


def one_by_one(digits: str, zero: str = "oh") -> str:
    """`one point oh six oh` for 1.060."""
    return " ".join("point" if d == "." else zero if d == "0" else ONES[int(d)] for d in digits)


def pair(number: int) -> str:
    """`ten sixty`, `ten oh five`, `one fifty two`; not for even hundreds."""
    head, tail = divmod(number, 100)
    return f"{below_hundred(head)} {below_hundred(tail) if tail > 9 else 'oh ' + ONES[tail]}"


def whole_forms(number: int) -> Iterator[str]:
    """Every usual way to say or type a whole number below a thousand: `152`, `one fifty two`."""
    yield str(number)
    yield from dict.fromkeys((cardinal(number), cardinal(number, " and ")))
    if 100 <= number < 200:
        for joint in (" ", " and "):
            rest = f"{joint}{below_hundred(number % 100)}" if number % 100 else ""
            yield f"a hundred{rest}"
            yield f"1 hundred{rest}"
    if number > 100 and number % 100:
        yield pair(number)
        yield pair(number).replace(" ", "-")


# --- Fractions and decimals

SIGNS = {"1/2": "½", "1/3": "⅓", "2/3": "⅔", "1/4": "¼", "3/4": "¾"}
"""The proper halves, thirds and quarters, as typed with keys and in one sign."""

PART_NAMES = {"2": "half", "3": "third", "4": "quarter"}


def value_of(fraction: str) -> float:
    over, under = fraction.split("/")
    return int(over) / int(under)


def part_forms(fraction: str) -> list[str]:
    """`a half` and `one half` for 1/2; `two thirds` and `2 thirds` for 2/3."""
    over, under = fraction.split("/")
    name = PART_NAMES[under]
    return [f"a {name}", f"one {name}"] if over == "1" else [f"{ONES[int(over)]} {name}s", f"{over} {name}s"]


def mixed_forms(whole: int, fraction: str) -> Iterator[str]:
    """Every usual way to say or type a whole number and a fraction: `two and a half`, `2½`, `2-1/2`."""
    sign = SIGNS[fraction]
    for head in (cardinal(whole), str(whole)):
        yield from (f"{head} and {part}" for part in part_forms(fraction))
        yield from (f"{head} {fraction}", f"{head} {sign}", f"{head} and {fraction}")
        yield f"{head} and {part_forms(fraction)[0]}".replace(" ", "-")
        if fraction[0] == "1":
            yield f"{head} and a {fraction}"
        if fraction == "1/2" and whole < 10:
            yield f"{head} and half"
    yield from (f"{whole}{sign}", f"{whole}-{fraction}")


def decimal_forms(typed: str) -> Iterator[str]:
    """Every usual way to say or type a number with decimals: `2.05`, `two point oh five`, `2 point 05`."""
    whole, decimals = typed.split(".")
    yield typed
    for head in (cardinal(int(whole)), whole):
        yield from (f"{head} {one_by_one('.' + decimals, zero)}" for zero in ("oh", "zero"))
        yield f"{head} point {decimals}"
        yield f"{head} point {' '.join(decimals)}"
        if len(decimals) == 2 and decimals[0] != "0":
            yield f"{head} point {below_hundred(int(decimals))}"
    if whole == "0":
        yield from (f".{decimals}", one_by_one("." + decimals), f"oh {one_by_one('.' + decimals)}")


# --- Gravities

def gravity_forms(points: int) -> dict[str, str]:
    """Every usual way to say or type a gravity of so many thousandths (1060), by the name of the form."""
    decimal, text = f"{points / 1000:.3f}", str(points)
    whole, decimals = decimal.split(".")
    head = ONES[int(whole)]
    forms = {
        "decimal": decimal,
        "without point": text,
        "letter o": f"{whole}.{decimals.replace('0', 'o')}",
        "figures apart": f"{decimal[:3]} {decimal[3]} {decimal[4]}",
        "last two apart": f"{decimal[:3]} {decimal[3:]}",
        "last apart": f"{decimal[:4]} {decimal[4]}",
        "point behind a gap": f"{whole}. {decimals}",
        "all apart": " ".join(text),
        "all apart, hyphens": "-".join(text),
        "one apart": f"{text[0]} {text[1:]}",
        "one apart, said": f"{ONES[int(text[0])]} {text[1:]}",
        "one apart, hyphen": f"{text[0]}-{text[1:]}",
        "figures, point said": f"{whole} point {decimals}",
        "point said": f"{head} point {decimals}",
        "point said, all apart": f"{whole} point {' '.join(decimals)}",
        "dot said": one_by_one(decimal).replace("point", "dot"),
        "cardinal": cardinal(points),
        "cardinal with and": cardinal(points, " and "),
    }
    for zero in ("oh", "zero", "o"):
        forms |= {f"{form}, {zero}": said for form, said in _told_by_digits(decimal, zero).items()}
    if points % 100:
        forms["pair"] = pair(points)
    if points % 10 == 0:
        forms["two decimals"] = decimal[:-1]
        forms["two decimals, glued o"] = f"{decimal[:-1]}o"
        forms["two decimals, point said"] = f"{head} point {decimals[:-1]}"
    if points % 100 == 0 and points > 1000:
        forms["one decimal"] = decimal[:3]
    return forms | (_below_water(decimal) if points < 1000 else _above_water(points))


def _told_by_digits(decimal: str, zero: str) -> dict[str, str]:
    """Digit by digit, the last two perhaps together, with one name for the nought."""
    digits, tail = decimal.replace(".", "").removeprefix("0"), int(decimal[3:])
    forms = {
        "one by one": one_by_one(decimal, zero),
        "digits without point": one_by_one(digits, zero),
        "figures, noughts said": " ".join(zero if digit == "0" else digit for digit in digits),
        "decimals said": f"{decimal[0]} point {one_by_one(decimal[2:], zero)}",
    }
    if tail > 9:
        forms["point and tens"] = f"{one_by_one(decimal[:3], zero)} {below_hundred(tail)}"
        forms["digits and tens"] = f"{one_by_one(digits[:-2], zero)} {below_hundred(tail)}"
    if decimal[-1] == "0":
        forms["two decimals, nought said"] = f"{decimal[:-1]} {zero}"
        forms["two decimals, said"] = one_by_one(decimal[:-1], zero)
    return forms


def _below_water(decimal: str) -> dict[str, str]:
    return {
        "bare point": decimal[1:],
        "bare point, said": one_by_one(decimal[1:]),
        "bare point and figures": f"point {decimal[2:]}",
        "bare point and tens": f"point nine {below_hundred(int(decimal[3:]))}",
        "two apart": f"{decimal[2:4]} {decimal[4]}",
    }


def _above_water(points: int) -> dict[str, str]:
    text = str(points)
    head, tail = below_hundred(points // 100), points % 100
    forms = {
        "hyphen": f"{text[:2]}-{text[2:]}",
        "two and two": f"{text[:2]}.{text[2:]}",
        "two apart": f"{text[:2]} {text[2:]}",
        "comma": f"1,{text[1:]}",
        "a thousand": cardinal(points).replace("one", "a", 1),
        "a thousand and": cardinal(points, " and ").replace("one", "a", 1),
        "hundreds": f"{head} hundred {below_hundred(tail)}" if tail else f"{head} hundred",
    }
    if tail:
        forms["pair, second in figures"] = f"{head} {text[2:]}"
    if tail > 9:
        forms["pair, first in figures"] = f"{text[:2]} {below_hundred(tail)}"
        forms["pair, hyphens"] = pair(points).replace(" ", "-")
    return forms
