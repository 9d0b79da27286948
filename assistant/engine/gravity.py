"""Gravity: what a reading really says, and what comes of wort and water put together.

Extract and water are conserved by mass; the trade's points-times-volume rule is told beside it. Volumes are
those at 20 degrees Celsius, gravities may come as sg, plato or brix. What fermentables give stands in
`fermentables.py`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from assistant.engine import wort
from assistant.engine.errors import Impossible, show
from assistant.engine.inputs import Given, plain, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, unit_of

SG = Output("sg")

CALIBRATION = Q(60, "degF")
"""What most hydrometers sold in the United States are marked for; common practice, no source."""


def to_sg(gravity: Quantity) -> Quantity:
    """The same gravity in sg at 20/20 degC; from sg, plato or brix, 0.98 to 1.2 sg. Source asbc-table."""
    return Q(read("gravity", gravity).number, "sg")


def to_plato(gravity: Quantity) -> Quantity:
    """The same gravity as extract in plato; from sg, plato or brix, 0.98 to 1.2 sg. Source asbc-table."""
    read("gravity", gravity)
    return Q(plain("gravity", gravity, "plato"), "plato")


def density(extract: Quantity, temperature: Quantity) -> Quantity:
    """Density in kilogram/liter of wort of that extract (plato, brix or sg) at 0 to 100 degC.

    Source icumsa; within 0.1 gram a liter for sucrose.
    """
    fraction = to_plato(extract).magnitude / 100
    return Q(wort.density(fraction, read("temperature", temperature).number) / 1000, "kilogram/liter")


_PRINTED = (
    (0, -0.0007), (5, -0.0009), (10, -0.0006), (15, 0.0), (20, 0.0009), (25, 0.0021), (30, 0.0035),
    (35, 0.0051), (40, 0.0069), (45, 0.0089), (49, 0.0106),
)
"""Celsius and what to add to a reading, hydrometer calibrated at 59 degF; source palmer, appendix A."""


def printed_correction(celsius: float) -> float | None:
    """What the trade's printed table adds at that temperature, between its lines; None beyond its ends."""
    if not _PRINTED[0][0] <= celsius <= _PRINTED[-1][0]:
        return None
    place = min(bisect_right(_PRINTED, celsius, key=lambda row: row[0]), len(_PRINTED) - 1)
    (cool, less), (warm, more) = _PRINTED[place - 1], _PRINTED[place]
    return less + (more - less) * (celsius - cool) / (warm - cool)


def _printed_note(reading: float, celsius: float, marked: float) -> list[str]:
    at_sample, at_mark = printed_correction(celsius), printed_correction(marked)
    if at_sample is None or at_mark is None:
        return []
    printed = reading + at_sample - at_mark
    off = printed - wort.reading_at_calibration(reading, celsius, marked)
    if abs(off) < 0.0003:
        return []
    way = "above" if off > 0 else "below"
    return [f"The trade's printed table, one for every gravity, gives {printed:.4f}, which is {abs(off):.4f} {way} "
            "what the density of this wort says."]


def correct_reading(
    gravity: Quantity, temperature: Quantity, calibration: Quantity = CALIBRATION
) -> Result:
    """What a hydrometer would have shown at the temperature it is marked for.

    gravity: as read, 0.98 to 1.2 sg. temperature: of the sample, 0 to 100 degC. calibration: the one marked
    on the hydrometer, 0 to 40 degC, commonly 60 degF or 20 degC. Gives `gravity` in sg, relative to water at
    the calibration temperature. Raises OutOfRange, WrongKind. Sources icumsa, iso-1768; printed table palmer.
    """
    inputs = [read("gravity", gravity), read("temperature", temperature), read("calibration", calibration)]
    notes = _printed_note(*(given.number for given in inputs))
    if inputs[1].number > 50:
        notes.append("So hot a sample steams and stirs; cool it and read again to be sure.")
    return work(
        lambda *numbers: (wort.reading_at_calibration(*numbers),), inputs, {"gravity": SG},
        formula="density of the sample = reading x density of water at the calibration temperature, less the "
        "swelling of the glass; then the wort is followed to the calibration temperature",
        sources=("icumsa", "iso-1768"), notes=notes,
    )


