"""The recipe as a whole: bitter against sweet, another size, enzyme enough, and how it stands to a style."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.engine.errors import Impossible
from assistant.engine.fermentables import Fermentable, mass_of
from assistant.engine.inputs import Given, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity

BALANCED = (0.4, 0.6)
"""IBU per point of gravity between which a beer tastes neither sweet nor bitter: common practice, no source."""

CONVERTS, COMFORTABLE = 30.0, 40.0
"""Degrees Lintner over all the grain from which starch converts at all, and in an hour; from memory."""


def balance(bitterness: Quantity, gravity: Quantity, unsure: float = 0.2) -> Result:
    """Bitterness against sweetness: IBU for each point of original gravity.

    bitterness: 0.1 to 500 ibu, true within the share `unsure`. gravity: original, 1.002 to 1.2 sg. Gives
    `balance`, a bare number. Source daniels.
    """
    ibu = read("bitterness", bitterness).number
    inputs = [Given(ibu, unsure * ibu, "bitterness", "ibu"), read("original gravity", gravity, "wort")]
    return work(
        lambda bitter, sg: (bitter / ((sg - 1) * 1000),), inputs, {"balance": Output("")},
        formula="balance = IBU / ((original gravity - 1) x 1000)", sources=("daniels", "common-practice"),
        notes=[f"From {BALANCED[0]} to {BALANCED[1]} most find a beer balanced; less is malty, more is bitter."],
    )


def scale(volume: Quantity, target: Quantity) -> Result:
    """By what to multiply every amount of a recipe for another volume.

    volume, target: finished volumes, 0.01 to 2000 liter. Gives `factor`. Extract and alpha acids go with the
    volume: arithmetic.
    """
    inputs = [wanted("volume", volume), wanted("target", target, "volume")]
    return work(
        lambda old, new: (new / old,), inputs, {"factor": Output("")},
        formula="each amount x new volume / old volume", sources=("common-practice",),
        notes=["What boils away does not grow with the batch: reckon the water anew.",
               "Bitterness stays only if the pot boils the same share of the batch."],
    )


def enzymes(grains: Sequence[Fermentable]) -> Result:
    """Whether the grain of a mash holds enzyme enough for its starch.

    grains: with masses; one without a known power counts as none, which is the safe side. Gives
    `diastatic_power` in lintner, the mean by weight. Raises Impossible without grain. Common-practice.
    """
    if not grains:
        raise Impossible("Enzymes without grain", "no grain is named", "say the grains of the mash")
    masses = [mass_of(grain) for grain in grains]
    powers = [
        read(f"power of {grain.name}", Q(grain.diastatic or 0.0, "lintner"), "diastatic power") for grain in grains
    ]
    count = len(grains)

    def mean(*rest: float) -> tuple[float]:
        return (sum(m * power for m, power in zip(rest[:count], rest[count:], strict=True)) / sum(rest[:count]),)

    unknown = [grain.name for grain in grains if grain.diastatic is None]
    return work(
        mean, [*masses, *powers], {"diastatic_power": Output("lintner")},
        formula="mean power = sum of weight x degrees Lintner / sum of weight",
        sources=("from-memory", "common-practice"),
        notes=[f"From {CONVERTS:.0f} degrees Lintner starch converts, from {COMFORTABLE:.0f} within the hour.",
               *(f"No power of {name} is known; it counts as none." for name in unknown)],
    )
