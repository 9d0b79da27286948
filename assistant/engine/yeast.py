"""Yeast: how many cells, how many of them live, what a starter takes and how warm to pitch."""

from __future__ import annotations

from collections.abc import Callable

from assistant.engine import wort
from assistant.engine.errors import Impossible, NoSuch, show
from assistant.engine.inputs import Given, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.roots import solve
from assistant.engine.units import Q, Quantity, in_manner_of, unit_of

RATES = {"ale": 0.75, "hybrid": 1.0, "lager": 1.5}
"""Million cells per milliliter and degree Plato; from memory."""

PACK = 1e11
"""Cells in a pack of liquid yeast when fresh; from memory."""

LOSS_PER_MONTH = 0.2
"""Share of the living cells of liquid yeast, kept cold, that a month of thirty days costs; from memory."""

DRY_CELLS = 13e9
"""Living cells in a gram of dry yeast as sold: the middle of 6 to 20 billion, from memory."""

DRY_SCATTER = 0.5
"""Share by which that may be off."""

FRESH = Q(0, "day")

STARTER_GRAVITY = Q(1.037, "sg")

DRY_EXTRACT = 0.96
"""Share of dry malt extract that is extract, the rest moisture; from memory, give or take 0.01."""


def pitch_rate(volume: Quantity, gravity: Quantity, kind: str = "ale", age: Quantity = FRESH) -> Result:
    """How many living cells a batch wants, and what holds them.

    volume: 0.01 to 2000 liter. gravity: 1.002 to 1.2 sg. kind: ale, hybrid or lager. age: of liquid yeast, 0 to
    730 day. Gives `cells`, `packs` of liquid yeast of that age and `dry_yeast` in gram. Raises NoSuch for
    another kind. Sources white-zainasheff, from-memory.
    """
    if kind not in RATES:
        raise NoSuch("kind of fermentation", kind, RATES)
    rate = RATES[kind]
    inputs = [read("volume", volume), read("gravity", gravity, "wort"), read("age", age)]

    def cells(liters: float, sg: float, days: float) -> tuple[float, float, float]:
        number = rate * 1e6 * liters * 1000 * wort.plato_of(sg)
        return number, number / (PACK * alive(days)), number / DRY_CELLS

    notes = [f"A fresh pack of liquid yeast is taken for {PACK / 1e9:.0f} billion cells, a gram of dry yeast for "
             f"{DRY_CELLS / 1e9:.0f} billion; the label decides."]
    if kind == "ale":
        notes.append("Some count 1 million for ales in place of 0.75.")
    return work(
        cells, inputs,
        {"cells": Output("cells"), "packs": Output("pack"), "dry_yeast": Output("gram", relative_error=DRY_SCATTER)},
        formula=f"cells = {rate:g} million x milliliters x degrees Plato; packs = cells / (100 billion x share alive)",
        sources=("white-zainasheff", "from-memory"), notes=notes,
    )


def alive(days: float) -> float:
    """Share of the cells of liquid yeast, kept cold, that live after so many days; from memory."""
    return float((1 - LOSS_PER_MONTH) ** (days / 30))


def viability(age: Quantity) -> Result:
    """How much of a pack of liquid yeast, kept cold, still lives.

    age: since it was made, 0 to 730 day. Gives `viability` in percent. From memory: a fifth lost a month; a
    producer's figure after thirty days is 75 to 85 percent.
    """
    return work(
        lambda days: (100 * alive(days),), [read("age", age)],
        {"viability": Output("percent", relative_error=0.06)},
        formula="viability = 0.8^(days / 30)", sources=("from-memory", "yeast-producer"),
        notes=["Dry yeast keeps far better: its date decides."],
    )


STILL_GROWTH, STILL_POWER = 1.52, -0.432
"""A still starter of a liter makes 100 billion cells 1.52 times as many; the power is fitted to the printed 152,
181, 205 and 276 billion in 1, 1.5, 2 and 4 liters; source white-zainasheff."""

STIRRED = 1.4e9
"""New cells a gram of extract makes on a stir plate while there are no more than that; source troester."""

