"""Molar masses, from which salts, priming sugars and metabisulfite are reckoned."""

from __future__ import annotations

ATOMS = {
    "H": 1.008, "C": 12.011, "O": 15.999, "Na": 22.98976928, "Mg": 24.305, "S": 32.06, "Cl": 35.45,
    "K": 39.0983, "Ca": 40.078,
}
"""Standard atomic weights, grams a mole; source periodic-table."""


def molar_mass(**atoms: int) -> float:
    """Grams a mole of what holds so many of each atom: `molar_mass(H=2, O=1)`."""
    return sum(ATOMS[symbol] * count for symbol, count in atoms.items())


CO2 = molar_mass(C=1, O=2)
WATER = molar_mass(H=2, O=1)
