"""Which ingredient fits a purpose (`a good hop just for bitterness`, `which yeast for a wheat beer`), by the entries' own words and fields."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from math import log
from typing import Any

import knowledge
from assistant.finding import TALES
from grammar.command import Command
from grammar.words import split

KINDS = {
    "hop": "hop", "hops": "hop", "yeast": "yeast", "yeasts": "yeast", "sugar": "sugar", "sugars": "sugar", "malt": "grain", "malts": "grain",
    "grain": "grain", "grains": "grain", "extract": "extract", "extracts": "extract", "spice": "spice", "spices": "spice", "fruit": "fruit",
    "fruits": "fruit",
}
"""What a kind of ingredient is called."""

CHOOSING = frozenset("which good best better recommend suggest recommendation suggestion".split())
"""Words that ask for one of a kind, wherever they stand before it or after it."""

NEVER = frozenset("no not never without much many added put pitched used swap substitute instead".split())
"""What is said with one of these asks for something else."""

REACH = 4
"""How many words lie between such a word and the kind at most."""

EMPTY = frozenset(
    """a an the my our your i we you it is are be was were do does did to for of in on at and or with that which what some any if me would will
    should could can go goes use used using uses need want get give gives giving make makes making just only mostly mainly really good best
    better recommend suggest recommendation suggestion kind kinds type types sort one ones there have has by like likes , ? please so um uh okay hey
    beer beers brew batch stuff thing more lot bit very part little something from fits work works pick choose buy add put
    use color colour taste tastes tasting smell smells smelling flavor flavors aroma aromas nice pretty kinda this when then but""".split()
)
"""Words that tell no purpose."""

BITTER, SMELL = frozenset(["bitter", "bittering", "bitterness"]), frozenset("aroma smell smells smelling flavor taste nose finishing late dry".split())
"""Purposes a hop names in its `use`."""

PLAIN_BITTER = ("clean", "plain", "even", "firm", "soft")
"""What a hop for bitterness alone is said to be."""

NAMES, FIRST, AFTER = 2.0, 1.0, 0.6
"""How much a word of the purpose counts in the names of an entry, as the first thing it says, and later there."""

NAMED_BY_ORIGIN = frozenset(["hop", "grain"])
"""Kinds whose other names tell where they come from, not what they do: red wheat makes no red beer."""

TOLD = 3
"""So many are named."""

HALF = 0.5
"""The least share of the words of the purpose that an entry must speak to."""


@dataclass(frozen=True)
class Fitting:
    """An entry and how well it fits."""

    entry: Any
    fit: float


def asked_for(sentence: str) -> Command | None:
    """The command that names what fits, where the sentence asks for one of a kind for a purpose that entries speak to."""
    words = split(sentence)
    plain = f" {' '.join(words)} "
    at = next((at for at, word in enumerate(words) if word in KINDS and _chosen(words, at)), None)
    if at is None or any(f" {tale} " in plain for tale in TALES):
        return None
    if NEVER.intersection(words):
        return None
    kind = KINDS[words[at]]
    purpose = tuple(dict.fromkeys(word for word in words if word not in EMPTY and word not in KINDS))
    smell = kind == "hop" and not purpose and bool(SMELL.intersection(words))
    purpose = ("aroma",) if smell else purpose
    if not purpose or not fitting(kind, purpose):
        return None
    return Command("about", {"kind": kind, "purpose": list(purpose)}, 0.8, sentence)


def _chosen(words: Sequence[str], at: int) -> bool:
    """Whether one of the kind named there is asked for: `which hop`, `what kind of yeast`, `a hop you would recommend`."""
    near = words[max(0, at - REACH) : at]
    what = words[at - 1 : at] == ["what"] or any(" ".join(near[-3:]).startswith(f"what {sort} of") for sort in ("kind", "type", "sort"))
    that = words[at + 1 : at + 2] in (["that"], ["with"]) and words[at - 1 : at] in (["a"], ["any"], ["some"])
    opens = words[at + 1 : at + 2] == ["for"] and all(word in EMPTY for word in words[:at]) and at <= 1
    return what or that or opens or bool(CHOOSING.intersection(near) or {"recommend", "suggest"}.intersection(words))


def fitting(kind: str, purpose: Iterable[str]) -> list[Fitting]:
    """The entries of a kind that speak to the purpose, the best first."""
    wanted = list(purpose)
    seen = _seen(kind)
    found = []
    for entry in knowledge.ingredients().values():
        if entry.kind != kind or entry.generic:
            continue
        said = [(word, much) for word in wanted if (much := _speaks(entry, word))]
        if len(said) < HALF * len(wanted):
            continue
        rare = sum(much * log(1 + len(seen) / (1 + sum(count for other, count in seen.items() if _same(word, other)))) for word, much in said)
        found.append(Fitting(entry, rare + _beside(entry, wanted)))
    return sorted(found, key=lambda each: (-each.fit, each.entry.id))[:TOLD]


def _speaks(entry: Any, word: str) -> float:
    """How much an entry has to say to a word of the purpose."""
    use = getattr(entry, "use", "")
    if use and word in BITTER:
        return FIRST if use == "bittering" else 0.0
    if use and word in SMELL:
        return FIRST if use == "aroma" else 0.0
    called = (entry.id,) if entry.kind in NAMED_BY_ORIGIN else entry.phrases
    names = any(_same(word, part) for phrase in called for part in phrase.split())
    said = [part for part in split(entry.say) if part != ","]
    told = [_same(word, part) and said[max(0, at - 1)] != "without" for at, part in enumerate(said)]
    place = told.index(True) if True in told else -1
    return max(NAMES * names, 0.0 if place < 0 else FIRST if place < 2 else AFTER)


def _beside(entry: Any, wanted: Sequence[str]) -> float:
    """What settles ties: a hop for bitterness is plain and strong, one for its smell is not there to bitter."""
    use = getattr(entry, "use", "")
    if not use:
        return 0.0
    if BITTER.intersection(wanted):
        strength = (entry.alpha.low + entry.alpha.high) / 100 if entry.alpha else 0.0
        return strength + any(split(entry.say)[at : at + 1] == [word] for word in PLAIN_BITTER for at in range(4))
    return 0.2 if use != "bittering" else 0.0


@cache
def _seen(kind: str) -> Counter[str]:
    """In how many entries of a kind each word is."""
    return Counter(
        word for entry in knowledge.ingredients().values() if entry.kind == kind for word in {*split(entry.say), *" ".join(entry.phrases).split()}
    )


def _same(word: str, other: str) -> bool:
    """Whether two words are one but for their endings: piney and pine, flowers and flowery."""
    short, long = sorted((word, other), key=len)
    return len(short) > 2 and (long.startswith(short) or len(short) > 4 and long.startswith(short[:-1])) and len(long) - len(short) <= 3


