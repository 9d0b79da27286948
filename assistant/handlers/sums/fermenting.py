"""The sums on yeast: how much, how alive, how big a starter."""

from __future__ import annotations

from assistant.brew import Brew
from assistant.engine import gravity, yeast
from assistant.handlers.sums.need import VOLUME, Need, Sum, usual
from assistant.wording import quantity as show

SUMS: dict[str, Sum] = {
    "ask_pitch_rate": Sum(
        (VOLUME, Need("gravity", "gravity", "Of what gravity?", Brew.likely_original)),
        lambda brew, g: yeast.pitch_rate(g["volume"], gravity.to_sg(g["gravity"])),
        lambda v, g: f"{show(v['cells'])} for {show(g['volume'])} of {show(g['gravity'])} ale wort.",
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
            Need("volume", "starter", "How big a starter?"),
            Need("gravity", "gravity", "", None, usual(1.037, "sg", "a usual starter")),
        ),
        lambda brew, g: yeast.starter(g["volume"], gravity.to_sg(g["gravity"])),
        lambda v, g: (
            f"{show(v['extract'])} of dry malt extract for a {show(g['volume'])} starter of {show(g['gravity'])}."
        ),
    ),
}
