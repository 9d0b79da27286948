"""Volumes: what the boil takes, what must go in at the start, and what cooling makes of it."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.engine import wort
from assistant.engine.errors import Impossible, show
from assistant.engine.fermentables import Fermentable, extract_in, mass_of, points_in, points_of
from assistant.engine.inputs import NO_MASS, NO_VOLUME, ROOM, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, in_manner_of, unit_of

WATER = Q(1, "sg")

ABSORPTION = Q(0.5, "quart/pound")
"""Wort that drained grain keeps; source palmer, from memory."""


def boil_off(rate: Quantity, duration: Quantity) -> Result:
    """The volume that boils away.

    rate: 0 to 500 liter/hour. duration: 0 to a week. Gives `volume` in gallon or liter. The rate is the
    equipment's own, so there is no reference but the brewer's last boil; common-practice.
    """
    return work(
        lambda rate, minutes: (rate * minutes / 60,),
        [read("boil-off rate", rate, "rate"), read("duration", duration)],
        {"volume": Output("liter", in_manner_of(rate, "gallon", "liter"))},
        formula="boil-off = rate x time", sources=("common-practice",),
        notes=["The rate belongs to the kettle and the flame: a measured boil sharpens it."],
    )


def contraction(volume: Quantity, temperature: Quantity, to: Quantity = ROOM,
                gravity: Quantity = WATER) -> Result:
    """The volume hot wort has once it has cooled (or cold wort once heated).

    volume: 0.01 to 2000 liter. temperature, to: 0 to 100 degC. gravity: 0.98 to 1.2 sg, water when left out.
    Gives `volume` in the unit of the volume. Source icumsa.
    """
    inputs = [read("volume", volume), read("temperature", temperature), wanted("temperature", to),
              read("gravity", gravity)]

    def cooled(liters: float, hot: float, cool: float, sg: float) -> tuple[float]:
        share = wort.plato_of(sg) / 100
        return (liters * wort.density(share, hot) / wort.density(share, cool),)

    return work(
        cooled, inputs, {"volume": Output("liter", unit_of(volume))},
        formula="volume x density hot / density cold", sources=("icumsa",),
        notes=["From boiling to room temperature wort loses 4 percent of its hot volume."],
    )


def water_needed(
    final_volume: Quantity, boil_length: Quantity, rate: Quantity, trub_loss: Quantity = NO_VOLUME,
    grain: Quantity = NO_MASS, absorption: Quantity = ABSORPTION, topup: Quantity = NO_VOLUME,
    parts: Sequence[Fermentable] = (),
) -> Result:
    """How much cold water to start with for a batch to come out at its volume.

    final_volume: 0.01 to 2000 liter in the fermenter. boil_length: 0 to a week. rate: boil-off, 0 to 500
    liter/hour. trub_loss, topup: 0 to 2000 liter left in the kettle, and of water added to the fermenter.
    grain: 0 to 500 kilogram of it, which keeps `absorption` (0 to 3 liter/kilogram). parts: the grain bill;
    when given, the room its extract takes up in the wort and the water liquid extract brings are counted.
    Gives `volume` to start with and `total`, top-up included, in the unit of the final volume. Raises
    Impossible when the top-up is more than all of it. Water is conserved by mass; absorption palmer,
    from-memory.
    """
    masses, yields = [mass_of(part) for part in parts], [points_of(part) for part in parts]
    brings = [part.use == "dissolved" for part in parts]
    inputs = [
        wanted("final volume", final_volume, "volume"), read("boil length", boil_length, "duration"),
        read("boil-off rate", rate, "rate"), read("trub loss", trub_loss, "volume or none"),
        read("grain", grain, "mass or none"), read("absorption", absorption),
        read("top-up", topup, "volume or none"), *masses, *yields,
    ]
    points_in(inputs[0].number, [each.number for each in masses], [each.number for each in yields])

    def start(final: float, minutes: float, rate: float, trub: float, grain: float, kept: float, topup: float,
              *bill: float) -> tuple[float, float]:
        half = len(bill) // 2
        wet = _water_in(final + trub, bill[:half], bill[half:], brings)
        total = wet + rate * minutes / 60 + grain * kept
        return total - topup, total

    kettle, _ = start(*(given.number for given in inputs))
    if kettle <= 0:
        raise Impossible(f"A top-up of {show(topup)}", "the batch takes less water", "name a smaller one")
    shown = unit_of(final_volume)
    notes = [] if parts else ["The room the extract takes up is not counted; with the recipe it can be."]
    return work(
        start, inputs, {"volume": Output("liter", shown), "total": Output("liter", shown)},
        formula="water = final volume + trub - room for the extract + boil-off + grain x absorption - top-up",
        sources=("palmer", "icumsa", "from-memory"), notes=notes,
    )


def _water_in(
    liters: float, kilograms: Sequence[float], points: Sequence[float], brings: Sequence[bool]
) -> float:
    """Liters of water to pour for that volume of wort: its own, less what dissolving parts bring along."""
    extract = extract_in(kilograms, points)
    own = wort.mass_of(liters, wort.sg_from_extract(extract / liters)) - extract
    bill = zip(kilograms, points, brings, strict=True)
    brought = sum(mass - extract_in([mass], [each]) for mass, each, does in bill if does)
    return (own - brought) / wort.WATER
