"""The sums on yeast and fermentation: how much yeast, how alive, how big a starter, and when it will be done."""

from __future__ import annotations

from assistant.brew import Brew, Known
from assistant.engine import fermentation, gravity, yeast
from assistant.engine.errors import EngineError
from assistant.engine.result import Result
from assistant.engine.units import Q
from assistant.handlers.sums.need import VOLUME, Need, Sum, Values, usual
from assistant.reply import Input
from assistant.wording import quantity as show
from assistant.wording import span

AGE = Need("age", "age of the pack", "", None, usual(0, "day", "a fresh pack"))


def _starter_size(brew: Brew, given: Values) -> Known | None:
    """What one pack wants to become enough for the batch, unstirred."""
    volume, original = brew.volume(), brew.likely_original()
    if not (volume and original):
        return None
    try:
        cells = yeast.pitch_rate(volume.value, original.value, brew.family().value).values["cells"]
        size = yeast.starter_size(cells, given["age"], gravity.to_sg(given["gravity"])).values["still"]
    except EngineError:
        return None
    if not size.magnitude:
        return None
    return Known(size, f"default: what {show(volume.value)} of {show(original.value)} wants of one pack, unstirred")


def _scatter(brew: Brew) -> float:
    """How far the end may be off, in sg, for not knowing the strain better than that."""
    original = brew.likely_original()
    points = original.value.m_as("sg") - 1 if original else 0.05
    return max(0.002, points * brew.strain()[1] / 100)


def _forecast(brew: Brew, given: Values) -> Result:
    return fermentation.forecast(
        [reading for _, reading in brew.since_pitch()],
        given["original"],
        given["final"],
        Q(brew.fermented_for(brew.now), "day"),
        given["kind"],
        _scatter(brew),
    )


def _still(brew: Brew) -> Known | None:
    still = brew.still()
    return Known(still, "logged") if still else None


def _reading_lines(brew: Brew, given: Values) -> list[Input]:
    return [
        Input(f"reading, day {reading.days:.1f}", show(reading.gravity), f"logged {moment:%b} {moment.day}")
        for moment, reading in brew.since_pitch()
    ]


def _when_done(values: Values, given: Values) -> str:
    still, end = given.get("still"), values["gravity"]
    if still and still.long_enough:
        if still.gravity > given["final"].m_as("sg") + fermentation.ABOVE_EXPECTED:
            return (
                f"{still.gravity:.3f} for {span(still.days * 1440)}: stuck, it should end near {show(given['final'])}. "
                "Warm it and rouse the yeast."
            )
        return f"{still.gravity:.3f} for {span(still.days * 1440)}: it is done."
    left = values["duration"].m_as("day")
    if left < 0.5:
        return f"About done by its readings, near {show(end)}; two equal ones {fermentation.DAYS_STILL:.0f} days apart prove it."
    days = max(1, round(left))
    return f"About {days} day{'' if days == 1 else 's'} more, ending near {show(end)}."


SUMS: dict[str, Sum] = {
    "ask_pitch_rate": Sum(
        (
            VOLUME,
            Need("gravity", "gravity", "Of what gravity?", Brew.likely_original),
            Need("kind", "yeast", "", Brew.family),
            AGE,
        ),
        lambda brew, g: yeast.pitch_rate(g["volume"], gravity.to_sg(g["gravity"]), g["kind"], g["age"]),
        lambda v, g: (
            f"{show(v['cells'])} for {show(g['volume'])} of {show(g['gravity'])} {g['kind']} wort: "
            f"{v['packs'].magnitude:.1f} liquid packs, or about {show(v['dry_yeast'])} dry."
        ),
    ),
    "ask_viability": Sum(
        (Need("age", "age", "How old is it?"),),
        lambda brew, g: yeast.viability(g["age"]),
        lambda v, g: (
            f"About {v['viability'].magnitude:.0f} percent of it is alive after {show(g['age'])}; "
            + ("pitch it." if v["viability"].magnitude > 70 else "make a starter or pitch a second pack.")
        ),
    ),
    "ask_starter": Sum(
        (
            Need("gravity", "gravity", "", None, usual(1.037, "sg", "a usual starter")),
            AGE,
            Need("volume", "starter", "How big a starter?", follows=_starter_size),
        ),
        lambda brew, g: yeast.starter(g["volume"], gravity.to_sg(g["gravity"]), g["age"]),
        lambda v, g: (
            f"{show(v['extract'])} of dry malt extract for a {show(g['volume'])} starter of {show(g['gravity'])}."
        ),
        lambda v, g: (
            f"One pack grows in it to about {show(v['still_cells'])} standing still, {show(v['stirred_cells'])} stirred.",
        ),
    ),
    "ask_done_when": Sum(
        (
            Need("original", "original gravity", "What was the original gravity?", Brew.likely_original),
            Need("final", "expected final gravity", "Where should it end?", Brew.should_end),
            Need("kind", "yeast", "", Brew.family),
            Need("still", "stands still", batch=_still),
        ),
        _forecast,
        _when_done,
        lambda v, g: (
            (f"{v['stuck'].magnitude:.0f} in 100 that it stays well above where it should end.",)
            if v["stuck"].magnitude >= 20
            else ()
        ),
        lines=_reading_lines,
    ),
}
