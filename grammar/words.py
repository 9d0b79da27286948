"""Turns a sentence as typed or dictated into plain lower-case words.

What is glued together is parted (`68F`, `two-liter`, `boil's`), what is spelled out is joined (`I B U`), and
only marks that carry meaning are kept. Next: `numbers.py`.
"""

import re
import unicodedata

__all__ = ["ARTICLES", "split"]

PAUSE = ","
QUESTION = "?"

ARTICLES = frozenset("the a an my our your".split())
"""Words that neither help nor hinder, wherever they stand."""

# Marks to mend before NFKC, which would turn ½ into 1⁄2 without a gap (1½ -> 11/2) and º into the letter o.
_MARKS = str.maketrans({
    "’": "'", "‘": "'", "ʼ": "'", "´": "'", "`": "'",
    "º": "°", "˚": "°",
    "−": "-", "‐": "-", "‑": "-", "–": "-", "—": " , ", "―": " , ",
})

# Marks that are words; every mark not named here or in _TOKEN is dropped.
_SPOKEN_MARKS = str.maketrans({
    "°": " degrees ", "%": " percent ", "@": " at ", "&": " and ", "=": " equals ",
    ";": " , ", "$": " ", "£": " ", "€": " ", "~": " ",
})

_TOKEN = re.compile(
    r"""
      (?<![\w.])-(?=\.?[0-9])                            # a minus sign before a number
    | [0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?(?![0-9])     # 5,280
    | [0-9]+(?:[-/:][0-9]+)+(?!\.?[0-9])                 # 10-60, 1/2, 10:20, 2026-10-18
    | (?:[0-9]*\.)?[0-9]+[^\W\d_][^\W_]*                # 68f, 1.06o, 1h30m
    | [0-9]*\.?[0-9]+(?:\.[0-9]+)*(?:-[0-9.]*[0-9])?     # 1.060, .75, 1.050-1.060
    | [^\W_]+(?:'[^\W_]+)*                               # wort, boil's, o'clock
    | [,:/?]
    """,
    re.VERBOSE,
)
_DOTTED = re.compile(r"\b((?:[a-z]\.){1,3}[a-z])\b\.?")
_POWER = re.compile(r"\b([0-9]{1,6})\s*(?:\^|\*\*)\s*([0-9]{1,6})\b")
# Not between two figures: 0. 990 is a number with a gap in it.
_SENTENCE_END = re.compile(r"(?<=[^\W\d_])[.!?]+(?=\s+[^\W_])|(?<=[0-9])[.!?]+(?=\s+[^\W\d_])")
_ABBREVIATED = frozenset(
    "oz ozs lb lbs gal gals qt qts pt pts tsp tbsp fl g kg ml l ltr min mins hr hrs sec secs deg temp approx est orig avg "
    "vs no st dr mr mrs ms etc eg ie sp vol vols wt pkg amt max min btu".split()
)
"""Words whose point does not end a sentence."""
_DASH = re.compile(r"(?<=\s)-+(?=\s)")
_MIXED_FRACTION = re.compile(r"(?<![0-9/-])([0-9]+)-(?=[0-9]+/[0-9])")
# A letter o that was meant as a nought, in 1.o6o and o.998.
_INNER_OH = re.compile(r"(?<=[0-9.])o+(?=[0-9])|(?<=[0-9]\.)o+\b|\bo(?=\.[0-9])")
_RUNS = re.compile(r"[0-9]+(?:\.[0-9]+)*|o(?=o*$)|[^\W\d_]+")
# Not parted: 68th is an order, not an amount; p is Plato only behind a number Plato can have, not in 1080p.
_WHOLE = re.compile(r"[0-9]+(?:st|nd|rd|th)|(?![0-9]{1,2}(?:\.[0-9]+)?p)[0-9.]+p")

_ENDINGS = {"s": "is", "m": "am", "re": "are", "ve": "have", "ll": "will", "d": "would", "t": "not"}
_CONTRACTIONS = {
    **{f"{stem}n't": f"{stem} not" for stem in (
        "are could did does do had has have is might must need should was were would".split())},
    **{f"{stem}nt": f"{stem} not" for stem in (
        "did does do is was have has had should could would are were must need".split())},
    **{f"{stem}ll": f"{stem} will" for stem in "what that it you they there who".split()},
    **{f"{stem}'d": f"{stem} did" for stem in "how where what why when".split()},
    **{f"{stem}s": f"{stem} is" for stem in "what that there where how when he she who".split()},
    "can't": "can not", "cant": "can not", "cannot": "can not", "won't": "will not", "wont": "will not",
    "shan't": "shall not", "ain't": "is not", "let's": "let us", "lets": "let us", "im": "i am",
    "gonna": "going to", "wanna": "want to", "gotta": "have to", "lemme": "let me", "gimme": "give me", "y'all": "you",
    "its": "it is", "ive": "i have", "youre": "you are", "youve": "you have", "weve": "we have", "theyre": "they are",
}

_STANDING = frozenset(
    "pot wort water bag beer boil kettle bucket flame lid yeast airlock temp temperature gravity steep burner mash sample "
    "fermenter batch keg extract syrup gas hose chiller".split()
)
"""Things of which there is one: `pots at 205` is said of the pot."""

_DOES = frozenset({"boils", "steeps"})
"""What a thing named before it does: `the pot boils off`."""

