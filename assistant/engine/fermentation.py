"""Fermentation by its readings: whether the gravity stands still, when it will be done, whether it is stuck.

The forecast is Bayesian over a grid. The curve of a fermentation is a logistic or a Gompertz one, each as likely; where
it ends is what the yeast should do, or, less likely, anywhere above; how fast it goes is unknown within wide limits.
Every reading weighs these against each other, and what they say of the end is the forecast.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import exp, log

from assistant.engine.errors import Impossible
from assistant.engine.inputs import read
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity

ALIKE = 0.0015
"""Readings that differ by less stand still, for a hydrometer shows half a thousandth at best."""

READING_ERROR = 0.0007
"""Standard deviation of a hydrometer read to a thousandth."""

DAYS_STILL = 2.0
"""Two equal readings this many days apart mean that the gravity stands still: common practice, no source."""

SLACK = 0.25
"""Days: a reading a few hours early counts."""

ABOVE_EXPECTED = 0.006
"""A gravity that stands still this far above where it should end is stuck rather than done."""

NEAR_END = 0.001
"""Done is within this of the end."""

HALF_TIME = {"ale": 1.7, "hybrid": 2.5, "lager": 4.5}
"""Days in which half of what will ferment has: usual middles, common practice, no source."""

HALF_TIME_SCATTER = 0.6
"""Standard deviation of its natural logarithm: half to twice that are both usual."""

STICKS = 0.15
"""How likely a fermentation ends anywhere above where it should, before any reading says so."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A gravity, and the days since the yeast went in."""

    days: float
    gravity: Quantity


@dataclass(frozen=True, slots=True)
class Standstill:
    """The last readings that agree with one another."""

    readings: int
    days: float
    """From the first of them to the last."""
    gravity: float
    """The last."""

    def __str__(self) -> str:
        return f"{self.gravity:.4f} in {self.readings} reading{'' if self.readings == 1 else 's'} over {self.days:.1f} days"

    @property
    def long_enough(self) -> bool:
        return self.readings > 1 and self.days >= DAYS_STILL - SLACK


def standstill(readings: Sequence[Reading]) -> Standstill:
    """How long the gravity has stood still by the last readings; at least one must be given."""
    last = readings[-1]
    sg = read("gravity", last.gravity).number
    first, count = last, 0
    for reading in reversed(readings):
        if abs(reading.gravity.m_as("sg") - sg) >= ALIKE:
            break
        first, count = reading, count + 1
    return Standstill(count, last.days - first.days, sg)


@dataclass(frozen=True, slots=True)
class _Curve:
    """One way a fermentation may go."""

    gompertz: bool
    half: float
    """Days to the middle of the curve."""
    sharp: float

    def _raw(self, days: float) -> float:
        lag = self.sharp * (days / self.half - 1)
        if self.gompertz:
            return exp(-log(2) * exp(-lag)) if lag > -6 else 0.0
        return 1 / (1 + exp(-lag))

    def share(self, days: float) -> float:
        """Of the whole drop, what is done by then; 0 when the yeast goes in."""
        start = self._raw(0)
        return (self._raw(days) - start) / (1 - start)

    def days(self, share: float) -> float:
        """When that share is done."""
        start = self._raw(0)
        raw = start + share * (1 - start)
        lag = -log(-log(raw) / log(2)) if self.gompertz else log(raw / (1 - raw))
        return self.half * (1 + lag / self.sharp)


_HALVES = [0.4 * 1.2**step for step in range(22)]
_SHARPS = [0.7, 1.0, 1.5, 2.2, 3.2, 4.6]
_ENDS = [step * 0.001 for step in range(-6, 7)]


def _curves(usual: float) -> Iterator[tuple[_Curve, float]]:
    """Every curve of the grid and how likely it is beforehand, as a logarithm."""
    for half in _HALVES:
        weight = -((log(half / usual) / HALF_TIME_SCATTER) ** 2) / 2
        for sharp in _SHARPS:
            for gompertz in (False, True):
                yield _Curve(gompertz, half, sharp), weight


