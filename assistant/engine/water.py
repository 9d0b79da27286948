"""Brewing water: what salts add, what alkalinity is left, and what rids it of chlorine."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.engine.chemistry import WATER, molar_mass
from assistant.engine.errors import NoSuch
from assistant.engine.inputs import Given, read
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity

CALCIUM, MAGNESIUM, SODIUM = molar_mass(Ca=1), molar_mass(Mg=1), molar_mass(Na=1)
CHLORIDE, SULFATE = molar_mass(Cl=1), molar_mass(S=1, O=4)
BICARBONATE, CARBONATE = molar_mass(H=1, C=1, O=3), molar_mass(C=1, O=3)
CHALK = CALCIUM + CARBONATE


@dataclass(frozen=True, slots=True)
class Salt:
    """A brewing salt: what a mole of it weighs and gives, in grams."""

    molar: float
    gives: dict[str, float]
    teaspoon: float
    """Grams in a level teaspoon; from memory, give or take a fifth."""
    note: str = ""


SALTS = {
    "gypsum": Salt(CALCIUM + SULFATE + 2 * WATER, {"calcium": CALCIUM, "sulfate": SULFATE}, 4.0),
    "calcium chloride": Salt(
        CALCIUM + 2 * CHLORIDE + 2 * WATER, {"calcium": CALCIUM, "chloride": 2 * CHLORIDE}, 3.4,
        "Counted as the dihydrate; it draws water from the air and weakens."),
    "anhydrous calcium chloride": Salt(
        CALCIUM + 2 * CHLORIDE, {"calcium": CALCIUM, "chloride": 2 * CHLORIDE}, 3.4),
    "epsom salt": Salt(MAGNESIUM + SULFATE + 7 * WATER, {"magnesium": MAGNESIUM, "sulfate": SULFATE}, 4.5),
    "table salt": Salt(
        SODIUM + CHLORIDE, {"sodium": SODIUM, "chloride": CHLORIDE}, 6.0, "Use salt without iodine."),
    "baking soda": Salt(
        SODIUM + BICARBONATE, {"sodium": SODIUM, "bicarbonate": BICARBONATE, "alkalinity": CHALK / 2}, 4.4),
    "chalk": Salt(
        CHALK, {"calcium": CALCIUM, "carbonate": CARBONATE, "alkalinity": CHALK}, 1.8,
        "Chalk hardly dissolves in plain water; this is what it gives if all of it does."),
}
"""Stoichiometry, source periodic-table; alkalinity counts as calcium carbonate."""

TEASPOON = 4.92892159375
"""Milliliters; exact."""


def mineral(salt: str, amount: Quantity, volume: Quantity) -> Result:
    """What a salt adds to water.

    salt: a key of SALTS. amount: a mass, or a spoon measure reckoned by bulk density. volume: 0.01 to 2000
    liter. Gives each ion in ppm, and `alkalinity` as calcium carbonate where it adds some. Raises NoSuch for
    another salt. Source periodic-table; spoon measures from-memory.
    """
    if salt not in SALTS:
        raise NoSuch("brewing salt", salt, SALTS)
    entry = SALTS[salt]
    grams, notes = _grams(entry, amount)
    if entry.note:
        notes.append(entry.note)

    def added(grams: float, liters: float) -> tuple[float, ...]:
        return tuple(grams * 1000 / liters * share / entry.molar for share in entry.gives.values())

    return work(
        added, [grams, read("volume", volume)], {ion: Output("ppm") for ion in entry.gives},
        formula="ppm = milligrams of salt / liters x the ion's share of the salt's weight",
        sources=("periodic-table",), notes=notes,
    )


def _grams(entry: Salt, amount: Quantity) -> tuple[Given, list[str]]:
    """The amount in grams, and a note when a spoon measured it."""
    if not amount.is_compatible_with("liter"):
        return read("amount", amount, "salt"), []
    spoons = read("amount", amount, "spoon")
    bulk = entry.teaspoon / TEASPOON
    return (Given(spoons.number * bulk, spoons.half_width * bulk, "amount", "gram"),
            [f"A level teaspoon is taken for {entry.teaspoon:g} g, give or take a fifth; a scale is better."])


def residual_alkalinity(alkalinity: Quantity, calcium: Quantity, magnesium: Quantity) -> Result:
    """The alkalinity left when calcium and magnesium have worked against it in the mash.

    alkalinity: in ppm as calcium carbonate; calcium, magnesium: in ppm of the ion; each 0 to 5000. Gives
    `alkalinity` in ppm as calcium carbonate, below zero for hard soft-tasting water. Sources kolbach,
    periodic-table.
    """
    inputs = [
        read(name, each, "concentration")
        for name, each in (("alkalinity", alkalinity), ("calcium", calcium), ("magnesium", magnesium))
    ]
    return work(
        lambda alk, ca, mg: (alk - ca * CHALK / CALCIUM / 3.5 - mg * CHALK / MAGNESIUM / 7,), inputs,
        {"alkalinity": Output("ppm")},
        formula="residual alkalinity = alkalinity - calcium / 3.5 - magnesium / 7, all as calcium carbonate",
        sources=("kolbach", "periodic-table"),
    )


CHLORINE = molar_mass(Cl=2)

TAP_CHLORINE = Q(3, "ppm")
"""On the high side for tap water; the level Campden tablets are made for, source campden-digest."""

METABISULFITES = {
    "potassium metabisulfite": molar_mass(K=2, S=2, O=5),
    "sodium metabisulfite": molar_mass(Na=2, S=2, O=5),
}
"""Grams a mole. One mole takes up two of chlorine, free or as chloramine; source campden-digest."""


def chlorine(
    volume: Quantity, level: Quantity = TAP_CHLORINE, salt: str = "potassium metabisulfite"
) -> Result:
    """The least metabisulfite (Campden) that takes up the chlorine or chloramine of tap water.

    volume: 0.01 to 2000 liter. level: as chlorine, 0 to 5000 ppm, 3 when left out, which is much for tap
    water. salt: potassium or sodium metabisulfite. Gives `dose` in milligram. Raises NoSuch for another salt.
    Sources campden-digest, periodic-table; up to two and a half times as much is right.
    """
    if salt not in METABISULFITES:
        raise NoSuch("metabisulfite", salt, METABISULFITES)
    per_chlorine = METABISULFITES[salt] / (2 * CHLORINE)
    return work(
        lambda liters, ppm: (liters * ppm * per_chlorine,),
        [read("volume", volume), read("chlorine", level, "concentration")], {"dose": Output("milligram")},
        formula=f"milligrams = liters x ppm of chlorine x {per_chlorine:.3f}",
        sources=("campden-digest", "periodic-table"),
        notes=["That is the least; twice as much is usual.",
               "One tablet, 440 to 695 mg by maker, is sold for 20 gallons."],
    )
