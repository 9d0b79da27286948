"""Brewing water: what salts add, which of them a target takes, what alkalinity is left, what rids it of chlorine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from assistant.engine.chemistry import WATER, molar_mass
from assistant.engine.errors import Impossible, NoSuch, show
from assistant.engine.inputs import Given, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.roots import least_squares
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


NONE = Q(0, "ppm")


def salt_for(ion: str, target: Quantity, salt: str, volume: Quantity, present: Quantity = NONE) -> Result:
    """How much of one salt brings one ion of the water to a target.

    ion: what the salt adds, such as calcium. target, present: in ppm, 0 to 5000. salt: a key of SALTS. volume: 0.01 to
    2000 liter. Gives `amount` in gram and what it adds of each ion in ppm. Raises NoSuch for a salt or an ion it does
    not bring, Impossible when the water has that much. Source periodic-table.
    """
    if salt not in SALTS:
        raise NoSuch("brewing salt", salt, SALTS)
    entry = SALTS[salt]
    if ion not in entry.gives:
        raise NoSuch(f"thing {salt} adds", ion, entry.gives)
    inputs = [wanted("target", target, "concentration"), read("present", present, "concentration"),
              read("volume", volume)]
    if inputs[0].number <= inputs[1].number:
        raise Impossible(f"Raising {ion} to {show(target)}", f"the water has {show(present)}",
                         "salts only add; dilute with distilled water to get less")

    def amounts(target: float, present: float, liters: float) -> tuple[float, ...]:
        share = (target - present) / entry.gives[ion]
        return share * entry.molar * liters / 1000, *(share * given for given in entry.gives.values())

    return work(
        amounts, inputs, {"amount": Output("gram")} | {each: Output("ppm") for each in entry.gives},
        formula="grams = ppm lacking x liters / the ion's share of the salt's weight / 1000",
        sources=("periodic-table",), notes=[entry.note] if entry.note else (),
    )


BALANCING = ("gypsum", "calcium chloride", "epsom salt", "table salt", "baking soda")
"""The salts a target is put together of: each dissolves well, and no other brings the same two ions."""

MISSED = 1.0
"""Parts per million by which a target may be missed without a word."""


def salts_for(
    targets: Mapping[str, Quantity], volume: Quantity, present: Mapping[str, Quantity] | None = None
) -> Result:
    """Which salts, and how much of each, bring the water nearest to targets for several ions.

    targets, present: ppm (0 to 5000) by ion: calcium, magnesium, sodium, sulfate, chloride, bicarbonate; what is not
    named is taken for none at present and left as it comes. volume: 0.01 to 2000 liter. Gives grams of each salt by
    its name and the ppm each ion comes to. Raises NoSuch for another ion, Impossible when nothing is to be added.
    Balance of each ion by weight, least squares; source periodic-table.
    """
    ions = list(dict.fromkeys(ion for salt in BALANCING for ion in SALTS[salt].gives if ion != "alkalinity"))
    for ion in (*targets, *(present or {})):
        if ion not in ions:
            raise NoSuch("ion of brewing water", ion, ions)
    has = {ion: read(f"{ion} present", value, "concentration") for ion, value in (present or {}).items()}
    aims = {ion: wanted(ion, value, "concentration").number for ion, value in targets.items()}
    lacking = {ion: aim - (has[ion].number if ion in has else 0.0) for ion, aim in aims.items()}
    parts = [[SALTS[salt].gives.get(ion, 0.0) / SALTS[salt].molar for salt in BALANCING] for ion in lacking]
    shares = least_squares(parts, list(lacking.values()))
    used = [(salt, share) for salt, share in zip(BALANCING, shares, strict=True) if share > 0]
    if not used:
        raise Impossible("Salts for that", "the water has it all", "salts only add; dilute with distilled water")
    come = [ion for ion in ions if any(ion in SALTS[salt].gives for salt, _ in used)]

    def amounts(liters: float, *there: float) -> tuple[float, ...]:
        before = dict(zip(has, there, strict=True))
        added = {ion: sum(share * SALTS[salt].gives.get(ion, 0.0) / SALTS[salt].molar for salt, share in used)
                 for ion in come}
        return (*(share * liters / 1000 for _, share in used), *(added[ion] + before.get(ion, 0.0) for ion in come))

    outputs = {salt.replace(" ", "_"): Output("gram") for salt, _ in used} | {ion: Output("ppm") for ion in come}
    result = work(
        amounts, [read("volume", volume), *has.values()], outputs,
        formula="for each ion: sum of grams x its share of the salt = ppm lacking x liters, by least squares",
        sources=("periodic-table",),
    )
    return replace(result, notes=tuple(_notes_on(targets, result)))


def _notes_on(targets: Mapping[str, Quantity], result: Result) -> list[str]:
    """Which targets are missed, and how sulfate stands to chloride."""
    found = {ion: value.magnitude for ion, value in result.values.items() if str(value.units) == "ppm"}
    notes = [
        f"These salts make {found.get(ion, 0.0):.0f} ppm of {ion}, not {show(aim)}: no mixture meets every target."
        for ion, aim in targets.items()
        if abs(found.get(ion, 0.0) - aim.magnitude) > MISSED
    ]
    if found.get("sulfate") and found.get("chloride"):
        ratio = found["sulfate"] / found["chloride"]
        taste = "hops taste drier" if ratio > 1.5 else "malt tastes fuller" if ratio < 0.7 else "an even balance"
        notes.append(f"Sulfate to chloride is {ratio:.1f} to 1: {taste}, by common practice.")
    return notes


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

TREATED_BY_TABLET = 20 * 3.785411784
"""Liters that one Campden tablet is sold for; source campden-digest."""

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
    water. salt: potassium or sodium metabisulfite. Gives `dose` in milligram and the usual `tablets`. Raises NoSuch for another salt.
    Sources campden-digest, periodic-table; up to two and a half times as much is right.
    """
    if salt not in METABISULFITES:
        raise NoSuch("metabisulfite", salt, METABISULFITES)
    per_chlorine = METABISULFITES[salt] / (2 * CHLORINE)
    return work(
        lambda liters, ppm: (liters * ppm * per_chlorine, liters / TREATED_BY_TABLET),
        [read("volume", volume), read("chlorine", level, "concentration")],
        {"dose": Output("milligram"), "tablets": Output("tablet")},
        formula=f"milligrams = liters x ppm of chlorine x {per_chlorine:.3f}",
        sources=("campden-digest", "periodic-table"),
        notes=["That is the least; twice as much is usual.",
               "One tablet, 440 to 695 mg by maker, is sold for 20 gallons.",
               "It takes chloramine as well, within minutes; boiling or standing overnight drives off chlorine alone."],
    )


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of water as one gets it."""

    calcium: float
    """Parts per million it may be counted on for: common practice, no source."""
    chlorinated: bool
    note: str
    fit: bool = True
    """Whether beer is to be brewed with it at all."""


KINDS = {
    "distilled": Kind(0, False, "It holds no minerals; that does not harm yeast, which lives on what malt brings."),
    "spring": Kind(20, False, "Its label tells the minerals; anything pleasant to drink will do."),
    "tap": Kind(30, True, "If it tastes good it makes good beer, once the chlorine is out; hard water suits dark grain."),
    "well": Kind(30, False, "It holds no chlorine; iron, a smell or a rusty stain rules it out."),
    "softened": Kind(0, False, "A softener swaps calcium for sodium: take the water before it, or distilled.",
                     fit=False),
}
"""What each is like: common practice, no source. Plain water from a bottle counts as spring water."""

METHODS = {
    "extract": (0.0, "Extract brings the minerals of the water it was made with."),
    "mini_mash": (50.0, "In a mash calcium helps the enzymes and lowers the pH; 50 ppm is the usual least."),
    "all_grain": (50.0, "In a mash calcium helps the enzymes and lowers the pH; 50 ppm is the usual least."),
}
"""The calcium each way of brewing wants in ppm, and why: common practice, no source."""


def suitability(kind: str, method: str, volume: Quantity) -> Result:
    """What a kind of water wants before beer is brewed with it.

    kind: a key of KINDS. method: a key of METHODS. volume: 0.01 to 2000 liter. Gives `salt`, grams of calcium chloride,
    `calcium` in ppm with it, and `dose`, milligrams of metabisulfite. Raises NoSuch for another kind or method. Sources
    common-practice, periodic-table, campden-digest.
    """
    if kind not in KINDS:
        raise NoSuch("kind of water", kind, KINDS)
    if method not in METHODS:
        raise NoSuch("way of brewing", method, METHODS)
    water, (least, why) = KINDS[kind], METHODS[method]
    salt = SALTS["calcium chloride"]
    per_chlorine = METABISULFITES["potassium metabisulfite"] / (2 * CHLORINE)
    level = TAP_CHLORINE.magnitude if water.chlorinated else 0.0

    def wants(liters: float, there: float) -> tuple[float, float, float]:
        lacking = max(0.0, least - there)
        return lacking * liters / 1000 * salt.molar / CALCIUM, there + lacking, liters * level * per_chlorine

    return work(
        wants, [read("volume", volume), Given(water.calcium, water.calcium / 2, "calcium in the water", "ppm")],
        {"salt": Output("gram"), "calcium": Output("ppm"), "dose": Output("milligram")},
        formula="grams of calcium chloride = ppm of calcium lacking x liters / calcium's share / 1000; milligrams of "
        "metabisulfite = ppm of chlorine x liters x its share",
        sources=("common-practice", "periodic-table", "campden-digest"), notes=[water.note, why],
    )
