"""At what pressure water boils at what temperature: the saturation line of the water and steam standard."""

from __future__ import annotations

from math import sqrt

_N = (
    0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
    0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
)
"""Coefficients of the saturation equation, exact; source iapws (industrial formulation 1997, region 4)."""

ZERO_CELSIUS = 273.15

ATMOSPHERE = 101.325
"""Pressure of the standard atmosphere in kPa; exact."""


def vapor_pressure(celsius: float) -> float:
    """Pressure in kPa at which water boils at that temperature, 0 to 370 degrees Celsius; source iapws."""
    kelvin = celsius + ZERO_CELSIUS
    theta = kelvin + _N[8] / (kelvin - _N[9])
    a = theta * theta + _N[0] * theta + _N[1]
    b = _N[2] * theta * theta + _N[3] * theta + _N[4]
    c = _N[5] * theta * theta + _N[6] * theta + _N[7]
    return float((2 * c / (-b + sqrt(b * b - 4 * a * c))) ** 4 * 1000)


def boiling_temperature(kilopascal: float) -> float:
    """Temperature in degrees Celsius at which water boils under that pressure, 0.7 to 22000 kPa; source
    iapws."""
    beta = (kilopascal / 1000) ** 0.25
    e = beta * beta + _N[2] * beta + _N[5]
    f = _N[0] * beta * beta + _N[3] * beta + _N[6]
    g = _N[1] * beta * beta + _N[4] * beta + _N[7]
    d = 2 * g / (-f - sqrt(f * f - 4 * e * g))
    return float((_N[9] + d - sqrt((_N[9] + d) ** 2 - 4 * (_N[8] + _N[9] * d))) / 2 - ZERO_CELSIUS)
