"""Bitterness: how much of a hop's alpha acid the boil turns and the finished beer holds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import exp, tanh

from assistant.engine import steam
from assistant.engine.errors import Impossible, NoSuch
from assistant.engine.inputs import BOILING, Given, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, in_manner_of, unit_of

MODEL_ERROR = 0.2
"""No better than this share; source tinseth."""

FORMS = {"whole": 1.0, "pellet": 1.1}
"""Yield against whole hops, for which the model was made; the tenth is common practice, no source."""


NO_TIME = Q(0, "minute")
SEA_LEVEL = BOILING
"""Where water boils under one atmosphere; the utilization curves were made near it."""

HOT_STAND = Q(200, "degF")
"""A covered pot in the first minutes after the flame: common practice, no source."""


@dataclass(frozen=True, slots=True)
class HopAddition:
    """Hops that go into the boil."""

    name: str
    amount: Quantity
    alpha: Quantity
    """Alpha acids as printed on the package, in percent."""
    boil_left: Quantity
    """From the addition to flameout."""
    gravity: Quantity
    """Of what boils in the kettle then, not of the finished wort."""
    form: str = "whole"
    boils_at: Quantity = SEA_LEVEL
    """Lower on a mountain, where the alpha acids turn more slowly."""
    stand: Quantity = NO_TIME
    """How long the wort was left hot between flameout and the chill."""
    stand_temperature: Quantity = HOT_STAND


ORDINARY_WORT = Q(1.05, "sg")

_ISOMERIZATION = 11858.0
"""Kelvin: activation energy of the turning of alpha acids over the gas constant; source malowicki."""


def pace(celsius: float) -> float:
    """How fast alpha acids turn at that temperature, against the boil at sea level; source malowicki."""
    boiling = SEA_LEVEL.magnitude + steam.ZERO_CELSIUS
    return exp(-_ISOMERIZATION * (1 / (celsius + steam.ZERO_CELSIUS) - 1 / boiling))


def worth(boil: float, boils_at: float, stand: float, stand_at: float) -> float:
    """Minutes of boil at sea level that a boil and a stand, at their temperatures, are worth."""
    return max(boil, 0.0) * pace(boils_at) + max(stand, 0.0) * pace(stand_at)


_UTILIZATION = "utilization = 1.65 x 0.000125^(gravity - 1) x (1 - e^(-0.04 x minutes)) / 4.15"


def share_used(sg: float, minutes: float) -> float:
    """Share of the alpha acids that end up in the beer; source tinseth."""
    return float(1.65 * 0.000125 ** (sg - 1) * (1 - exp(-0.04 * max(minutes, 0.0))) / 4.15)


OUNCE, GALLON = 0.028349523125, 3.785411784
"""Kilograms and liters; exact."""


def _form(name: str) -> float:
    if name not in FORMS:
        raise NoSuch("form of hops", name, FORMS)
    return FORMS[name]


def utilization(gravity: Quantity, boil_left: Quantity) -> Result:
    """The share of alpha acids used.

    gravity: of the boiling wort, 0.98 to 1.2 sg. boil_left: 0 to 300 minute. Gives `utilization` in percent.
    Source tinseth, give or take a fifth.
    """
    return work(
        lambda sg, minutes: (100 * share_used(sg, minutes),),
        [read("gravity", gravity), read("boil_left", boil_left)],
        {"utilization": Output("percent", relative_error=MODEL_ERROR)},
        formula=_UTILIZATION, sources=("tinseth",),
    )


def _let_in(addition: HopAddition) -> list[Given]:
    return [
        read(f"amount of {addition.name}", addition.amount, "mass or none"), read("alpha", addition.alpha),
        read("boil_left", addition.boil_left), read("gravity", addition.gravity),
        read("boiling point", addition.boils_at, "boiling"), read("stand", addition.stand),
        read("stand temperature", addition.stand_temperature),
    ]


_INPUTS = 7
"""Numbers that `_let_in` gives for an addition."""


def _tinseth(
    kilograms: float, alpha: float, minutes: float, sg: float, liters: float, gives: float
) -> float:
    return kilograms * 1e6 * alpha / 100 * share_used(sg, minutes) * gives / liters


def _rager(kilograms: float, alpha: float, minutes: float, sg: float, liters: float, gives: float) -> float:
    """The older rule's IBU, with its own round factor; sources rager, and for utilization from-memory."""
    percent = 18.11 + 13.86 * tanh((minutes - 31.32) / 18.27)
    strong = max(0.0, sg - 1.05) / 0.2
    return kilograms / OUNCE * percent * alpha * 0.7462 / (liters / GALLON * (1 + strong))


@dataclass(frozen=True, slots=True)
class _Method:
    name: str
    of_one: Callable[[float, float, float, float, float, float], float]
    formula: str


METHODS = {
    "tinseth": _Method(
        "Tinseth", _tinseth, "IBU = sum of ounces x alpha x utilization x 7490 / gallons; " + _UTILIZATION
    ),
    "rager": _Method(
        "Rager", _rager, "IBU = sum of ounces x utilization % x alpha % x 0.7462 / (gallons x (1 + GA)), "
        "GA = (gravity - 1.050) / 0.2 above 1.050; utilization % = 18.11 + 13.86 tanh((minutes - 31.32) / 18.27)",
    ),
}
"""The published rules, the usual one first."""


