"""Turns a rising or falling curve around: where does it reach zero?"""

from __future__ import annotations

from collections.abc import Callable


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
