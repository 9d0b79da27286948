"""Which sum is meant where a sentence gives little more than the facts: told by what only one sum has.

`2.5 at 205 and 3 gallons at 38` is two waters; `2.75 at ten ninety, fill it up to five` a wort and two volumes. A number
without its unit is what is still missing and what it can be. Where two sums have the same facts, both are offered.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import Any, NamedTuple

from lark import Token, Tree

from grammar.plausibility import in_base

FACTS = "ask_facts"
"""The act of the grammar that stands for whichever sum the facts are those of."""

ASKED_COST, UNASKED_COST, STATED_COST = 0.06, 0.25, 0.45
"""For a sum told by its facts with a loose question, by the facts alone, and more where they are stated as facts are."""

BARE_COST = 0.03
"""More for each number without its unit."""

LEAST_FACTS = 2
"""Numbers at least that make a sum told by its facts."""

BESIDE_COST = 0.75
"""More beside another command: a sentence of facts has words left over for neither."""

RIVALED_COST = 0.75
"""More where two sums have these facts, so that it is asked which."""

NO_SUM_COST = 3.0
"""For facts that are those of no sum: dearer than any reading."""

_LOOSE_ORDER, _MISPLACED = 0.5, 1.0
"""How much a number speaks against being a temperature or gravity without `at` before it, or a volume with one."""


class Limit(NamedTuple):
    """What a number without its unit may be in that kind, and the unit it then has."""

    lowest: float
    highest: float
    unit: str


_BARE = {
    "VOLUME": Limit(0.2, 30, "volume"),
    "TEMPERATURE": Limit(30, 215, "degrees"),
    "GRAVITY": Limit(8, 150, "points"),
    "CARBONATION": Limit(1, 4.5, "volume_co2"),
}
_BARE_METRIC = {**_BARE, "VOLUME": Limit(1, 100, "volume"), "TEMPERATURE": Limit(0, 100, "degrees")}

_METRIC = frozenset("liter milliliter kilogram gram degC plato".split())

_ALONG_WITH = {"HOP": "hops", "GRAIN": "grain", "EXTRACT": "extract", "SUGAR": "sugar"}
"""The hint that a name is."""


@dataclass(frozen=True)
class Pattern:
    """The facts of one sum."""

    act: str
    needs: Mapping[str, tuple[str, ...]]
    """For each kind of fact the slots it fills, the greatest first; all of them must be told."""
    may: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """The same for those that may be told as well."""
    hints: tuple[str, ...] = ()
    """Of each group of words (`a|b`) one must be said."""
    bars: str = ""
    """Words that mean another sum."""
    unit: str = ""
    """A kind of which one at least must be told with its unit."""
    pairs: tuple[str, str] = ("", "")
    """Two kinds that are told together twice, such as volume and temperature of two waters."""


_WATERS = {"VOLUME": ("hot_volume", "cold_volume"), "TEMPERATURE": ("hot_temperature", "cold_temperature")}
_WORTS = {"VOLUME": ("volume", "volume_2"), "GRAVITY": ("gravity", "gravity_2")}
_OTHER_WORT = "hops calories yeast prime sugar strong starter extract true"

PATTERNS = (
    Pattern("ask_mix_temperature", _WATERS, pairs=("TEMPERATURE", "VOLUME"), bars="grain prime sugar"),
    Pattern("ask_mix_temperature", {**_WATERS, "MASS": ("ice",)}, hints=("ice",), pairs=("TEMPERATURE", "VOLUME")),
    Pattern("ask_mix_temperature", {"VOLUME": ("hot_volume",), "TEMPERATURE": ("hot_temperature",), "MASS": ("ice",)},
            hints=("ice",)),
    Pattern("ask_ice", {"VOLUME": ("volume",), "TEMPERATURE": ("temperature", "target")}, hints=("ice",)),
    Pattern("ask_blend", _WORTS, pairs=("GRAVITY", "VOLUME"), bars=_OTHER_WORT, unit="GRAVITY"),
    Pattern("ask_topup_gravity", {"GRAVITY": ("gravity",), "VOLUME": ("final_volume", "volume")}, bars=_OTHER_WORT,
            unit="GRAVITY"),
    Pattern("ask_dilution", {"GRAVITY": ("gravity", "target"), "VOLUME": ("volume",)}, bars=_OTHER_WORT,
            unit="GRAVITY"),
    Pattern("ask_topup_gravity", {"GRAVITY": ("gravity",), "VOLUME": ("volume",)}, hints=("asked", "topped|water"),
            bars=f"{_OTHER_WORT} want grain", unit="GRAVITY"),
    Pattern("ask_dilution", {"GRAVITY": ("gravity",), "VOLUME": ("volume",)}, hints=("asked", "topped|water"),
            bars=f"{_OTHER_WORT} want grain", unit="GRAVITY"),
    Pattern("ask_abv", {"GRAVITY": ("original", "final")}, hints=("strong",), bars="calories yeast water"),
    Pattern("ask_abv", {"GRAVITY": ("original", "final")}, hints=("asked",), bars="calories yeast water want topped true",
            unit="GRAVITY"),
    Pattern("ask_attenuation", {"GRAVITY": ("original", "final")}, hints=("asked",),
            bars="calories yeast water want strong topped true", unit="GRAVITY"),
    Pattern("ask_calories", {"GRAVITY": ("original", "final")}, {"VOLUME": ("volume",)}, hints=("calories",)),
    Pattern("ask_keg_pressure", {"CARBONATION": ("carbonation",), "TEMPERATURE": ("temperature",)}, hints=("keg",),
            bars="sugar"),
    Pattern("ask_priming", {"CARBONATION": ("carbonation",)}, {"VOLUME": ("volume",), "TEMPERATURE": ("temperature",),
            "SUGAR": ("ingredient",), "EXTRACT": ("ingredient",)}, hints=("prime|sugar|extract",), bars="keg"),
    Pattern("ask_priming", {"CARBONATION": ("carbonation",), "VOLUME": ("volume",)}, {"TEMPERATURE": ("temperature",)},
            bars="keg sugar prime", unit="CARBONATION"),
    Pattern("ask_keg_pressure", {"CARBONATION": ("carbonation",), "TEMPERATURE": ("temperature",)}, hints=("asked",),
            bars="prime sugar keg", unit="CARBONATION"),
    Pattern("ask_priming", {"CARBONATION": ("carbonation",), "TEMPERATURE": ("temperature",)}, hints=("asked",),
            bars="prime sugar keg", unit="CARBONATION"),
    Pattern("ask_gravity_from", {"MASS": ("amount",), "EXTRACT": ("ingredient",), "VOLUME": ("volume",)},
            hints=("asked",), bars="prime starter hops want"),
    Pattern("ask_gravity_from", {"MASS": ("amount",), "SUGAR": ("ingredient",), "VOLUME": ("volume",)},
            hints=("asked",), bars="prime starter hops want"),
    Pattern("ask_extract_for", {"GRAVITY": ("target",), "EXTRACT": ("ingredient",), "VOLUME": ("volume",)},
            hints=("asked|want",), bars="starter yeast prime"),
    Pattern("ask_strike", {"MASS": ("grain",), "VOLUME": ("water",), "TEMPERATURE": ("target",)},
            hints=("grain", "want|asked")),
    Pattern("ask_strike", {"MASS": ("grain",), "VOLUME": ("water",), "TEMPERATURE": ("target", "grain_temperature")},
            hints=("grain", "want|asked")),
    Pattern("ask_steep", {"MASS": ("grain",), "VOLUME": ("water",), "TEMPERATURE": ("temperature",)},
            hints=("grain", "asked"), bars="want"),
    Pattern("ask_steep", {"MASS": ("grain",), "VOLUME": ("water",), "TEMPERATURE": ("temperature", "grain_temperature")},
            hints=("grain", "asked"), bars="want"),
    Pattern("ask_bitterness", {"MASS": ("amount",), "PERCENT": ("alpha",)},
            {"HOP": ("ingredient",), "DURATION": ("boil_left",), "VOLUME": ("volume",), "GRAVITY": ("gravity",)},
            hints=("hops", "asked")),
    Pattern("ask_hops_for", {"IBU": ("target",), "PERCENT": ("alpha",)},
            {"HOP": ("ingredient",), "DURATION": ("boil_left",), "VOLUME": ("volume",), "GRAVITY": ("gravity",)}),
    Pattern("ask_heat_time", {"POWER": ("power",), "TEMPERATURE": ("to", "from"), "VOLUME": ("volume",)}),
    Pattern("ask_heat_time", {"POWER": ("power",), "TEMPERATURE": ("to",)}, {"VOLUME": ("volume",)}, hints=("asked|want",)),
    Pattern("ask_pitch_rate", {"VOLUME": ("volume",), "GRAVITY": ("gravity",)}, hints=("yeast", "asked")),
)


class Fact(NamedTuple):
    """One thing told."""

    kind: str
    """Its terminal; `NUMBER` while it has no unit."""
    value: Any
    """`[number, unit]`, or a name."""
    behind_at: bool
    place: int
    """Among facts and hints, in the order they were said."""


class Meant(NamedTuple):
    """A sum that the facts may be those of."""

    act: str
    slots: dict[str, Any]
    cost: float


def meant_by(tree: Tree[Token]) -> list[Meant]:
    """The sums that a sentence of facts may mean, the likelier ones only; none where the facts are those of no sum."""
    facts, hints = _facts(tree)
    asked = ASKED_COST if "asked" in hints else UNASKED_COST
    bare = sum(fact.kind == "NUMBER" for fact in facts)
    found: list[Meant] = []
    for pattern in PATTERNS:
        if not hints.isdisjoint(pattern.bars.split()):
            continue
        if all(not hints.isdisjoint(group.split("|")) for group in pattern.hints):
            slots = _filled(pattern, facts)
            if slots:
                # Words that belong to one sum alone settle it; "asked" belongs to any.
                spoken_for = any(group not in ("asked", "asked|want") for group in pattern.hints)
                found.append(Meant(pattern.act, slots, 0.0 if spoken_for else 1.0))
    best = min((meant.cost for meant in found), default=0.0)
    likely = list({meant.act: meant for meant in found if meant.cost == best}.values())
    cost = asked + BARE_COST * bare + (RIVALED_COST if len(likely) > 1 else 0.0)
    return [meant._replace(cost=cost) for meant in likely]


def is_asked(tree: Tree[Token]) -> bool:
    """Whether there is a question among the facts, however loose."""
    return "asked" in _facts(tree)[1]


def in_metric(tree: Tree[Token]) -> bool:
    return any(map(_is_metric, _facts(tree)[0]))


def _facts(tree: Tree[Token]) -> tuple[list[Fact], set[str]]:
    facts: list[Fact] = []
    hints: set[str] = set()
    behind_at = False
    for place, node in enumerate(tree.children):
        assert isinstance(node, Tree)
        name, _, hint = str(node.data).partition("__")
        if name == "hint":
            hints.add(hint)
            behind_at = hint == "at" or (behind_at and hint == "warm")
            continue
        token = node.children[0]
        assert isinstance(token, Token)
        hints |= {_ALONG_WITH[token.type]} if token.type in _ALONG_WITH else set()
        value = token.value if isinstance(token.value, str) else _quantity(token.value)
        facts.append(Fact(token.type, value, behind_at, place))
        behind_at = False
    return facts, hints


def _quantity(value: Any) -> list[Any]:
    return [float(value[0]), value[1]] if isinstance(value, tuple) else [float(value), ""]


def _filled(pattern: Pattern, facts: Sequence[Fact]) -> dict[str, Any] | None:
    """The slots of a sum with the facts in them; None where they are not its facts, or could be so in two ways."""
    ways: list[tuple[float, list[Fact]]] = sorted(_with_units(pattern, facts), key=lambda way: way[0])
    if not ways or (len(ways) > 1 and ways[0][0] == ways[1][0]):
        return None
    told = ways[0][1]
    slots: dict[str, Any] = {}
    if pattern.pairs[0]:
        slots |= _paired(pattern, told)
    for kind, places in {**pattern.needs, **pattern.may}.items():
        if kind not in pattern.pairs:
            values = [fact.value for fact in told if fact.kind == kind]
            if len(values) > 1:
                values = sorted(values, key=in_base, reverse=True)
            slots |= dict(zip(places, values, strict=False))
    return slots


def _with_units(pattern: Pattern, facts: Sequence[Fact]) -> Iterator[tuple[float, list[Fact]]]:
    """Every way to give the bare numbers units so that the facts are those of the sum, and what speaks against it."""
    most = {kind: len(places) for kind, places in (*pattern.may.items(), *pattern.needs.items())}
    told = Counter(fact.kind for fact in facts if fact.kind != "NUMBER")
    if any(count > most.get(kind, 0) for kind, count in told.items()):
        return
    if pattern.unit and pattern.unit not in told:
        return
    limits = _BARE_METRIC if any(_is_metric(fact) for fact in facts) else _BARE
    bare = [fact for fact in facts if fact.kind == "NUMBER"]
    open_to = [
        [kind for kind in most if kind in limits and limits[kind].lowest <= fact.value[0] <= limits[kind].highest]
        for fact in bare
    ]
    for kinds in product(*open_to):
        counts = told + Counter(kinds)
        if any(counts[kind] > count for kind, count in most.items()) or any(
            counts[kind] < len(places) for kind, places in pattern.needs.items()
        ):
            continue
        against = sum(_speaks_against(kind, fact) for kind, fact in zip(kinds, bare, strict=True))
        given = dict(zip((fact.place for fact in bare), kinds, strict=True))
        yield against, [
            fact._replace(kind=given[fact.place], value=_measured(fact.value[0], limits[given[fact.place]].unit))
            if fact.place in given else fact
            for fact in facts
        ]


def _is_metric(fact: Fact) -> bool:
    return isinstance(fact.value, list) and fact.value[1] in _METRIC


def _speaks_against(kind: str, fact: Fact) -> float:
    if kind == "VOLUME":
        return _MISPLACED if fact.behind_at else 0.0
    return 0.0 if fact.behind_at else _LOOSE_ORDER


def _measured(number: float, unit: str) -> list[Any]:
    return [round(1 + number / 1000, 4), "sg"] if unit == "points" else [number, unit]


def _paired(pattern: Pattern, facts: Sequence[Fact]) -> dict[str, Any]:
    """The slots of two things each told by two facts: first `3 gallons at 38`, then those next to each other."""
    leading, other = pattern.pairs
    told = [fact for fact in facts if fact.kind in pattern.pairs]
    pairs: list[tuple[Fact, Fact]] = []
    for joined in (True, False):
        at = 0
        while at + 1 < len(told):
            one, two = told[at], told[at + 1]
            if one.kind != two.kind and (two.behind_at and two.kind == leading or not joined):
                pairs.append((one, two) if one.kind == leading else (two, one))
                del told[at : at + 2]
            else:
                at += 1
    pairs.sort(key=lambda pair: in_base(pair[0].value), reverse=True)
    if pattern.act == "ask_blend":
        pairs.sort(key=lambda pair: min(fact.place for fact in pair))
    slots: dict[str, Any] = {}
    for place, (first, second) in enumerate(pairs):
        slots[pattern.needs[leading][place]] = first.value
        slots[pattern.needs[other][place]] = second.value
    return slots