_HOW_IT_STANDS = frozenset("at in on off out up down now too still about around ready done boiling sitting reading".split())
"""Words that follow `is`, and hardly a plural."""

_SPELLED = {tuple(word): word for word in (
    "ibu ibus abv abw dme lme psi srm ebc og fg sg am pm ph co2 btu btus".split())}
_SPELLED |= {("i", "b", "us"): "ibu", ("c", "oh", "2"): "co2", ("c", "o", "two"): "co2", ("c", "oh", "two"): "co2", ("co", "2"): "co2",
             ("co", "two"): "co2"}
_SPELLED_STARTS = {letters[0] for letters in _SPELLED}
_LONGEST_SPELLED = max(map(len, _SPELLED))


def split(text: str) -> list[str]:
    """The words of `text`; a pause is the word `,` and a question mark at the very end is the word `?`."""
    words: list[str] = []
    for token in _TOKEN.findall(_clean(text)):
        words += _open(token)
    asked = bool(words) and words[-1] == QUESTION
    words = _join_spelled(_with_has(_with_is([word for word in words if word != QUESTION])))
    return words + [QUESTION] if asked else words


def _power(match: re.Match[str]) -> str:
    """`10^9` written out, so that it can be refused as what it is; a monster stays a word nobody knows."""
    base, exponent = int(match[1]), int(match[2])
    return str(base**exponent) if base <= 1000 and exponent <= 30 else f"{match[1]}x{match[2]}"


def _clean(text: str) -> str:
    text = _POWER.sub(_power, text)
    text = "".join(_vulgar(char) for char in text.translate(_MARKS))
    text = unicodedata.normalize("NFKC", text).lower().replace("\u2044", "/")
    text = "".join(" " if char.isspace() else char for char in text
                   if char.isspace() or unicodedata.category(char) not in ("Cc", "Cf"))
    text = _INNER_OH.sub(lambda ohs: "0" * len(ohs[0]), text.translate(_SPOKEN_MARKS))
    text = _SENTENCE_END.sub(_sentence_end, text)
    text = _DOTTED.sub(lambda dotted: dotted.group(1).replace(".", "") + " ", text)
    return _MIXED_FRACTION.sub(r"\1 ", _DASH.sub(PAUSE, text))


def _sentence_end(mark: re.Match[str]) -> str:
    """A pause where one sentence ends within what was said; nothing behind an abbreviation."""
    last = re.split(r"[^\w]", mark.string[: mark.start()])[-1]
    return " " if last in _ABBREVIATED or len(last) == 1 and last.isalpha() else PAUSE.join("  ")


def _vulgar(char: str) -> str:
    """One character, a fraction in one sign (½) written out with a gap before it."""
    if "VULGAR FRACTION" in unicodedata.name(char, ""):
        return f" {unicodedata.normalize('NFKC', char)} "
    return char


def _open(token: str) -> list[str]:
    """The words one token holds."""
    if token == "-":
        return ["minus"]
    if token == ":":
        return [PAUSE]
    if token[0] == "." or token[0].isdecimal():
        return _number_token(token)
    if "'" in token or token in _CONTRACTIONS:
        return _uncontract(token)
    return [token]


def _number_token(token: str) -> list[str]:
    token = token.replace(",", "")
    if not any(char.isalpha() for char in token):
        return ["0" + token if token[0] == "." else token]
    if _WHOLE.fullmatch(token):
        return [token]
    return ["oh" if run == "o" else run for run in _RUNS.findall(token)]


def _uncontract(token: str) -> list[str]:
    if token in _CONTRACTIONS:
        return _CONTRACTIONS[token].split()
    if token == "o'clock":
        return [token]
    stem, _, ending = token.rpartition("'")
    if ending in _ENDINGS:
        return [stem.replace("'", ""), _ENDINGS[ending]]
    return [token.replace("'", "")]


def _with_is(words: list[str]) -> list[str]:
    """`pot's` without its mark is `pots`: parted where what follows says how the thing stands."""
    found: list[str] = []
    for before, word, following in zip(["", *words], words, [*words[1:], ""], strict=False):
        stands = following in _HOW_IT_STANDS or following.isdecimal()
        stands = stands and not (word in _DOES and before in _STANDING | {"it"})
        found += [word[:-1], "is"] if stands and word[-1:] == "s" and word[:-1] in _STANDING else [word]
    return found


def _with_has(words: list[str]) -> list[str]:
    """`it's got` is opened as `it is got` and `how long's it got` as `how long is it got`; both mean `has got`."""
    return [
        "has" if word == "is" and "got" in (following := words[at + 1 : at + 3])[:1 + ("it" in following)] else word
        for at, word in enumerate(words)
    ]


def _join_spelled(words: list[str]) -> list[str]:
    """Spelled letters become the abbreviation they spell, the longest that fits."""
    joined: list[str] = []
    at = 0
    while at < len(words):
        length = _spelled_length(words, at)
        joined.append(_SPELLED[tuple(words[at:at + length])] if length else words[at])
        at += length or 1
    return joined


def _spelled_length(words: list[str], at: int) -> int:
    if words[at] not in _SPELLED_STARTS:
        return 0
    return next((n for n in range(_LONGEST_SPELLED, 1, -1) if tuple(words[at:at + n]) in _SPELLED), 0)
