"""What wort weighs: the physics of extract in water, in plain numbers, on which the other sums rest.

Inside the engine gravity is SG at 20/20 degrees Celsius as hydrometers show it, extract is degrees Plato or a
fraction of the mass, temperature is in Celsius. Wort sugars are taken for sucrose, as every table of the
trade does.
"""

from __future__ import annotations

from assistant.engine.roots import solve

POINTS_PER_POUND_GALLON = 3.785411784 / 0.45359237
"""Liters per kilogram in one gallon per pound; exact."""


def _cubic(sg: float) -> float:
    """The cubic fitted to the ASBC table of extract; source asbc-table."""
    return ((135.997 * sg - 630.272) * sg + 1111.14) * sg - 616.868


def plato_of(sg: float) -> float:
    """Extract in degrees Plato of wort of that gravity; to 0.01 up to 15, to 0.03 up to 25.

    The cubic passes 0.003 below zero at 1.000, which would make water owe extract.
    """
    plato = _cubic(sg)
    return 0.0 if sg >= 1 and plato < 0 else plato


def sg_of(plato: float) -> float:
    """Gravity of wort of that extract in degrees Plato; the other way round of `plato_of`."""
    return solve(lambda sg: _cubic(sg) - plato, 0.8, 1.6)


def water_density(celsius: float) -> float:
    """Density of water in kg/m3, 0 to 100 degrees Celsius; source icumsa."""
    t = celsius
    top = 999.83952 + t * (16.952577 + t * (-7.9905127e-3 + t * (-46.241757e-6 + t * (
        105.84601e-9 - t * 281.03006e-12))))
    return top / (1 + 16.887236e-3 * t)


_BY_EXTRACT = (
    (385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890),
    (-46.2720, -7.1720, 1.1597, 5.1126, 17.5254),
    (59.7712, 7.2491, 12.3630, -35.4791),
    (-47.2207, -21.6977, 27.6301),
    (18.3184, 12.3081),
)
"""Row: power of (temperature - 20)/100; column: power of the mass fraction, from the first on; source
icumsa."""


def density(fraction: float, celsius: float) -> float:
    """Density in kg/m3 of a sucrose solution of that mass fraction, 0 to 100 degrees Celsius; source
    icumsa."""
    warm = (celsius - 20) / 100
    total = 0.0
    for row in reversed(_BY_EXTRACT):
        inner = 0.0
        for coefficient in reversed(row):
            inner = (inner + coefficient) * fraction
        total = total * warm + inner
    return water_density(celsius) + total


WATER = water_density(20) / 1000
"""Kilograms in a liter of water at 20 degrees Celsius."""


def mass_of(liters: float, sg: float) -> float:
    """Kilograms of wort in that volume at 20 degrees Celsius."""
    return liters * sg * WATER


def extract_per_liter(sg: float) -> float:
    """Kilograms of extract in a liter of wort of that gravity."""
    return sg * WATER * plato_of(sg) / 100


def sg_from_extract(kilograms_per_liter: float) -> float:
    """Gravity of wort that holds so much extract in a liter; the other way round of `extract_per_liter`."""
    return solve(lambda sg: sg * WATER * _cubic(sg) / 100 - kilograms_per_liter, 0.8, 1.6)


def extract_share(points: float) -> float:
    """Kilograms of extract in a kilogram of something that yields so many points per pound in a gallon.

    That yield means: one pound made up to one US gallon of wort raises the gravity by so many thousandths.
    """
    return extract_per_liter(1 + points / 1000) * POINTS_PER_POUND_GALLON


GLASS = 25e-6
"""Cubical expansion of hydrometer glass per degree Celsius; exact by convention, source iso-1768."""


def reading_at_calibration(reading: float, celsius: float, calibration: float) -> float:
    """What a hydrometer would show at its own temperature, had the same wort that temperature.

    The glass grows and so displaces more; then the solution that has the density found is followed back along
    its own curve.
    """
    found = reading * water_density(calibration) / (1 + GLASS * (celsius - calibration))
    fraction = solve(lambda share: density(share, celsius) - found, -0.15, 0.7)
    return density(fraction, calibration) / water_density(calibration)
