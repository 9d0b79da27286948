"""The sums on heat and volume: mixing, ice, grain in water, heating, chilling, what is lost, the water to start with."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from assistant import wording
from assistant.brew import Brew, Known, as_quantity, is_grain, logged
from assistant.engine import gravity, heat, mash, volumes
from assistant.engine.errors import Impossible
from assistant.engine.inputs import BOILING
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity
from assistant.handlers.sums.need import KETTLE, VOLUME, Need, Sum, Values, of_setting, usual
from assistant.reply import Input
from assistant.session.entry import Entry
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
        hops=brew.hop_mass(),
    )


def _what_takes_water(brew: Brew, given: Values) -> list[Input]:
    """What of the recipe keeps water, or takes up room in its place."""
    found = [Input(name, show(mass), "recipe; what it keeps") for name, mass in (("grain", brew.grain()), ("hops", brew.hop_mass())) if mass]
    dissolved = [part.amount.to("pound") for part, _ in brew.fermentables() if part.amount is not None and not is_grain(part)]
    return found + ([Input("extract and sugar", show(sum(dissolved[1:], dissolved[0])), "recipe; the room it takes")] if dissolved else [])


def _boiling(brew: Brew) -> Known:
    known = brew.boiling_point()
    if known:
        return Known(known.value, "boiling")
    return Known(heat.boiling_point().values["temperature"], "boiling, at sea level")


def _points(readings: list[Entry]) -> list[tuple[float, Quantity]]:
    """Temperatures as minutes since the first of them and degrees."""
    first = readings[0].happened
    return [
        ((entry.happened - first).total_seconds() / 60, as_quantity(entry.slots["temperature"]))
        for entry in readings
    ]


def _since(brew: Brew, entry: Entry) -> float:
    """Minutes gone by since it happened."""
    return max(0.0, (brew.now - entry.happened).total_seconds() / 60)


def _chill(brew: Brew, given: Values) -> Result:
    readings = brew.chilling()
    if len(readings) < 2:
        raise Impossible(
            "A forecast of the chill",
            "it takes two temperatures logged since the flame went out",
            "say the wort's temperature now, and again in a few minutes",
        )
    since = _since(brew, readings[-1])
    return heat.chill_time(_points(readings), given["target"], given["surroundings"], since)


def _heat_measured(brew: Brew, given: Values) -> Result:
    readings, held = brew.warming(), brew.kettle_volume()
    since = _since(brew, readings[-1])
    return heat.heat_time_measured(_points(readings), given["to"], since, held.value if held else None)


def _reading_lines(readings: list[Entry]) -> list[Input]:
    return [Input("reading", show(as_quantity(each.slots["temperature"])), logged(each)) for each in readings]


def _bodies(given: Values) -> list[heat.Body]:
    """The pot, the bucket and the grain that share the heat, as far as they were told of."""
    found = []
    if "pot" in given:
        warmth = given["hot_temperature" if "hot_temperature" in given else "temperature"]
        found.append(heat.Body("pot", given["pot"], warmth, given["pot_material"]))
    if "bucket" in given:
        found.append(heat.Body("bucket", given["bucket"], given["bucket_temperature"], "plastic"))
    if "grain" in given:
        found.append(heat.Body("grain", given["grain"], given["grain_temperature"], "grain"))
    return found


def _only_with(slot: str, known: Known) -> Callable[[Brew, Values], Known | None]:
    """What is usual of a thing, where there is that thing."""
    return lambda brew, given: known if slot in given else None


def _mix(brew: Brew, given: Values) -> Result:
    named = ("hot_volume", "hot_temperature", "cold_volume", "cold_temperature", "ice", "ice_temperature")
    return heat.mix_temperature(
        **{name: given[name] for name in named if name in given},
        further=[(part["volume"], part["temperature"]) for part in given["parts"] if len(part) == 2],
        bodies=_bodies(given),
    )


def _mixed_of(given: Values) -> str:
    """What is put together, in few words; the further parts stand in the working."""
    told = [f"{show(given['hot_volume'])} at {show(given['hot_temperature'])}"]
    if "cold_volume" in given:
        told.append(f"{show(given['cold_volume'])} at {show(given['cold_temperature'])}")
    told += [f"{show(part['volume'])} at {show(part['temperature'])}" for part in given["parts"] if len(part) == 2]
    if "ice" in given:
        told.append(f"{show(given['ice'])} of ice")
    if "grain" in given:
        told.append(f"{show(given['grain'])} of grain")
    return wording.listed(told)


def _grain(brew: Brew) -> Known | None:
    return Known(brew.grain(), "recipe") if brew.grain().m_as("pound") else None


def _hops(brew: Brew) -> Known | None:
    return Known(brew.hop_mass(), "recipe") if brew.hop_mass().m_as("ounce") else None


def _steep_advice(settled: Quantity) -> tuple[str, ...]:
    """Where the steep lies against the usual range; common practice, no source."""
    if settled > mash.HOTTEST:
        return ("Too hot: above 170 °F grain gives harsh tannin. Let it cool first.",)
    return ("Cool for a steep: 150 to 170 °F is usual.",) if settled < mash.COOLEST else ()


GRAIN = Need("grain", "grain", "How much grain?", _grain)
TRUB = Need(
    "trub_loss", "left in the kettle", "", of_setting("trub_loss"), usual(0, "gallon", "nothing set")
)
POT = (
    Need("pot", "pot"),
    Need("pot_material", "pot is of", follows=_only_with("pot", Known("steel", "default: a steel pot"))),
)
GRAIN_AT = Need(
    "grain_temperature", "grain temperature", follows=_only_with("grain", usual(68, "degF", "room temperature"))
)
MELTING, FROZEN_HARD = usual(32, "degF", "melting ice"), usual(0, "degF", "as cold as a freezer")
ICE_KIND = Need("ice_kind", "ice is from the")
ICE_AT = Need(
    "ice_temperature",
    "ice temperature",
    follows=lambda brew, g: FROZEN_HARD if "ice_kind" in g else MELTING if "ice" in g else None,
)

MEASURED_HEATING = Sum(
    (Need("to", "to", "", _boiling),),
    _heat_measured,
    lambda v, g: f"About {span(v['duration'].m_as('minute'))} more to {show(g['to'])}, as it warms now.",
    lines=lambda brew, given: _reading_lines(brew.warming()),
    ranged="duration",
)
"""How long heating takes by the temperatures logged in it, which know the burner better than its maker."""


def _as_it_warms(brew: Brew, slots: Mapping[str, Any]) -> Sum | None:
    asked_of_another = {"volume", "from", "power"} & set(slots)
    return MEASURED_HEATING if len(brew.warming()) > 1 and not asked_of_another else None


_TOP_UP = Sum(
    (
        Need("volume", "volume wanted", "To what volume?", Brew.size),
        Need("held", "there is", "How much is there?", Brew.wort_there_is),
    ),
    lambda brew, g: volumes.top_up(g["held"], g["volume"]),
    lambda v, g: f"{show(v['volume'])} of water makes {show(g['volume'])} of the {show(g['held'])} there are.",
)
"""How much water is still to come once the boil is over."""


def _as_it_is_topped_up(brew: Brew, slots: Mapping[str, Any]) -> Sum | None:
    """Between flameout and pitch water is asked for to top up with, as far as it is known what there is."""
    waits = brew.batch.event("flameout") is not None and brew.batch.event("pitch") is None
    return _TOP_UP if waits and brew.wort_there_is() is not None else None


SUMS: dict[str, Sum] = {
    "ask_mix_temperature": Sum(
        (
            Need("ice", "ice"),
            ICE_KIND,
            ICE_AT,
            Need("hot_volume", "hot volume", "How much is in the pot?", Brew.kettle_volume),
            Need("hot_temperature", "hot temperature", "How hot is it?", Brew.wort_temperature),
            Need("cold_volume", "cold volume", "How much cold water?", asked_if=lambda g: "ice" not in g),
            Need(
                "cold_temperature", "cold temperature", "How cold is that water?", asked_if=lambda g: "cold_volume" in g
            ),
            *POT,
            Need("bucket", "bucket"),
            Need(
                "bucket_temperature",
                "bucket temperature",
                follows=_only_with("bucket", usual(68, "degF", "room temperature")),
            ),
            Need("grain", "grain"),
            GRAIN_AT,
        ),
        _mix,
        lambda v, g: f"{show(v['temperature'])}: {_mixed_of(g)}.",
        parts=("volume", "temperature"),
    ),
    "ask_ice": Sum(
        (
            KETTLE,
            Need("temperature", "temperature", "How hot is it now?", Brew.wort_temperature),
            Need("target", "target", "", None, usual(68, "degF", "a usual ale pitching temperature")),
            ICE_KIND,
            Need(
                "ice_temperature",
                "ice temperature",
                usual=MELTING,
                follows=lambda brew, g: FROZEN_HARD if "ice_kind" in g else None,
            ),
            *POT,
        ),
        lambda brew, g: heat.ice(g["volume"], g["temperature"], g["target"], g["ice_temperature"], _bodies(g)),
        lambda v, g: (
            f"{show(v['ice'])} of ice, melted in, takes {show(g['volume'])} from {show(g['temperature'])} to {show(g['target'])}."
        ),
    ),
    "ask_strike": Sum(
        (
            GRAIN,
            Need("water", "water", "In how much water?", Brew.kettle_volume),
            Need("target", "target", "What temperature do you want it to settle at?"),
            Need("grain_temperature", "grain temperature", "", None, usual(68, "degF", "room temperature")),
        ),
        lambda brew, g: mash.strike(g["grain"], g["water"], g["target"], g["grain_temperature"]),
        lambda v, g: (
            f"{show(v['temperature'])} strike water: {show(g['grain'])} of grain in {show(g['water'])} settles at {show(g['target'])}."
        ),
    ),
    "ask_steep": Sum(
        (
            GRAIN,
            Need("water", "water", "In how much water?", Brew.kettle_volume),
            Need("temperature", "water temperature", "How hot is the water?", Brew.temperature),
            Need("grain_temperature", "grain temperature", "", None, usual(68, "degF", "room temperature")),
        ),
        lambda brew, g: mash.steep(g["grain"], g["water"], g["temperature"], g["grain_temperature"]),
        lambda v, g: (
            f"{show(v['temperature'])} once {show(g['grain'])} of grain is in {show(g['water'])} at {show(g['temperature'])}."
        ),
        lambda v, g: _steep_advice(v["temperature"]),
    ),
    "ask_infusion": Sum(
        (
            Need("water", "in it now", "How much water is in it?", Brew.kettle_volume),
            Need("temperature", "temperature now", "How warm is it now?", Brew.temperature),
            Need("target", "target", "To what temperature?"),
            Need("grain", "grain", "", _grain, Known(Q(0, "pound"), "default: no grain in it")),
            Need("infusion_temperature", "water poured in", "", _boiling),
        ),
        lambda brew, g: mash.infusion(
            g["water"], g["temperature"], g["target"], g["grain"], g["infusion_temperature"]
        ),
        lambda v, g: (
            f"{show(v['water'])} of water at {show(g['infusion_temperature'])} takes it"
            f" from {show(g['temperature'])} to {show(g['target'])}."
        ),
    ),
    "ask_contraction": Sum(
        (
            KETTLE,
            Need("from", "from", "", Brew.wort_temperature, Known(BOILING, "default: boiling, at sea level")),
            Need("to", "to", "", None, usual(68, "degF", "room temperature")),
            Need("gravity", "gravity", "", Brew.likely_original, usual(1.050, "sg", "usual wort")),
        ),
        lambda brew, g: volumes.contraction(g["volume"], g["from"], g["to"], gravity.to_sg(g["gravity"])),
        lambda v, g: (
            f"{show(v['volume'])} is left of {show(g['volume'])} when it goes from "
            f"{show(g['from'].to(g['to'].units))} to {show(g['to'])}."
        ),
    ),
    "ask_losses": Sum(
        (
            Need("grain", "grain", "", _grain, Known(Q(0, "pound"), "default: no grain")),
            Need("hops", "hops", "", _hops, Known(Q(0, "ounce"), "default: no hops in the recipe")),
            TRUB,
        ),
        lambda brew, g: volumes.losses(g["grain"], g["hops"], g["trub_loss"]),
        lambda v, g: (
            f"{show(v['volume'])} stays behind: {show(v['grain_loss'])} in grain, {show(v['hop_loss'])} in hops,"
            f" {show(v['trub_loss'])} in the kettle."
        ),
        lambda v, g: ("What boils off comes on top of that.",),
    ),
    "ask_heat_time": Sum(
        (
            KETTLE,
            Need("from", "from", "From what temperature?", Brew.temperature),
            Need("to", "to", "To what temperature?", _boiling),
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
        ranged="duration",
        instead=_as_it_warms,
    ),
    "ask_chill_time": Sum(
        (
            Need("target", "target", "", None, usual(68, "degF", "a usual ale pitching temperature")),
            Need("surroundings", "cooling water", "", Brew.bath, usual(50, "degF", "a cold water bath")),
        ),
        _chill,
        lambda v, g: (
            f"About {span(v['duration'].m_as('minute'))} more to {show(g['target'])}."
            if v["duration"].magnitude
            else f"0 minutes: it should be at {show(g['target'])} by now; measure it."
        ),
        lines=lambda brew, given: _reading_lines(brew.chilling()),
        ranged="duration",
    ),
    "ask_boiling_point": Sum(
        (
            Need("pressure", "air pressure"),
            Need(
                "altitude",
                "altitude",
                "At what altitude?",
                of_setting("altitude"),
                follows=lambda brew, g: (
                    usual(0, "foot", "sea level") if "pressure" in g and not brew.setting("altitude") else None
                ),
            ),
        ),
        lambda brew, g: heat.boiling_point(g["altitude"], g.get("pressure")),
        lambda v, g: (
            f"{show(v['temperature'])} is where water boils"
            + (f" at {show(g['altitude'])}" if g["altitude"].magnitude or "pressure" not in g else "")
            + (f" with the barometer at {show(g['pressure'])}." if "pressure" in g else ".")
        ),
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
            TRUB,
        ),
        _water_needed,
        lambda v, g: (
            f"{show(v['volume'])} of water to start with, for {show(g['volume'])} in the fermenter with all of it boiled."
        ),
        lambda v, g: ("If your pot is smaller, boil what fits and top up with cold water in the fermenter.",),
        lines=_what_takes_water,
        instead=_as_it_is_topped_up,
    ),
}
