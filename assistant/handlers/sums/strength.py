"""The sums on gravity and strength: readings corrected and converted, alcohol, dilution."""

from __future__ import annotations

from assistant.brew import Brew
from assistant.engine import alcohol, convert, gravity
from assistant.handlers.sums.need import KETTLE, Need, Sum, usual
from assistant.wording import quantity as show

OG = Need("original", "original gravity", "What was the original gravity?", Brew.likely_original)
FG = Need(
    "final", "gravity now", "What is the gravity now?", lambda brew: brew.current() or brew.expected_final()
)
TARGET_GRAVITY = Need("target", "target", "What gravity do you want?")

SUMS: dict[str, Sum] = {
    "ask_correct_reading": Sum(
        (
            Need("gravity", "reading", "What does the hydrometer read?"),
            Need("temperature", "sample temperature", "How warm is the sample?"),
            Need("calibration", "hydrometer marked for", "", Brew.calibration),
        ),
        lambda brew, g: gravity.correct_reading(
            gravity.to_sg(g["gravity"]), g["temperature"], g["calibration"]
        ),
        lambda v, g: (
            f"{show(v['gravity'])} corrected: read {show(g['gravity'])} at {show(g['temperature'])}."
        ),
    ),
    "ask_convert": Sum(
        (Need("from", "from", "Convert what?", answered=True), Need("to", "to", "To what unit?")),
        lambda brew, g: convert.convert(g["from"], g["to"]),
        lambda v, g: f"{show(v['result'])} is {show(g['from'])}.",
    ),
    "ask_abv": Sum(
        (OG, FG),
        lambda brew, g: alcohol.abv(g["original"], g["final"]),
        lambda v, g: f"{show(v['abv'])} alcohol by volume, from {show(g['original'])} to {show(g['final'])}.",
    ),
    "ask_calories": Sum(
        (OG, FG, Need("volume", "serving", "", None, usual(12, "fluid_ounce", "a 12 ounce bottle"))),
        lambda brew, g: alcohol.calories(g["original"], g["final"], g["volume"]),
        lambda v, g: (
            f"{show(v['energy'])} in {show(g['volume'])}, from {show(g['original'])} to {show(g['final'])}."
        ),
    ),
    "ask_refractometer": Sum(
        (
            Need("original", "reading before fermentation", "What did it read before fermentation?"),
            Need("final", "reading now"),
        ),
        lambda brew, g: gravity.refractometer(g["original"], g.get("final")),
        lambda v, g: (
            f"{show(v['gravity'])} gravity, refractometer from {show(g['original'])}"
            + (f" to {show(g['final'])}." if "final" in g else ".")
        ),
    ),
    "ask_dilution": Sum(
        (
            KETTLE,
            Need("gravity", "gravity", "What is its gravity?", lambda b: b.current() or b.original()),
            TARGET_GRAVITY,
        ),
        lambda brew, g: gravity.dilution(g["volume"], g["gravity"], g["target"]),
        lambda v, g: (
            f"{show(v['water'])} of water takes {show(g['volume'])} from {show(g['gravity'])} to {show(g['target'])};"
            f" {show(v['final_volume'])} in all."
        ),
    ),
    "ask_topup_gravity": Sum(
        (
            KETTLE,
            Need("gravity", "gravity", "What is its gravity?", lambda b: b.current() or b.original()),
            Need("final_volume", "topped up to", "Topped up to what volume?", lambda b: b.volume()),
        ),
        lambda brew, g: gravity.topup_gravity(g["volume"], g["gravity"], g["final_volume"]),
        lambda v, g: (
            f"{show(v['gravity'])} when {show(g['volume'])} of {show(g['gravity'])} is topped up to {show(g['final_volume'])}."
        ),
    ),
}
