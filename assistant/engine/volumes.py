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

HOP_ABSORPTION = Q(5, "liter/kilogram")
"""Wort that hops keep, give or take half; from memory."""

SHORT_BOIL = 10.0
"""Minutes of boiling below which two volumes do not tell how fast it goes: common practice, no source."""


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


def boil_off_rate(
    before: Quantity, after: Quantity, duration: Quantity, before_temperature: Quantity = ROOM,
    after_temperature: Quantity = ROOM,
) -> Result:
    """How fast this kettle boils away, from its volume before and after so much boiling.

    before, after: 0.01 to 2000 liter, each at its temperature (0 to 100 degC). duration: of boiling between them.
    Gives `rate` in gallon/hour or liter/hour, in cold water. Raises Impossible when it did not get less, or boiled
    for less than ten minutes, which says too little. Source icumsa.
    """
    inputs = [
        read("volume before", before, "volume"), read("volume after", after, "volume"),
        read("boil", duration, "duration"), read("temperature before", before_temperature, "temperature"),
        read("temperature after", after_temperature, "temperature"),
    ]

    def rate(more: float, less: float, minutes: float, first: float, last: float) -> tuple[float]:
        return ((more * wort.water_density(first) - less * wort.water_density(last)) / wort.water_density(20)
                / minutes * 60,)

    minutes = inputs[2].number
    if minutes < SHORT_BOIL:
        raise Impossible("Measuring the boil-off", f"it takes {SHORT_BOIL:g} minutes of boiling at least",
                         "say the volume again later")
    if rate(*(given.number for given in inputs))[0] <= 0:
        raise Impossible("Measuring the boil-off", "the volume did not get less", "say both volumes again")
    return work(
        rate, inputs, {"rate": Output("liter/hour", in_manner_of(before, "gallon/hour", "liter/hour"))},
        formula="rate = (volume before - volume after, both as cold) / time of boiling", sources=("icumsa",),
    )


def top_up(volume: Quantity, final_volume: Quantity) -> Result:
    """How much water brings what there is to a volume.

    volume, final_volume: 0.01 to 2000 liter. Gives `volume` in the unit of the final one. Raises Impossible when it
    is there already.
    """
    inputs = [read("volume", volume), read("volume", final_volume)]
    if inputs[0].number >= inputs[1].number:
        raise Impossible(f"Topping up to {show(final_volume)}", f"there are {show(volume)} already", "add no water")
    return work(
        lambda held, whole: (whole - held,), inputs, {"volume": Output("liter", unit_of(final_volume))},
        formula="water = volume wanted - volume there is", sources=("common-practice",),
        notes=["Hot wort shrinks by 4 percent as it cools: fill up to the mark at last."],
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


def losses(
    grain: Quantity = NO_MASS, hops: Quantity = NO_MASS, trub_loss: Quantity = NO_VOLUME,
    absorption: Quantity = ABSORPTION, hop_absorption: Quantity = HOP_ABSORPTION,
) -> Result:
    """What wort stays behind in grain, hops and trub.

    grain, hops: 0 to 500 kilogram. trub_loss: 0 to 2000 liter left in the kettle. absorption, hop_absorption: 0 to 3
    and 0 to 20 liter/kilogram. Gives `volume` in all, `grain_loss`, `hop_loss` and `trub_loss` in gallon or liter.
    Sources palmer, from-memory.
    """
    inputs = [
        read("grain", grain, "mass or none"), read("hops", hops, "mass or none"),
        read("left in the kettle", trub_loss, "volume or none"),
        read("what grain keeps", absorption, "absorption"), read("what hops keep", hop_absorption, "hop absorption"),
    ]

    def lost(grain: float, hops: float, trub: float, kept: float, kept_by_hops: float) -> tuple[float, ...]:
        in_grain, in_hops = grain * kept, hops * kept_by_hops
        return in_grain + in_hops + trub, in_grain, in_hops, trub

    if not any(given.number for given in inputs[:3]):
        raise Impossible("What stays behind", "neither grain nor hops nor a loss in the kettle is known",
                         "say how much grain or hops, or what stays in the kettle")
    shown = in_manner_of(grain if grain.magnitude else trub_loss, "gallon", "liter")
    names = ("volume", "grain_loss", "hop_loss", "trub_loss")
    return work(
        lost, inputs, {name: Output("liter", shown) for name in names},
        formula="loss = grain x what it keeps + hops x what they keep + what is left in the kettle",
        sources=("palmer", "from-memory"),
        notes=["Squeezing the bag gives some of it back; pellets keep less than whole hops."],
    )


def water_needed(
    final_volume: Quantity, boil_length: Quantity, rate: Quantity, trub_loss: Quantity = NO_VOLUME,
    grain: Quantity = NO_MASS, absorption: Quantity = ABSORPTION, topup: Quantity = NO_VOLUME,
    parts: Sequence[Fermentable] = (), hops: Quantity = NO_MASS, hop_absorption: Quantity = HOP_ABSORPTION,
) -> Result:
    """How much cold water to start with for a batch to come out at its volume.

    final_volume: 0.01 to 2000 liter in the fermenter. boil_length: 0 to a week. rate: boil-off, 0 to 500
    liter/hour. trub_loss, topup: 0 to 2000 liter left in the kettle, and of water added to the fermenter.
    grain, hops: 0 to 500 kilogram of each, which keep `absorption` and `hop_absorption`. parts: the grain bill;
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
        read("top-up", topup, "volume or none"), read("hops", hops, "mass or none"),
        read("what hops keep", hop_absorption, "hop absorption"), *masses, *yields,
    ]
    points_in(inputs[0].number, [each.number for each in masses], [each.number for each in yields])

    def start(final: float, minutes: float, rate: float, trub: float, grain: float, kept: float, topup: float,
              hops: float, kept_by_hops: float, *bill: float) -> tuple[float, float]:
        half = len(bill) // 2
        wet = _water_in(final + trub, bill[:half], bill[half:], brings)
        total = wet + rate * minutes / 60 + grain * kept + hops * kept_by_hops
        return total - topup, total

    kettle, _ = start(*(given.number for given in inputs))
    if kettle <= 0:
        raise Impossible(f"A top-up of {show(topup)}", "the batch takes less water", "name a smaller one")
    shown = unit_of(final_volume)
    notes = [] if parts else ["The room the extract takes up is not counted; with the recipe it can be."]
    return work(
        start, inputs, {"volume": Output("liter", shown), "total": Output("liter", shown)},
        formula="water = final volume + trub - room for the extract + boil-off + what grain and hops "
        "keep - top-up",
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