def dilution(volume: Quantity, gravity: Quantity, target: Quantity) -> Result:
    """How much water brings wort down to a gravity.

    volume: 0.01 to 2000 liter. gravity: 0.98 to 1.2 sg; target: 1.002 to 1.2 sg. Gives `water` and
    `final_volume` in the unit of the volume. Raises Impossible when the target is the higher. Source
    asbc-table.
    """
    inputs = [read("volume", volume), read("gravity", gravity), wanted("target", target, "wort")]
    _, sg, aim = (given.number for given in inputs)
    if aim > sg:
        raise Impossible(f"{aim:.4f} by adding water to {sg:.4f}", "water only lowers the gravity",
                         "boil longer or add extract instead")
    shown = unit_of(volume)

    def water(liters: float, sg: float, aim: float) -> tuple[float, float]:
        mass = wort.mass_of(liters, sg)
        final = mass * wort.plato_of(sg) / wort.plato_of(aim)
        return (final - mass) / wort.WATER, final / (aim * wort.WATER)

    return work(
        water, inputs, {"water": Output("liter", shown), "final_volume": Output("liter", shown)},
        formula="water = mass of wort x (extract / target extract - 1), extract in percent by weight",
        sources=("asbc-table",), notes=[_points_water(volume, sg, aim)],
    )


def _points_water(volume: Quantity, sg: float, aim: float) -> str:
    water = volume * ((sg - 1) / (aim - 1) - 1)
    return f"Points times volume gives {water.magnitude:.3g} {unit_of(volume)} of water."


def topup_gravity(volume: Quantity, gravity: Quantity, final_volume: Quantity) -> Result:
    """The gravity when wort is topped up with water, or boiled down, to a final volume.

    volume, final_volume: 0.01 to 2000 liter. gravity: 0.98 to 1.2 sg. Gives `gravity` in sg. Raises
    Impossible when boiling down would leave syrup. Source asbc-table.
    """
    inputs = [read("volume", volume), read("gravity", gravity), read("final volume", final_volume, "volume")]
    liters, sg, final = (given.number for given in inputs)
    points = 1 + (sg - 1) * liters / final
    if liters > 20 * final or not 0.95 <= points <= 1.25:
        raise Impossible(f"Making {show(final_volume)} of that", "hardly more than syrup would be left",
                         "check the volumes")
    return work(
        lambda v, s, f: (wort.sg_from_extract(wort.extract_per_liter(s) * v / f),), inputs, {"gravity": SG},
        formula="extract per liter = extract in the wort / final volume, then read as gravity",
        sources=("asbc-table",), notes=[f"Points times volume gives {points:.4f}."],
    )


def blend(parts: Sequence[tuple[Quantity, Quantity]]) -> Result:
    """The gravity and volume of several worts or beers put together.

    parts: pairs of volume (0.01 to 2000 liter) and gravity (0.98 to 1.2 sg), at least two. Gives `gravity` in
    sg and `volume` in the unit of the first. Raises Impossible for fewer than two. Source asbc-table.
    """
    if len(parts) < 2:
        raise Impossible("A blend of one", "there is nothing to mix it with", "name two or more volumes")
    inputs = [
        given
        for place, (volume, gravity) in enumerate(parts, 1)
        for given in (read(f"volume {place}", volume, "volume"), read(f"gravity {place}", gravity, "gravity"))
    ]

    def mixed(*numbers: float) -> tuple[float, float]:
        pairs = list(zip(numbers[::2], numbers[1::2], strict=True))
        mass = sum(wort.mass_of(liters, sg) for liters, sg in pairs)
        extract = sum(wort.mass_of(liters, sg) * wort.plato_of(sg) for liters, sg in pairs)
        sg = wort.sg_of(extract / mass)
        return sg, mass / (sg * wort.WATER)

    numbers = [given.number for given in inputs]
    liters = sum(numbers[::2])
    points = sum(v * s for v, s in zip(numbers[::2], numbers[1::2], strict=True)) / liters
    return work(
        mixed, inputs, {"gravity": SG, "volume": Output("liter", unit_of(parts[0][0]))},
        formula="extract percent = sum of mass x extract percent / sum of mass",
        sources=("asbc-table",), notes=[f"Points times volume gives {points:.4f}."],
    )


