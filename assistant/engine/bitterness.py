"""Bitterness: how much of a hop's alpha acid the boil turns and the finished beer holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, tanh

from assistant.engine.errors import Impossible, NoSuch
from assistant.engine.inputs import Given, read
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, in_manner_of

MODEL_ERROR = 0.2
"""No better than this share; source tinseth."""

FORMS = {"whole": 1.0, "pellet": 1.1}
"""Yield against whole hops, for which the model was made; the tenth is common practice, no source."""


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


ORDINARY_WORT = Q(1.05, "sg")

_UTILIZATION = "utilization = 1.65 x 0.000125^(gravity - 1) x (1 - e^(-0.04 x minutes)) / 4.15"


def share_used(sg: float, minutes: float) -> float:
    """Share of the alpha acids that end up in the beer; source tinseth."""
    return float(1.65 * 0.000125 ** (sg - 1) * (1 - exp(-0.04 * max(minutes, 0.0))) / 4.15)


OUNCE, GALLON = 0.028349523125, 3.785411784
"""Kilograms and liters; exact."""


def _rager(kilograms: float, alpha: float, minutes: float, sg: float, liters: float) -> float:
    """The older rule's IBU, with its own round factor; sources rager, and for utilization from-memory."""
    percent = 18.11 + 13.86 * tanh((minutes - 31.32) / 18.27)
    strong = max(0.0, sg - 1.05) / 0.2
    return kilograms / OUNCE * percent * alpha * 0.7462 / (liters / GALLON * (1 + strong))


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
    ]


def bitterness(additions: Sequence[HopAddition], volume: Quantity) -> Result:
    """The bitterness of the finished beer.

    additions: masses from 0, alpha 0.5 to 30 percent, boil_left 0 to 300 minute, each with the gravity in the
    kettle then. volume: the finished one, top-up included, 0.01 to 2000 liter: so a small strong boil counts
    as it should. Gives `bitterness` in ibu. Raises Impossible without an addition, NoSuch for an unknown
    form. Source tinseth, give or take a fifth; pellets common-practice.
    """
    if not additions:
        raise Impossible("Bitterness without hops", "no addition is named", "say the hops and their minutes")
    yields = [_form(addition.form) for addition in additions]
    inputs = [read("volume", volume), *(given for addition in additions for given in _let_in(addition))]

    def ibu(liters: float, *rest: float) -> tuple[float]:
        rows = zip(rest[::4], rest[1::4], rest[2::4], rest[3::4], yields, strict=True)
        return (sum(k * 1e6 * a / 100 * share_used(g, t) * y / liters for k, a, t, g, y in rows),)

    numbers = [given.number for given in inputs]
    rows = zip(numbers[1::4], numbers[2::4], numbers[3::4], numbers[4::4], strict=True)
    old = sum(_rager(k, a, t, g, numbers[0]) for k, a, t, g in rows)
    notes = [f"The older rule of Rager gives {old:.0f}."]
    if "whole" in (addition.form for addition in additions):
        notes.append("Counted as whole hops; pellets give about a tenth more.")
    if any(given.number < 1 for given in inputs[3::4]):
        notes.append("Hops at flameout are counted as giving none; left in hot wort they give some.")
    return work(
        ibu, inputs, {"bitterness": Output("ibu", relative_error=MODEL_ERROR)},
        formula="IBU = sum of ounces x alpha x utilization x 7490 / gallons; " + _UTILIZATION,
        sources=("tinseth", "rager"), notes=notes,
    )


def hops_for(
    target: Quantity, alpha: Quantity, boil_left: Quantity, volume: Quantity,
    gravity: Quantity = ORDINARY_WORT, form: str = "whole",
) -> Result:
    """How much of a hop gives a bitterness.

    target: 0.1 to 500 ibu. alpha: 0.5 to 30 percent. boil_left: 1 to 300 minute. volume: finished, 0.01 to
    2000 liter. gravity: of the boiling wort, 0.98 to 1.2 sg. Gives `amount` in ounce or gram. Raises
    OutOfRange at flameout, where the model gives none, NoSuch for an unknown form. Source tinseth.
    """
    more = _form(form)
    inputs = [
        read("target", target, "bitterness"), read("alpha", alpha), read("boil_left", boil_left, "boil time"),
        read("volume", volume), read("gravity", gravity),
    ]
    return work(
        lambda ibu, a, t, liters, sg: (ibu * liters / (1e6 * a / 100 * share_used(sg, t) * more),), inputs,
        {"amount": Output("kilogram", in_manner_of(volume, "ounce", "gram"), relative_error=MODEL_ERROR)},
        formula="ounces = IBU x gallons / (alpha x utilization x 7490); " + _UTILIZATION,
        sources=("tinseth",),
        notes=["Counted as whole hops; of pellets a tenth less does." if form == "whole"
               else "Counted as pellets; of whole hops it takes a tenth more."],
    )