def _ends(original: float, expected: float, unsure: float) -> list[tuple[float, float]]:
    """Every end of the grid and how likely it is beforehand, as a logarithm."""
    proper = [expected + step for step in _ENDS]
    high = [
        expected + 0.008 + 0.002 * step
        for step in range(int(max(0.0, original - expected - 0.012) / 0.002))
    ]
    weights = [exp(-(((end - expected) / unsure) ** 2) / 2) for end in proper]
    likely = [log((1 - STICKS) * weight / sum(weights)) for weight in weights]
    rare = [log(STICKS / len(high))] * len(high) if high else []
    return [*zip(proper, likely, strict=True), *zip(high, rare, strict=True)]


@dataclass(frozen=True, slots=True)
class _Chance:
    weight: float
    end: float
    done: float
    """Days since the yeast went in."""


def _chances(
    readings: Sequence[tuple[float, float]], original: float, expected: float, unsure: float, usual: float
) -> list[_Chance]:
    found = []
    ends = _ends(original, expected, unsure)
    for curve, beforehand in _curves(usual):
        shares = [(curve.share(days), sg) for days, sg in readings]
        for end, likely in ends:
            drop = original - end
            if drop <= 2 * NEAR_END:
                continue
            off = sum(((original - drop * share - sg) / READING_ERROR) ** 2 for share, sg in shares)
            found.append(_Chance(beforehand + likely - off / 2, end, curve.days(1 - NEAR_END / drop)))
    best = max(chance.weight for chance in found)
    return [_Chance(exp(each.weight - best), each.end, each.done) for each in found if each.weight > best - 12]


def _quantile(pairs: Sequence[tuple[float, float]], share: float) -> float:
    """The value below which that share of the weight lies; pairs of value and weight."""
    ordered = sorted(pairs)
    total = sum(weight for _, weight in ordered)
    passed = 0.0
    for value, weight in ordered:
        passed += weight
        if passed >= share * total:
            return value
    return ordered[-1][0]


def forecast(
    readings: Sequence[Reading], original: Quantity, expected: Quantity, now: Quantity, kind: str = "ale",
    unsure: float = 0.003,
) -> Result:
    """When fermentation will be done, and where.

    readings: since the yeast went in, at least one. original, expected: 1.002 to 1.2 and 0.98 to 1.2 sg, the latter
    true within `unsure`. now: days since the yeast went in. kind: ale, hybrid or lager. Gives `duration` in day from
    now (0 when past), `gravity` where it ends, and `stuck` in percent: how likely it ends well above what is expected.
    The spread holds four of five cases. Raises Impossible without a reading or when one lies above the original.
    """
    start, end = read("original gravity", original, "wort").number, read("final gravity", expected, "gravity").number
    points = [(reading.days, read("gravity", reading.gravity).number) for reading in readings]
    if not points:
        raise Impossible("A forecast without readings", "the pace shows only in them",
                         "take a gravity now, and another tomorrow")
    if max(sg for _, sg in points) > start + 3 * READING_ERROR:
        raise Impossible("A reading above the original gravity", "it should only fall", "check the readings")
    chances = _chances(points, start, end, unsure, HALF_TIME[kind])
    total = sum(chance.weight for chance in chances)
    day = now.m_as("day")
    low, middle, high = (
        _quantile([(chance.done, chance.weight) for chance in chances], share) for share in (0.1, 0.5, 0.9)
    )
    final = sum(chance.weight * chance.end for chance in chances) / total
    ends = [(chance.end, chance.weight) for chance in chances]
    bottom, top = (_quantile(ends, share) for share in (0.1, 0.9))
    stuck = 100 * sum(chance.weight for chance in chances if chance.end > end + ABOVE_EXPECTED) / total
    return Result(
        values={
            "duration": Q(max(0.0, middle - day), "day"), "gravity": Q(final, "sg"), "stuck": Q(stuck, "percent"),
        },
        formula="gravity = end + (original - end) x (1 - share done), share by a logistic or a Gompertz curve; each curve "
        "weighed by how well it meets the readings",
        sources=("common-practice", "from-memory"),
        spread={
            "duration": Q(max(high - low, 0.5) / 2, "day"),
            "gravity": Q(max((top - bottom) / 2, READING_ERROR), "sg"),
        },
        notes=(f"Four in five of the curves that fit are done between day {low:.0f} and day {high:.0f}.",),
    )