STIRRED_LINE = (2.33e9, 0.67)
"""Beyond that: the first less so many times the cells a gram, down to none; source troester."""

GROWTH_SCATTER = 0.2
"""Share by which starters part from either rule; source white-zainasheff."""


def _still(cells: float, liters: float) -> float:
    return cells * float(max(1.0, STILL_GROWTH * (cells / PACK / liters) ** STILL_POWER))


def _stirred(cells: float, grams: float) -> float:
    crowd = cells / grams
    most, fall = STIRRED_LINE
    grown = STIRRED if crowd <= STIRRED else max(0.0, most - fall * crowd)
    return cells + grown * grams


def starter(volume: Quantity, gravity: Quantity = STARTER_GRAVITY, age: Quantity = FRESH) -> Result:
    """How much dry malt extract makes a starter of that volume, and what a pack grows to in it.

    volume: of the finished starter wort, 0.01 to 2000 liter. gravity: 1.002 to 1.2 sg, 1.037 when left out. age:
    of the pack, 0 to 730 day. Gives `extract` in ounce or gram, `still_cells` and `stirred_cells`. Sources
    asbc-table, white-zainasheff, troester; moisture from-memory.
    """
    inputs = [
        read("volume", volume), wanted("gravity", gravity, "wort"), Given(DRY_EXTRACT, 0.01, "solids of dry extract"), read("age", age),
    ]

    def made(liters: float, sg: float, share: float, days: float) -> tuple[float, float, float]:
        extract, cells = liters * wort.extract_per_liter(sg), PACK * alive(days)
        return extract / share, _still(cells, liters), _stirred(cells, extract * 1000)

    growth = Output("cells", relative_error=GROWTH_SCATTER)
    return work(
        made, inputs,
        {"extract": Output("kilogram", in_manner_of(volume, "ounce", "gram")), "still_cells": growth,
         "stirred_cells": growth},
        formula="dry extract = liters x extract per liter at that gravity / 0.96; still: cells x 1.52 x (100 billion "
        "a liter)^-0.432; stirred: 1.4 billion more for each gram of extract while there are few",
        sources=("asbc-table", "white-zainasheff", "troester", "from-memory"),
        notes=["Made up to the volume; added to that volume of water it comes out larger and weaker.",
               "From one pack of a hundred billion cells when fresh."],
    )


SMALLEST, LARGEST = 0.25, 20.0
"""Liters between which a starter is worth making."""


def starter_size(cells: Quantity, age: Quantity = FRESH, gravity: Quantity = STARTER_GRAVITY) -> Result:
    """How big a starter one pack wants to become so many cells.

    cells: wanted. age: of the pack, 0 to 730 day. gravity: of the starter, 1.002 to 1.2 sg. Gives `still` and
    `stirred`, volumes in liter; none is 0. Raises Impossible where a single starter does not reach.
    """
    need, days = wanted("cells", cells).number, read("age", age)
    extract = wort.extract_per_liter(wanted("gravity", gravity, "wort").number) * 1000

    def size(grown: Callable[[float, float], float], days: float) -> float:
        start = PACK * alive(days)
        if start >= need:
            return 0.0
        if grown(start, SMALLEST) >= need:
            return SMALLEST
        return solve(lambda liters: grown(start, liters) - need, SMALLEST, LARGEST, 1e-7)

    def sizes(days: float) -> tuple[float, float]:
        return size(_still, days), size(lambda start, liters: _stirred(start, liters * extract), days)

    most = PACK * alive(days.number + days.half_width)
    if _still(most, LARGEST) < need:
        raise Impossible(f"Growing one pack to {need / 1e9:.0f} billion", f"{LARGEST:g} liters do not get there",
                         "pitch more packs, or make a starter of the starter")
    volume = Output("liter", relative_error=2 * GROWTH_SCATTER)
    return work(
        sizes, [days], {"still": volume, "stirred": volume},
        formula="the volume at which a pack of that age has grown to the cells wanted",
        sources=("white-zainasheff", "troester"),
        notes=["Growth differs from yeast to yeast; a starter somewhat too large does no harm."],
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
