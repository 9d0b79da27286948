"""The sums on water and cleaning: sanitizer, chlorine, salts, what a kind of water wants."""

from __future__ import annotations

from assistant.brew import Brew, Known
from assistant.engine import cleaning, water
from assistant.engine.chemistry import molar_mass
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity, unit_of
from assistant.handlers.sums.need import AMOUNT, VOLUME, Need, Sum, Values, named, usual
from assistant.wording import listed, span
from assistant.wording import quantity as show

IONS = ("magnesium", "sodium", "sulfate", "chloride", "bicarbonate", "calcium")
"""The last one is asked for where none is said."""


def _spoons(dose: Quantity) -> str:
    """A small volume as one measures it."""
    return f"{show(dose)} ({show(dose.to('milliliter'))})" if unit_of(dose) == "fluid_ounce" else show(dose)


def _kept_wet(values: Values, given: Values) -> str:
    rinse = cleaning.must_be_rinsed(given["ingredient"], values.get("concentration"))
    return f"{span(values['contact'].m_as('minute'))} wet, {'then rinse' if rinse else 'no rinse'}"


def _aims(given: Values) -> dict[str, Quantity]:
    return {ion: given[ion] for ion in IONS if ion in given}


def _only_salt(brew: Brew, given: Values) -> Known | None:
    """The salt for a single ion, where just one of the usual ones brings it."""
    aims = _aims(given)
    salts = [salt for salt in water.BALANCING if aims.keys() <= water.SALTS[salt].gives.keys()]
    return Known(salts[0], "default: the only usual salt that brings it") if len(salts) == 1 == len(aims) else None


def _salts(brew: Brew, given: Values) -> Result:
    aims = _aims(given)
    if "ingredient" in given and len(aims) == 1:
        ((ion, aim),) = aims.items()
        present = given.get("present", water.NONE)
        return water.salt_for(ion, aim, given["ingredient"], given["volume"], present)
    return water.salts_for(aims, given["volume"])


def _salts_told(values: Values, given: Values) -> str:
    aims = listed([f"{show(aim)} {ion}" for ion, aim in _aims(given).items()])
    if "amount" in values:
        return f"{show(values['amount'])} of {named(given)} brings {show(given['volume'])} to {aims}."
    salts = [f"{show(grams)} {name.replace('_', ' ')}" for name, grams in values.items() if unit_of(grams) == "gram"]
    return f"{listed(salts)} for {show(given['volume'])} at {aims}."


def _come_to(values: Values, given: Values) -> tuple[str, ...]:
    ions = [f"{show(value)} {ion}" for ion, value in values.items() if unit_of(value) == "ppm"]
    return (f"{'It adds' if 'amount' in values else 'That makes'} {listed(ions)}.",)


def _metabisulfite(given: Values) -> str:
    return f"{'sodium' if 'sodium' in str(given.get('ingredient', '')) else 'potassium'} metabisulfite"


def _as_alkalinity(brew: Brew, given: Values) -> Known | None:
    """Bicarbonate counted as calcium carbonate."""
    if "bicarbonate" not in given:
        return None
    share = water.CHALK / 2 / molar_mass(H=1, C=1, O=3)
    return Known(Q(given["bicarbonate"].m_as("ppm") * share, "ppm"), "said, as bicarbonate")


def _suits(values: Values, given: Values) -> str:
    kind, method = given["kind"], given["method"].replace("_", " ")
    if not water.KINDS[kind].fit:
        return f"0 gallons of {kind} water should go into beer: it is full of sodium."
    salt, dose = values["salt"], values["dose"]
    wants = [f"{show(salt)} of calcium chloride"] if salt.magnitude else []
    wants += [f"{show(dose)} of Campden powder"] if dose.magnitude else []
    if not wants:
        return f"0 g of salts needed: {kind} water is fine for {method} as it is."
    return f"{listed(wants)} makes {show(given['volume'])} of {kind} water fit for {method}."


