"""Says numbers the usual ways, for the tests of their readers.

How Americans say numbers, gravities and times on a brew day is common practice, no source; the forms written
with figures are those a dictation program was seen to make of the same words.
"""

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


def gravity_forms(points: int) -> dict[str, str]:
    """Every usual way to say or type a gravity of so many thousandths (1060), by the name of the form."""
    decimal = f"{points / 1000:.3f}"
    forms = {
        "decimal": decimal,
        "without point": str(points),
        "one by one": one_by_one(decimal),
        "one by one, zero": one_by_one(decimal, "zero"),
        "one by one, o": one_by_one(decimal, "o"),
        "letter o": decimal[:2] + decimal[2:].replace("0", "o"),
        "digits without point": one_by_one(str(points)),
        "figures apart": f"{decimal[:3]} {decimal[3]} {decimal[4]}",
        "cardinal": cardinal(points),
        "cardinal with and": cardinal(points, " and "),
    }
    if points % 100:
        forms["pair"] = pair(points)
    if points % 10 == 0:
        forms["two decimals"] = decimal[:-1]
        forms["two decimals, oh"] = f"{decimal[:-1]} oh"
        forms["two decimals, glued o"] = f"{decimal[:-1]}o"
        forms["two decimals, said"] = one_by_one(decimal[:-1])
    if points % 100 == 0 and points > 1000:
        forms["one decimal"] = decimal[:3]
    return forms | (_below_water(decimal) if points < 1000 else _above_water(points, decimal))


def _below_water(decimal: str) -> dict[str, str]:
    return {
        "bare point": decimal[1:],
        "bare point, said": one_by_one(decimal[1:]),
        "oh point": f"oh {one_by_one(decimal[1:])}",
        "point and tens": f"point nine {below_hundred(int(decimal[3:]))}",
    }


def _above_water(points: int, decimal: str) -> dict[str, str]:
    text = str(points)
    forms = {
        "hyphen": f"{text[:2]}-{text[2:]}",
        "two and two": f"{text[:2]}.{text[2:]}",
        "two apart": f"{text[:2]} {text[2:]}",
        "one apart": f"1 {text[1:]}",
        "one apart, said": f"one {text[1:]}",
        "all apart": " ".join(text),
        "comma": f"1,{text[1:]}",
        "figures, point said": f"1 point {text[1:]}",
    }
    tail = points % 100
    if tail > 9:
        forms["pair, hyphens"] = pair(points).replace(" ", "-")
        forms["point and tens"] = f"one point {one_by_one(text[1])} {below_hundred(tail)}"
        forms["digits and tens"] = f"one {one_by_one(text[1])} {below_hundred(tail)}"
    return forms
