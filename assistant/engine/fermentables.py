"""What extract, sugar and grain give to the wort, and how much of them a gravity takes.

A yield in points per pound per gallon is taken at its word: so much extract that one pound made up to one US
gallon has that gravity. From there on extract is conserved by mass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from assistant.engine import wort
from assistant.engine.errors import Impossible, NoSuch, NotKnown
from assistant.engine.inputs import Given, read
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, in_manner_of, unit_of

MASHED = 0.85
"""Share of its greatest yield a grain gives in a good mash; source palmer, table 9."""

STEEPED_STARCH = 0.19
"""The same for steeped grain without a printed yield: the mean of the two starchy malts in that table."""

POUND_GALLON = wort.POINTS_PER_POUND_GALLON


@dataclass(frozen=True, slots=True)
class Fermentable:
    """A line of the grain bill."""

    name: str
    amount: Quantity | None
    """A mass; None where only the sort of thing matters."""
    yield_points: float | None
    """All the extract there is in it, in points per pound per US gallon."""
    use: str = "dissolved"
    """`dissolved`, `steeped` or `mashed`."""
    steeped_points: float | None = None
    color: float | None = None
    """Degrees Lovibond."""
    diastatic: float | None = None
    """Enzyme power in degrees Lintner; none where nothing is known."""
    fermentable: float | None = None
    """Percent of its extract that yeast takes, where that is not for the strain to say."""


def _points(part: Fermentable, points: float) -> Given:
    return read(f"yield of {part.name}", Q(points, ""), "points")


def _steeped(part: Fermentable, most: float) -> Given:
    if part.steeped_points is None:
        return Given(STEEPED_STARCH * most, 0.9 * STEEPED_STARCH * most, f"yield of {part.name}")
    return _points(part, part.steeped_points)


def _mashed(part: Fermentable, most: float) -> Given:
    return Given(MASHED * most, 0.1 * most, f"yield of {part.name}")


_USES = {"dissolved": _points, "steeped": _steeped, "mashed": _mashed}


def points_of(part: Fermentable) -> Given:
    """Points per pound per gallon it gives in the way it is used, and how far they may be off.

    Raises NotKnown without a yield, NoSuch for an unknown use.
    """
    if part.use not in _USES:
        raise NoSuch("way to use a fermentable", part.use, _USES)
    if part.yield_points is None:
        raise NotKnown("yield", part.name)
    return _USES[part.use](part, _points(part, part.yield_points).number)


def mass_of(part: Fermentable) -> Given:
    """Its amount in kilograms. Raises NotKnown without one, WrongKind when it is no mass."""
    if part.amount is None:
        raise NotKnown("amount", part.name)
    return read(f"amount of {part.name}", part.amount, "mass")


def extract_in(kilograms: Sequence[float], points: Sequence[float]) -> float:
    """Kilograms of extract that so much of each gives."""
    return sum(mass * wort.extract_share(each) for mass, each in zip(kilograms, points, strict=True))


def points_in(liters: float, kilograms: Sequence[float], points: Sequence[float]) -> float:
    """Thousandths of gravity by the points-times-volume rule. Raises Impossible when that would be syrup."""
    total = sum(mass * each for mass, each in zip(kilograms, points, strict=True)) * POUND_GALLON / liters
    if total > 250:
        raise Impossible(f"A wort of {1 + total / 1000:.3f}", "that is syrup", "check amounts and volume")
    return total


def gravity_from(parts: Sequence[Fermentable], volume: Quantity) -> Result:
    """The gravity when all of that has gone into wort of that volume: the original gravity of a recipe.

    parts: at least one, with masses. volume: of the finished wort at 20 degC, 0.01 to 2000 liter. Gives
    `gravity` in sg. Raises NotKnown for a part without yield, Impossible when it would be syrup. Sources
    palmer, asbc-table.
    """
    if not parts:
        raise Impossible("The gravity of nothing", "no fermentable is named", "name extract, sugar or grain")
    count = len(parts)
    masses, yields = [mass_of(part) for part in parts], [points_of(part) for part in parts]
    inputs = [read("volume", volume), *masses, *yields]
    points = points_in(inputs[0].number, [each.number for each in masses], [each.number for each in yields])
    notes = [f"Points times volume gives {1 + points / 1000:.4f}."]
    notes += [
        f"No steeped yield of {part.name} is printed; a fifth of its greatest is counted, which is a guess."
        for part in parts if part.use == "steeped" and part.steeped_points is None
    ]
    notes += _if_mashed(parts, inputs[0].number)
    return work(
        lambda v, *rest: (wort.sg_from_extract(extract_in(rest[:count], rest[count:]) / v),), inputs,
        {"gravity": Output("sg")},
        formula="extract = sum of weight x extract in a pound of each, by its points per pound per gallon; "
        "extract / volume, then read as gravity",
        sources=("palmer", "asbc-table"), notes=notes,
    )


def _if_mashed(parts: Sequence[Fermentable], liters: float) -> list[str]:
    """What the steeped grain would bring in a mash; nothing where none is steeped."""
    mashed = [replace(part, use="mashed") if part.use == "steeped" else part for part in parts]
    if mashed == list(parts):
        return []
    extract = extract_in([mass_of(part).number for part in mashed], [points_of(part).number for part in mashed])
    return [f"Mashed instead of steeped, the grain would bring it to {wort.sg_from_extract(extract / liters):.4f}."]


original_gravity = gravity_from
"""The gravity a whole recipe should give is the same sum."""


def extract_for(
    target: Quantity, volume: Quantity, fermentable: Fermentable, gravity: Quantity | None = None
) -> Result:
    """How much of a fermentable brings a volume to a gravity.

    target: 1.002 to 1.2 sg. volume: of the finished wort, 0.01 to 2000 liter. gravity: what the wort has
    already, water when left out. Gives `amount` in pound or kilogram. Raises Impossible when the wort is
    there already, NotKnown without a yield. Sources palmer, asbc-table.
    """
    aim, start = read("target", target, "wort").number, Given(1.0)
    if gravity is not None:
        start = read("gravity", gravity)
    if aim <= start.number:
        raise Impossible(f"Going up to {aim:.4f}", f"it is at {start.number:.4f} already",
                         "dilute it, or name a higher target")
    inputs = [read("volume", volume), points_of(fermentable), start]

    def amount(liters: float, points: float, sg: float) -> tuple[float]:
        wanted = wort.extract_per_liter(aim) - wort.extract_per_liter(sg)
        return (wanted * liters / wort.extract_share(points),)

    by_points = (aim - start.number) * 1000 * inputs[0].number / (inputs[1].number * POUND_GALLON)
    shown = in_manner_of(volume, "pound", "kilogram")
    told = Q(by_points, "kilogram").to(shown)
    return work(
        amount, inputs, {"amount": Output("kilogram", shown)},
        formula="amount = extract the volume wants / extract in a pound, by its points per pound per gallon",
        sources=("palmer", "asbc-table"),
        notes=[f"Points times volume gives {told.magnitude:.3g} {shown}."],
    )


def substitute(amount: Quantity, source: Fermentable, target: Fermentable) -> Result:
    """How much of one fermentable gives the extract of an amount of another.

    amount: a mass. Gives `amount` in the unit of the amount. Raises NotKnown without a yield. Source palmer.
    """
    inputs = [read("amount", amount, "mass"), points_of(source), points_of(target)]
    return work(
        lambda m, s, t: (m * wort.extract_share(s) / wort.extract_share(t),), inputs,
        {"amount": Output("kilogram", unit_of(amount))},
        formula="amount x extract in a pound of the one / extract in a pound of the other",
        sources=("palmer",),
        notes=["Equal extract: color, flavor and fermentability may differ."],
    )


REAL = 0.8192
"""Real over apparent attenuation; source balling."""

SCATTER = 3.0
"""Half-width in percent of what a strain ferments of malt where no range is known: common practice, no source."""


def attenuation_of(parts: Sequence[Fermentable], malt: Quantity, half_width: float = SCATTER) -> Result:
    """What yeast will ferment of a whole recipe, sugars and lactose counted for what they are.

    parts: with masses. malt: apparent attenuation of malt wort, 0 to 120 percent, true within half_width.
    Gives `attenuation` in percent. Sources balling, from-memory for what is fermentable of each sugar.
    """
    masses, yields = [mass_of(part) for part in parts], [points_of(part) for part in parts]
    strain = Given(read("attenuation", malt).number, half_width, "attenuation of malt", "percent")
    fixed = [part.fermentable for part in parts]
    count = len(parts)

    def apparent(percent: float, *rest: float) -> tuple[float]:
        extracts = [
            mass * wort.extract_share(points)
            for mass, points in zip(rest[:count], rest[count:], strict=True)
        ]
        taken = [percent * REAL if share is None else share for share in fixed]
        gone = sum(extract * share for extract, share in zip(extracts, taken, strict=True))
        return (gone / sum(extracts) / REAL,)

    return work(
        apparent, [strain, *masses, *yields], {"attenuation": Output("percent")},
        formula="real = sum of extract x share fermented / sum of extract; apparent = real / 0.8192",
        sources=("balling", "from-memory"),
    )