def bitterness(additions: Sequence[HopAddition], volume: Quantity, method: str = "tinseth") -> Result:
    """The bitterness of the finished beer.

    additions: masses from 0, alpha 0.5 to 30 percent, boil_left 0 to 300 minute, each with the gravity in the
    kettle then, where it boils (70 to 102 degC) and how long it stands hot after the flame (0 to 180 minute).
    volume: the finished one, top-up included, 0.01 to 2000 liter: so a small strong boil counts as it should.
    method: tinseth or rager. Gives `bitterness` in ibu. Raises Impossible without an addition, NoSuch for an
    unknown form or method. Sources tinseth and rager, give or take a fifth; malowicki for what turns below
    the boil; pellets common-practice.
    """
    if not additions:
        raise Impossible("Bitterness without hops", "no addition is named", "say the hops and their minutes")
    if method not in METHODS:
        raise NoSuch("way to reckon bitterness", method, METHODS)
    yields = [_form(addition.form) for addition in additions]
    inputs = [read("volume", volume), *(given for addition in additions for given in _let_in(addition))]

    def by(rule: _Method) -> Callable[..., tuple[float]]:
        def ibu(liters: float, *rest: float) -> tuple[float]:
            rows = (rest[at:at + _INPUTS] for at in range(0, len(rest), _INPUTS))
            return (
                sum(
                    rule.of_one(k, a, worth(t, boil, stand, hot), g, liters, gives)
                    for (k, a, t, g, boil, stand, hot), gives in zip(rows, yields, strict=True)
                ),
            )

        return ibu

    numbers = [given.number for given in inputs]
    others = {rule.name: by(rule)(*numbers)[0] for name, rule in METHODS.items() if name != method}
    return work(
        by(METHODS[method]), inputs, {"bitterness": Output("ibu", relative_error=MODEL_ERROR)},
        formula=METHODS[method].formula,
        sources=("tinseth", "rager", *(("malowicki",) if _below_the_boil(additions) else ())),
        notes=[f"The rule of {name} gives {other:.0f}." for name, other in others.items()]
        + _hop_notes(additions),
    )


def _cooler(boils_at: Quantity) -> bool:
    """By more than the weather makes."""
    return bool(boils_at.m_as("degC") < SEA_LEVEL.magnitude - 0.5)


def _below_the_boil(additions: Sequence[HopAddition]) -> bool:
    return any(each.stand.magnitude > 0 or _cooler(each.boils_at) for each in additions)


def _hop_notes(additions: Sequence[HopAddition]) -> list[str]:
    forms = {addition.form for addition in additions}
    notes = ["Counted as whole hops; pellets give about a tenth more."] if "whole" in forms else []
    if "pellet" in forms:
        notes.append("Counted as pellets: a tenth more than the formula gives whole hops.")
    if _cooler(additions[0].boils_at):
        first = additions[0]
        share = pace(first.boils_at.m_as("degC"))
        notes.append(f"Where it boils at {first.boils_at.m_as('degF'):.0f} F alpha acids turn {100 * share:.0f} % as "
                     "fast as at sea level.")
    if any(each.stand.magnitude > 0 for each in additions):
        share = pace(additions[0].stand_temperature.m_as("degC"))
        notes.append(f"A minute of the stand counts as {share:.2f} minutes of boil, for every hop in the kettle.")
    elif any(each.boil_left.m_as("minute") < 1 for each in additions):
        notes.append("Hops at flameout are counted as giving none; left in hot wort they give some.")
    return notes


def hops_for(
    target: Quantity, alpha: Quantity, boil_left: Quantity, volume: Quantity,
    gravity: Quantity = ORDINARY_WORT, form: str = "whole", boils_at: Quantity = SEA_LEVEL,
) -> Result:
    """How much of a hop gives a bitterness.

    target: 0.1 to 500 ibu. alpha: 0.5 to 30 percent. boil_left: 1 to 300 minute. volume: finished, 0.01 to
    2000 liter. gravity: of the boiling wort, 0.98 to 1.2 sg. boils_at: 70 to 102 degC. Gives `amount` in ounce
    or gram. Raises OutOfRange at flameout, where the model gives none, NoSuch for an unknown form. Sources
    tinseth, malowicki.
    """
    more = _form(form)
    inputs = [
        read("target", target, "bitterness"), read("alpha", alpha), read("boil_left", boil_left, "boil time"),
        read("volume", volume), read("gravity", gravity), read("boiling point", boils_at, "boiling"),
    ]

    def amount(ibu: float, a: float, t: float, liters: float, sg: float, hot: float) -> tuple[float]:
        return (ibu * liters / (1e6 * a / 100 * share_used(sg, worth(t, hot, 0, hot)) * more),)

    return work(
        amount, inputs,
        {"amount": Output("kilogram", in_manner_of(volume, "ounce", "gram"), relative_error=MODEL_ERROR)},
        formula="ounces = IBU x gallons / (alpha x utilization x 7490); " + _UTILIZATION,
        sources=("tinseth",),
        notes=["Counted as whole hops; of pellets a tenth less does." if form == "whole"
               else "Counted as pellets; of whole hops it takes a tenth more."],
    )


def swap_hops(amount: Quantity, alpha: Quantity, other: Quantity) -> Result:
    """How much of another hop gives the bitterness of an amount of this one, added at the same time.

    amount: a mass. alpha, other: alpha acids of the one and the other, 0.5 to 30 percent. Gives `amount` in
    the unit of the amount. Bitterness goes with the alpha acids added: source tinseth.
    """
    inputs = [read("amount", amount, "mass"), read("alpha", alpha), read("alpha of the other", other, "alpha")]
    same = wanted("amount", amount, "mass").number
    return work(
        lambda mass, one, two: (mass * one / two,), inputs, {"amount": Output("kilogram", unit_of(amount))},
        formula="amount x alpha acids of the one / alpha acids of the other", sources=("tinseth",),
        notes=[f"For smell rather than bitterness take the same weight, {Q(same, 'kilogram').to(amount.units):.3g~P}."],
    )
