"""The sums on heat and volume: mixing, ice, heating, chilling, what boils away, the water to start with."""

from __future__ import annotations

from assistant.brew import Brew, Known, as_quantity
from assistant.engine import heat, volumes
from assistant.engine.errors import Impossible
from assistant.engine.result import Result
from assistant.engine.units import Q
from assistant.handlers.sums.need import KETTLE, VOLUME, Need, Sum, Values, of_setting, usual
from assistant.wording import quantity as show
from assistant.wording import span


def _water_needed(brew: Brew, given: Values) -> Result:
    parts = [part for part, _ in brew.fermentables()]
    return volumes.water_needed(
        given["volume"],
        given["boil_length"],
        given["boil_off"],
        given["trub_loss"],
        brew.grain(),
        parts=parts,
    )


def _heat_target(brew: Brew) -> Known:
    altitude = brew.setting("altitude")
    height = altitude.value if altitude else Q(0, "foot")
    return Known(
        heat.boiling_point(height).values["temperature"], "boiling" if altitude else "boiling, at sea level"
    )


def _chill(brew: Brew, given: Values) -> Result:
    start = brew.batch.event("chill_start") or brew.batch.event("flameout")
    pitch = brew.batch.event("pitch")
    readings = [
        entry
        for entry in brew.wort_temperatures()
        if start and entry.happened >= start.happened and (pitch is None or entry.happened < pitch.happened)
    ]
    if len(readings) < 2:
        raise Impossible(
            "A forecast of the chill",
            "it takes two temperatures logged since the flame went out",
            "say the wort's temperature now, and again in a few minutes",
        )
    first = readings[0].happened
    points = [
        ((entry.happened - first).total_seconds() / 60, as_quantity(entry.slots["temperature"]))
        for entry in readings
    ]
    return heat.chill_time(points, given["target"], given["surroundings"])


SUMS: dict[str, Sum] = {
    "ask_mix_temperature": Sum(
        (
            Need("hot_volume", "hot volume", "How much is in the pot?", Brew.kettle_volume),
            Need("hot_temperature", "hot temperature", "How hot is it?", Brew.wort_temperature),
            Need("cold_volume", "cold volume", "How much cold water?"),
            Need("cold_temperature", "cold temperature", "How cold is that water?"),
            Need("ice", "ice"),
        ),
        lambda brew, g: heat.mix_temperature(
            g["hot_volume"],
            g["hot_temperature"],
            g["cold_volume"],
            g["cold_temperature"],
            **({"ice": g["ice"]} if "ice" in g else {}),
        ),
        lambda v, g: (
            f"{show(v['temperature'])}: {show(g['hot_volume'])} at {show(g['hot_temperature'])} with "
            f"{show(g['cold_volume'])} at {show(g['cold_temperature'])}."
        ),
    ),
    "ask_ice": Sum(
        (
            KETTLE,
            Need("temperature", "temperature", "How hot is it now?", Brew.wort_temperature),
            Need("target", "target", "", None, usual(68, "degF", "a usual ale pitching temperature")),
        ),
        lambda brew, g: heat.ice(g["volume"], g["temperature"], g["target"]),
        lambda v, g: (
            f"{show(v['ice'])} of ice, melted in, takes {show(g['volume'])} from {show(g['temperature'])} to {show(g['target'])}."
        ),
    ),
    "ask_strike": Sum(
        (
            Need(
                "grain",
                "grain",
                "How much grain?",
                lambda b: Known(b.grain(), "recipe") if b.grain().m_as("pound") else None,
            ),
            Need("water", "water", "In how much water?", Brew.kettle_volume),
            Need("target", "target", "What temperature do you want it to settle at?"),
            Need("grain_temperature", "grain temperature", "", None, usual(68, "degF", "room temperature")),
        ),
        lambda brew, g: heat.strike(g["grain"], g["water"], g["target"], g["grain_temperature"]),
        lambda v, g: (
            f"{show(v['temperature'])} strike water: {show(g['grain'])} of grain in {show(g['water'])} settles at {show(g['target'])}."
        ),
    ),
    "ask_heat_time": Sum(
        (
            KETTLE,
            Need("from", "from", "From what temperature?", Brew.temperature),
            Need("to", "to", "To what temperature?", _heat_target),
            Need(
                "power",
                "burner",
                "",
                of_setting("power"),
                usual(50000, "btu/hour", "a usual gas burner; say yours if you know it"),
            ),
        ),
        lambda brew, g: heat.heat_time(g["volume"], g["from"], g["to"], g["power"]),
        lambda v, g: (
            f"About {span(v['duration'].m_as('minute'))} to heat {show(g['volume'])} from {show(g['from'])} to {show(g['to'])}."
        ),
    ),
    "ask_chill_time": Sum(
        (
            Need("target", "target", "", None, usual(68, "degF", "a usual ale pitching temperature")),
            Need("surroundings", "cooling water", "", None, usual(50, "degF", "a cold water bath")),
        ),
        _chill,
        lambda v, g: (
            f"About {span(v['duration'].m_as('minute'))} more to {show(g['target'])}."
            if v["duration"].magnitude
            else f"It is at {show(g['target'])} or below already."
        ),
    ),
    "ask_boiling_point": Sum(
        (Need("altitude", "altitude", "At what altitude?", of_setting("altitude")),),
        lambda brew, g: heat.boiling_point(g["altitude"]),
        lambda v, g: f"{show(v['temperature'])} is where water boils at {show(g['altitude'])}.",
    ),
    "ask_boil_off": Sum(
        (Need("rate", "boil off", "", Brew.boil_off), Need("duration", "boil", "", Brew.boil_length)),
        lambda brew, g: volumes.boil_off(g["rate"], g["duration"]),
        lambda v, g: f"{show(v['volume'])} boils off in {span(g['duration'].m_as('minute'))}.",
    ),
    "ask_water_needed": Sum(
        (
            VOLUME,
            Need("boil_length", "boil", "", Brew.boil_length),
            Need("boil_off", "boil off", "", Brew.boil_off),
            Need(
                "trub_loss",
                "left in the kettle",
                "",
                of_setting("trub_loss"),
                usual(0, "gallon", "nothing set"),
            ),
        ),
        _water_needed,
        lambda v, g: (
            f"{show(v['volume'])} of water to start with, for {show(g['volume'])} in the fermenter with all of it boiled."
        ),
        lambda v, g: ("If your pot is smaller, boil what fits and top up with cold water in the fermenter.",),
    ),
}
