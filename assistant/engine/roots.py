"""Turns sums around: where does a curve reach zero, and how much of each thing makes up what is wanted?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations


def solve(curve: Callable[[float], float], low: float, high: float, within: float = 1e-11) -> float:
    """Where the curve crosses zero between low and high, by false position with the Illinois step.

    Raises ValueError when the curve has the same sign at both ends: the caller asked outside its range.
    """
    at_low, at_high = curve(low), curve(high)
    if at_low * at_high > 0:
        raise ValueError(f"no crossing between {low} and {high}")
    guess, kept = low, 0
    for _ in range(100):
        if at_high == at_low:
            return guess
        last, guess = guess, (low * at_high - high * at_low) / (at_high - at_low)
        value = curve(guess)
        if value == 0 or abs(guess - last) < within:
            return guess
        if value * at_high > 0:
            high, at_high = guess, value
            at_low, kept = (at_low / 2, -1) if kept == -1 else (at_low, -1)
        else:
            low, at_low = guess, value
            at_high, kept = (at_high / 2, 1) if kept == 1 else (at_high, 1)
    return guess


NEARLY = 1e-9
"""Share by which one mixture must come nearer than another that takes fewer things."""


def least_squares(parts: Sequence[Sequence[float]], wanted: Sequence[float]) -> list[float]:
    """How much of each thing, none below zero, comes nearest to what is wanted; of equals, the fewest things.

    parts: for each thing wanted, what one of every thing brings of it. Tries every choice, so for a handful only.
    """
    things = range(len(parts[0]))
    best, least = [0.0 for _ in things], sum(each * each for each in wanted)
    slack = NEARLY * max(least, 1.0)
    for many in range(1, len(parts[0]) + 1):
        for chosen in combinations(things, many):
            amounts = _fitted([[row[thing] for thing in chosen] for row in parts], wanted)
            if amounts is None or min(amounts) < 0:
                continue
            mixed = dict(zip(chosen, amounts, strict=True))
            made = [sum(row[thing] * amount for thing, amount in mixed.items()) for row in parts]
            off = sum((got - want) ** 2 for got, want in zip(made, wanted, strict=True))
            if off < least - slack:
                best, least = [mixed.get(thing, 0.0) for thing in things], off
    return best


def _fitted(rows: Sequence[Sequence[float]], wanted: Sequence[float]) -> list[float] | None:
    """The amounts that come nearest, of whatever sign, by the normal equations; None where they are not settled."""
    many = len(rows[0])
    matrix = [
        [sum(row[i] * row[j] for row in rows) for j in range(many)]
        + [sum(row[i] * want for row, want in zip(rows, wanted, strict=True))]
        for i in range(many)
    ]
    for i in range(many):
        pivot = max(range(i, many), key=lambda row: abs(matrix[row][i]))
        matrix[i], matrix[pivot] = matrix[pivot], matrix[i]
        if abs(matrix[i][i]) < 1e-12:
            return None
        for row in range(many):
            if row != i:
                factor = matrix[row][i] / matrix[i][i]
                matrix[row] = [a - factor * b for a, b in zip(matrix[row], matrix[i], strict=True)]
    return [matrix[i][many] / matrix[i][i] for i in range(many)]