SUMS: dict[str, Sum] = {
    "ask_sanitizer": Sum(
        (
            Need("ingredient", "sanitizer", "Which sanitizer?"),
            Need("volume", "water", "How much water?"),
            Need("strength", "strength by the label"),
            Need("target", "wanted"),
        ),
        lambda brew, g: cleaning.sanitizer(g["ingredient"], g["volume"], g.get("strength"), g.get("target")),
        lambda v, g: (
            f"{_spoons(v['dose'])} of {named(g)} in {show(g['volume'])}: {_kept_wet(v, g)}; the label decides."
        ),
    ),
    "ask_sanitizer_strength": Sum(
        (
            Need("ingredient", "sanitizer", "Of which sanitizer?"),
            AMOUNT,
            Need("volume", "water", "In how much water?"),
            Need("strength", "strength by the label"),
        ),
        lambda brew, g: cleaning.concentration(g["ingredient"], g["amount"], g["volume"], g.get("strength")),
        lambda v, g: (
            f"{show(v['concentration'])} with {show(g['amount'])} of {named(g)} in {show(g['volume'])}:"
            f" {_kept_wet(v, g)}; the label decides."
        ),
    ),
    "ask_chlorine": Sum(
        (
            Need("volume", "water", "How much water?", Brew.volume),
            Need("level", "chlorine", "", None, usual(3, "ppm", "much for tap water; the waterworks tell yours")),
            Need("ingredient", "salt", "", None, Known("potassium metabisulfite", "default: the usual one")),
        ),
        lambda brew, g: water.chlorine(g["volume"], g["level"], _metabisulfite(g)),
        lambda v, g: (
            f"{show(v['dose'])} of {_metabisulfite(g)}, or {show(v['tablets'])}, for {show(g['volume'])}"
            f" at {show(g['level'])} chlorine or chloramine."
        ),
    ),
    "ask_mineral": Sum(
        (Need("ingredient", "salt", "Which salt?"), AMOUNT, VOLUME),
        lambda brew, g: water.mineral(g["ingredient"], g["amount"], g["volume"]),
        lambda v, g: (
            f"{listed([f'{show(value)} {ion}' for ion, value in v.items()])} from {show(g['amount'])} of {named(g)} in {show(g['volume'])}."
        ),
    ),
    "ask_salts": Sum(
        (
            *(Need(ion, ion) for ion in IONS[:-1]),
            Need(IONS[-1], IONS[-1], "How much calcium, in ppm?", asked_if=lambda g: not _aims(g)),
            Need("ingredient", "salt", "With which salt?", follows=_only_salt, asked_if=lambda g: len(_aims(g)) == 1),
            VOLUME,
            Need("present", "in the water already"),
        ),
        _salts,
        _salts_told,
        _come_to,
    ),
    "ask_residual_alkalinity": Sum(
        (
            Need("bicarbonate", "bicarbonate"),
            Need("alkalinity", "alkalinity", "What alkalinity, in ppm as calcium carbonate?", follows=_as_alkalinity),
            Need("calcium", "calcium", "How much calcium, in ppm?"),
            Need("magnesium", "magnesium", "", None, usual(5, "ppm", "little is usual")),
        ),
        lambda brew, g: water.residual_alkalinity(g["alkalinity"], g["calcium"], g["magnesium"]),
        lambda v, g: f"{show(v['alkalinity'])} residual alkalinity as calcium carbonate.",
        lambda v, g: (_grist_for(v["alkalinity"].magnitude),),
    ),
    "ask_water": Sum(
        (
            Need("kind", "water", "What water: tap, spring or distilled?"),
            Need("method", "way of brewing", "", None, Known("extract", "default: extract with steeped grain")),
            Need("volume", "volume", "", Brew.volume, usual(5, "gallon", "a usual batch")),
        ),
        lambda brew, g: water.suitability(g["kind"], g["method"], g["volume"]),
        _suits,
        lambda v, g: (water.KINDS[g["kind"]].note, water.METHODS[g["method"]][1]),
    ),
}


def _grist_for(alkalinity: float) -> str:
    """What is mashed with such water; common practice, no source."""
    if alkalinity < 0:
        return "Soft on the mash: good for pale beer. Extract does not mind."
    return "Good for amber beer in a mash." if alkalinity <= 100 else "For a mash of dark grain; pale grain wants less."
