"""No sum breaks anywhere within the ranges it promises: it answers, or it refuses in words."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.engine import (
    alcohol,
    bitterness,
    cleaning,
    fermentables,
    gravity,
    heat,
    mash,
    packaging,
    recipe,
    volumes,
    water,
    yeast,
)
from assistant.engine.errors import EngineError
from assistant.engine.fermentables import Fermentable
from assistant.engine.inputs import KINDS
from assistant.engine.result import Result
from assistant.engine.units import Q

KIND_OF = {
    "target": "gravity", "original": "gravity", "final": "gravity", "to": "temperature",
    "level": "concentration",
    "hot_volume": "volume", "cold_volume": "volume or none", "final_volume": "volume", "size": "volume",
    "hot_temperature": "temperature", "cold_temperature": "temperature", "start": "temperature",
    "ice": "mass or none", "ice_temperature": "ice temperature", "grain": "mass or none", "water": "volume",
    "grain_temperature": "air temperature", "infusion_temperature": "temperature", "boil_length": "duration", "trub_loss": "volume or none",
    "topup": "volume or none", "before": "volume", "after": "volume", "before_temperature": "temperature",
    "after_temperature": "temperature", "hops": "mass or none", "hop_absorption": "hop absorption",
    "low": "temperature", "high": "temperature", "alkalinity": "concentration", "present": "concentration",
    "boils_at": "boiling", "bottle": "volume", "have": "bottles", "have_size": "volume", "alpha": "alpha",
    "other": "alpha", "warmest": "cellar temperature",
    "calcium": "concentration", "magnesium": "concentration", "amount": "mass",
}
"""What kind of input stands under a name that is not itself a kind."""

SUGAR = Fermentable("table sugar", None, 46)
POT = heat.Body("pot", Q(8, "pound"), Q(60, "degF"), "steel")
MALT = Fermentable("malt", None, 37, "steeped")

ANYTHING: list[tuple[Callable[..., Result], dict[str, str], dict[str, object]]] = [
    (gravity.correct_reading, {}, {}), (gravity.dilution, {}, {}), (gravity.topup_gravity, {}, {}),
    (gravity.final_gravity, {}, {}),
    (gravity.refractometer, {"original": "brix", "final": "brix"}, {"correction": 1.04}),
    (alcohol.abv, {}, {}), (alcohol.attenuation, {}, {}), (alcohol.calories, {}, {}),
    (heat.mix_temperature, {}, {"further": [(Q(2, "liter"), Q(30, "degC"))], "bodies": [POT]}),
    (heat.ice, {"target": "temperature"}, {"bodies": [POT]}),
    (mash.strike, {"target": "temperature"}, {}), (mash.steep, {}, {}),
    (mash.infusion, {"target": "temperature"}, {}), (heat.heat_time, {"target": "temperature"}, {}),
    (heat.boiling_point, {"pressure": "barometer"}, {}), (volumes.boil_off, {}, {}), (volumes.boil_off_rate, {}, {}),
    (volumes.losses, {}, {}), (volumes.top_up, {}, {}), (volumes.contraction, {}, {}),
    (volumes.water_needed, {}, {"parts": [Fermentable("sugar", Q(5, "pound"), 46)]}),
    (bitterness.utilization, {}, {}), (bitterness.hops_for, {"target": "bitterness"}, {"form": "pellet"}),
    (fermentables.extract_for, {}, {"fermentable": MALT}),
    (fermentables.substitute, {}, {"source": SUGAR, "target": MALT}),
    (yeast.pitch_rate, {}, {"kind": "lager"}), (yeast.viability, {}, {}), (yeast.starter, {}, {}),
    (yeast.pitch_temperature, {}, {}), (yeast.starter_size, {"cells": "cells"}, {}),
    (bitterness.swap_hops, {}, {}), (recipe.balance, {}, {"unsure": 0.2}),
    (recipe.scale, {"target": "volume"}, {}),
    (packaging.residual_co2, {"temperature": "cellar temperature"}, {}),
    (packaging.priming, {"temperature": "cellar temperature"}, {"sugar": "corn sugar"}),
    (packaging.keg_pressure, {"temperature": "cellar temperature"}, {}), (packaging.bottles, {}, {}),
    (packaging.carbonation_from, {"amount": "mass or none", "temperature": "cellar temperature"}, {"sugar": "honey"}),
    (packaging.bottle_pressure, {"temperature": "cellar temperature", "carbonation": "volumes or none"}, {}),
    (packaging.extra_co2, {}, {}), (water.mineral, {"amount": "salt"}, {"salt": "chalk"}),
    (water.mineral, {"amount": "spoon"}, {"salt": "gypsum"}), (water.residual_alkalinity, {}, {}),
    (water.chlorine, {}, {"salt": "sodium metabisulfite"}),
    (cleaning.sanitizer, {"target": "concentration"}, {"kind": "bleach"}),
    (cleaning.concentration, {"amount": "spoon"}, {"kind": "iodophor"}),
    (water.salt_for, {"target": "concentration"}, {"salt": "gypsum", "ion": "calcium"}),
    (water.salts_for, {}, {"targets": {"calcium": Q(80, "ppm"), "sulfate": Q(90, "ppm")}, "present": {}}),
    (water.suitability, {}, {"kind": "tap", "method": "mini_mash"}),
    (heat.heat_time_measured, {"target": "temperature"},
     {"readings": [(0, Q(20, "degC")), (5, Q(40, "degC"))], "since": 2.0}),
]


@pytest.mark.parametrize(("sum_", "kinds", "fixed"), ANYTHING, ids=lambda each: getattr(each, "__name__", ""))
@given(data=st.data())
def test_anything_in_range_is_answered_or_refused(
    sum_: Callable[..., Result], kinds: dict[str, str], fixed: dict[str, object], data: st.DataObject
) -> None:
    """Over the whole range of every input, ends included: a finite answer and range, or a plain no."""
    inputs = dict(fixed)
    for name in inspect.signature(sum_).parameters:
        if name not in fixed:
            kind = KINDS[kinds.get(name, KIND_OF.get(name, name))]
            ends = st.sampled_from((kind.low, kind.high))
            inputs[name] = Q(data.draw(st.floats(kind.low, kind.high) | ends), kind.unit)
    try:
        answer = sum_(**inputs)
    except EngineError as refusal:
        assert str(refusal)
        return
    for quantity in (*answer.values.values(), *answer.spread.values()):
        assert math.isfinite(quantity.magnitude)
