"""Yeast: how many cells, how many of them live, what a starter takes and how warm to pitch."""

from __future__ import annotations

from assistant.engine import wort
from assistant.engine.errors import Impossible, NoSuch, show
from assistant.engine.inputs import Given, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, in_manner_of, unit_of

RATES = {"ale": 0.75, "hybrid": 1.0, "lager": 1.5}
"""Million cells per milliliter and degree Plato; from memory."""

PACK = 1e11
"""Cells in a pack of liquid yeast when fresh; from memory."""

LOSS_PER_MONTH = 0.2
"""Share of the living cells of liquid yeast, kept cold, that a month of thirty days costs; from memory."""

STARTER_GRAVITY = Q(1.037, "sg")

DRY_EXTRACT = 0.96
"""Share of dry malt extract that is extract, the rest moisture; from memory, give or take 0.01."""


def pitch_rate(volume: Quantity, gravity: Quantity, kind: str = "ale") -> Result:
    """How many living cells a batch wants.

    volume: 0.01 to 2000 liter. gravity: 1.002 to 1.2 sg. kind: ale, hybrid or lager. Gives `cells`. Raises
    NoSuch for another kind. Source white-zainasheff, from memory.
    """
    if kind not in RATES:
        raise NoSuch("kind of fermentation", kind, RATES)
    rate = RATES[kind]
    inputs = [read("volume", volume), read("gravity", gravity, "wort")]

    def cells(liters: float, sg: float) -> tuple[float]:
        return (rate * 1e6 * liters * 1000 * wort.plato_of(sg),)

    number, = cells(*(given.number for given in inputs))
    notes = [f"That is {number / PACK:.1f} fresh packs of a hundred billion."]
    if kind == "ale":
        notes.append("Some count 1 million for ales in place of 0.75.")
    return work(
        cells, inputs, {"cells": Output("cells")},
        formula=f"cells = {rate:g} million x milliliters x degrees Plato",
        sources=("white-zainasheff",), notes=notes,
    )


def viability(age: Quantity) -> Result:
    """How much of a pack of liquid yeast, kept cold, still lives.

    age: since it was made, 0 to 730 day. Gives `viability` in percent. From memory: a fifth lost a month; a
    producer's figure after thirty days is 75 to 85 percent.
    """
    return work(
        lambda days: (100 * (1 - LOSS_PER_MONTH) ** (days / 30),), [read("age", age)],
        {"viability": Output("percent", relative_error=0.06)},
        formula="viability = 0.8^(days / 30)", sources=("from-memory", "yeast-producer"),
        notes=["Dry yeast keeps far better: its date decides."],
    )


def starter(volume: Quantity, gravity: Quantity = STARTER_GRAVITY) -> Result:
    """How much dry malt extract makes a starter of that volume.

    volume: of the finished starter wort, 0.01 to 2000 liter. gravity: 1.002 to 1.2 sg, 1.037 when left out.
    Gives `extract` in ounce or gram. Source asbc-table; moisture from-memory.
    """
    inputs = [read("volume", volume), wanted("gravity", gravity, "wort"), Given(DRY_EXTRACT, 0.01, "solids of dry extract")]
    return work(
        lambda liters, sg, share: (liters * wort.extract_per_liter(sg) / share,), inputs,
        {"extract": Output("kilogram", in_manner_of(volume, "ounce", "gram"))},
        formula="dry extract = liters x extract per liter at that gravity / 0.96",
        sources=("asbc-table", "from-memory"),
        notes=["Made up to the volume; added to that volume of water it comes out larger and weaker."],
    )


def pitch_temperature(low: Quantity, high: Quantity) -> Result:
    """How warm the wort should be when the yeast goes in.

    low, high: the yeast's own range, 0 to 100 degC. Gives `temperature`, the middle of the range, in the unit
    of low; its spread reaches to the ends. Raises Impossible when low is above high. Common-practice.
    """
    ends = [wanted("low end", low, "temperature"), wanted("high end", high, "temperature")]
    cool, warm = (given.number for given in ends)
    if cool > warm:
        raise Impossible(f"A range from {show(low)} to {show(high)}", "it begins above its end",
                         "turn it around")
    return work(
        lambda cool, warm: ((cool + warm) / 2,), ends,
        {"temperature": Output("degC", unit_of(low), error=(warm - cool) / 2)},
        formula="the middle of the yeast's own range", sources=("common-practice",),
        notes=["The lower half is the safer: fermentation warms the wort by itself."],
    )