def final_gravity(original: Quantity, attenuation: Quantity) -> Result:
    """Where fermentation should end.

    original: 0.98 to 1.2 sg. attenuation: apparent, 0 to 120 percent. Gives `gravity` in sg.
    Raises OutOfRange, WrongKind. The definition of apparent attenuation, common-practice.
    """
    inputs = [read("original gravity", original, "gravity"), read("attenuation", attenuation)]
    sg, percent = (given.number for given in inputs)
    by_extract = wort.sg_of(wort.plato_of(sg) * (1 - percent / 100))
    return work(
        lambda o, a: (1 + (o - 1) * (1 - a / 100),), inputs, {"gravity": SG},
        formula="final gravity = 1 + (original gravity - 1) x (1 - apparent attenuation)",
        sources=("common-practice",),
        notes=[f"Reckoned in degrees Plato the same attenuation gives {by_extract:.4f}."],
    )


def _cubic_fit(i: float, f: float) -> float:
    """Gravity from the refractometer's Brix before (i) and after (f); source terrill."""
    return (1 - 0.0044993 * i + 0.011774 * f + 0.00027581 * i**2 - 0.0012717 * f**2
            - 0.0000072800 * i**3 + 0.000063293 * f**3)


def _linear_fit(i: float, f: float) -> float:
    """The other fit of the same author, who finds it truer and a little less sharp; source terrill."""
    return 1 - 0.00085683 * i + 0.0034941 * f


def _novotny_fit(i: float, f: float) -> float:
    """The linear fit of another author; source novotny."""
    return 1 - 0.002349 * i + 0.006276 * f


TERRILL_ERROR = 0.003
"""How far the fits stand from hydrometers and from each other, in sg; source terrill."""


def _unfermented(original: Given, correction: float) -> Result:
    return work(
        lambda brix: (wort.sg_of(brix / correction),), [original], {"gravity": Output("sg", error=0.001)},
        formula="extract = Brix / wort correction, then read as gravity", sources=("asbc-table", "terrill"),
    )


def refractometer(original: Quantity, final: Quantity | None = None, correction: float = 1.04) -> Result:
    """The gravity behind refractometer readings; with a final reading, allowing for the alcohol.

    original: 0 to 40 brix as read; or a hydrometer's gravity in sg or plato. final: brix as read, not above
    the original. correction: what this refractometer's wort readings are divided by, 1.00 to 1.06 by
    instrument. Gives `gravity` in sg; its range is at least as wide as the published fits part. Raises
    Impossible when the final reading is the higher one. Sources terrill, novotny.
    """
    read("wort correction", Q(correction, ""))
    before = _first_reading(original, correction)
    if final is None:
        return _unfermented(before, correction)
    after = read("final reading", final, "brix")
    if after.number > before.number:
        raise Impossible(f"A final reading of {after.number:g} brix", f"it began at {before.number:g}",
                         "check which reading came first")
    i, f = before.number / correction, after.number / correction
    cubic, linear, other = (fit(i, f) for fit in (_cubic_fit, _linear_fit, _novotny_fit))
    apart = max(cubic, linear, other) - min(cubic, linear, other)
    notes = [f"The linear fit of the same author gives {linear:.4f}, Novotny's {other:.4f}: "
             f"they part by {apart:.4f}."]
    attenuation = 1 - wort.plato_of(cubic) / wort.plato_of(wort.sg_of(i)) if i > 0.1 else 0.0
    if attenuation < 0.61:
        notes.append("The fits were made on finished beer; while it still ferments this is only a hint.")
    return work(
        lambda i, f: (_cubic_fit(i / correction, f / correction),), [before, after],
        {"gravity": Output("sg", error=max(TERRILL_ERROR, abs(cubic - linear), abs(cubic - other)))},
        formula="gravity = 1 - 0.0044993 i + 0.011774 f + 0.00027581 i^2 - 0.0012717 f^2 - 0.00000728 i^3 + "
        "0.000063293 f^3, with i and f the Brix before and after / wort correction",
        sources=("terrill", "novotny"), notes=notes,
    )


def _first_reading(original: Quantity, correction: float) -> Given:
    """The first reading in Brix, or a hydrometer's gravity as this refractometer would have read it."""
    if unit_of(original) == "brix":
        return read("original reading", original, "brix")
    given = read("original gravity", original, "gravity")
    brix = wort.plato_of(given.number) * correction
    above = wort.plato_of(given.number + given.half_width) * correction
    return Given(brix, above - brix, "original gravity", "brix")
