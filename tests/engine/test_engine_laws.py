"""What holds whatever the numbers: mass and heat are kept, inverse sums undo each other, no unit matters."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import pytest
from engine_tables import close, magnitude, same
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.engine import (
    alcohol,
    bitterness,
    cleaning,
    color,
    convert,
    fermentables,
    fermentation,
    gravity,
    heat,
    mash,
    packaging,
    recipe,
    roots,
    steam,
    units,
    volumes,
    water,
    wort,
    yeast,
)
from assistant.engine.errors import Impossible
from assistant.engine.fermentables import Fermentable
from assistant.engine.fermentation import Reading
from assistant.engine.inputs import KINDS
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity

GRAVITIES = st.floats(1.002, 1.15)
LITERS = st.floats(0.5, 100)
CELSIUS = st.floats(0, 100)
SUGAR = Fermentable("table sugar", None, 46.17)


@given(st.floats(0.98, 1.2))
def test_gravity_to_extract_and_back(sg: float) -> None:
    """To a hundred-thousandth: water itself is set to no extract, where the cubic is a shade off."""
    assert close(wort.sg_of(wort.plato_of(sg)), sg, 2e-5)


@given(GRAVITIES)
def test_extract_per_liter_and_back(sg: float) -> None:
    assert close(wort.sg_from_extract(wort.extract_per_liter(sg)), sg, 1e-8)


@given(GRAVITIES, GRAVITIES)
def test_more_gravity_is_more_extract(one: float, other: float) -> None:
    assume(abs(one - other) > 1e-9)
    assert (one < other) == (wort.plato_of(one) < wort.plato_of(other))


@given(st.floats(0, 0.3), st.floats(4, 99))
def test_wort_is_lighter_when_warmer_and_heavier_when_sweeter(fraction: float, celsius: float) -> None:
    assert wort.density(fraction, celsius + 1) < wort.density(fraction, celsius)
    assert wort.density(fraction + 0.01, celsius) > wort.density(fraction, celsius)


@given(GRAVITIES, st.floats(5, 30))
def test_a_reading_at_the_calibration_temperature_stands(sg: float, celsius: float) -> None:
    answer = gravity.correct_reading(Q(sg, "sg"), Q(celsius, "degC"), Q(celsius, "degC"))
    assert close(answer.values["gravity"].magnitude, sg, 1e-8)


@given(LITERS, GRAVITIES, GRAVITIES)
def test_dilution_keeps_the_extract_and_the_mass(liters: float, sg: float, target: float) -> None:
    assume(target <= sg)
    answer = gravity.dilution(Q(liters, "liter"), Q(sg, "sg"), Q(target, "sg"))
    water, final = (answer.values[name].magnitude for name in ("water", "final_volume"))
    assert close(final * wort.extract_per_liter(target), liters * wort.extract_per_liter(sg), relative=1e-9)
    poured = wort.mass_of(liters, sg) + wort.mass_of(water, 1)
    assert close(wort.mass_of(final, target), poured, relative=1e-9)


@given(st.floats(0.5, 20), GRAVITIES, GRAVITIES)
def test_dilution_and_topping_up_undo_each_other(liters: float, sg: float, target: float) -> None:
    assume(target <= sg)
    volume = Q(liters, "liter")
    final = gravity.dilution(volume, Q(sg, "sg"), Q(target, "sg")).values["final_volume"]
    back = gravity.topup_gravity(volume, Q(sg, "sg"), final).values["gravity"]
    assert close(back.magnitude, target, 1e-7)


@given(LITERS, GRAVITIES, LITERS, GRAVITIES)
def test_a_blend_lies_between_its_parts_and_keeps_their_extract(
    one: float, strong: float, other: float, weak: float
) -> None:
    parts = [(Q(one, "liter"), Q(strong, "sg")), (Q(other, "liter"), Q(weak, "sg"))]
    answer = gravity.blend(parts)
    sg, liters = answer.values["gravity"].magnitude, answer.values["volume"].magnitude
    assert min(strong, weak) - 1e-6 <= sg <= max(strong, weak) + 1e-6
    kept = one * wort.extract_per_liter(strong) + other * wort.extract_per_liter(weak)
    assert close(liters * wort.extract_per_liter(sg), kept, relative=1e-6)


@given(st.floats(1.002, 1.12), LITERS, st.floats(20, 46))
def test_what_a_gravity_takes_gives_that_gravity(target: float, liters: float, points: float) -> None:
    sort = Fermentable("extract", None, points)
    amount = fermentables.extract_for(Q(target, "sg"), Q(liters, "liter"), sort).values["amount"]
    made = fermentables.gravity_from([Fermentable("extract", amount, points)], Q(liters, "liter"))
    assert close(made.values["gravity"].magnitude, target, 2e-5)


@given(st.floats(0.1, 20), st.floats(20, 46), st.floats(20, 46))
def test_substituting_there_and_back(pounds: float, one: float, other: float) -> None:
    first, second = Fermentable("one", None, one), Fermentable("other", None, other)
    there = fermentables.substitute(Q(pounds, "pound"), first, second).values["amount"]
    assert same(fermentables.substitute(there, second, first).values["amount"], Q(pounds, "pound"))


@given(st.floats(1.02, 1.12), st.floats(0, 90))
def test_attenuation_and_final_gravity_undo_each_other(original: float, percent: float) -> None:
    final = gravity.final_gravity(Q(original, "sg"), Q(percent, "percent")).values["gravity"]
    answer = alcohol.attenuation(Q(original, "sg"), final)
    assert close(answer.values["attenuation"].magnitude, percent, 1e-6)


@given(st.floats(1.02, 1.12), st.floats(0.0, 0.9))
def test_balling_recovers_the_original_extract(original: float, gone: float) -> None:
    """OE = 100 (2.0665 A + RE)/(100 + 1.0665 A), found on a maltster's page, is the formula turned around."""
    final = original - gone * (original - 1)
    start = wort.plato_of(original)
    weight = alcohol.by_weight(original, final)
    left = alcohol.real_extract(start, wort.plato_of(final))
    assert close(100 * (2.0665 * weight + left) / (100 + 1.0665 * weight), start, 1e-3)


@given(LITERS, CELSIUS, LITERS, CELSIUS)
def test_a_mixture_lies_between_and_keeps_the_heat(
    hot: float, hot_c: float, cold: float, cold_c: float
) -> None:
    answer = heat.mix_temperature(Q(hot, "liter"), Q(hot_c, "degC"), Q(cold, "liter"), Q(cold_c, "degC"))
    mixed = answer.values["temperature"].magnitude
    assert min(hot_c, cold_c) - 0.05 <= mixed <= max(hot_c, cold_c) + 0.05
    hot_mass, cold_mass = hot * wort.water_density(hot_c), cold * wort.water_density(cold_c)
    before = hot_mass * heat.water_heat(hot_c) + cold_mass * heat.water_heat(cold_c)
    assert close((hot_mass + cold_mass) * heat.water_heat(mixed), before, 1e-3, 1e-9)


@given(LITERS, st.floats(1, 100), st.floats(0, 1), st.floats(-30, 0))
def test_the_ice_asked_for_cools_to_the_target(
    liters: float, warm: float, share: float, ice_c: float
) -> None:
    target = share * (warm - 0.1)
    volume, temperature = Q(liters, "liter"), Q(warm, "degC")
    asked = heat.ice(volume, temperature, Q(target, "degC"), Q(ice_c, "degC")).values["ice"]
    answer = heat.mix_temperature(volume, temperature, ice=asked, ice_temperature=Q(ice_c, "degC"))
    assert close(answer.values["temperature"].magnitude, target, 0.05)
    assert close(answer.values["ice_left"].magnitude, 0, 1e-3 * liters)


WATERS = st.tuples(LITERS, CELSIUS)


@given(st.lists(WATERS, min_size=3, max_size=6), st.randoms())
def test_any_number_of_waters_mix_alike_in_any_order(
    waters: list[tuple[float, float]], shuffled: Random
) -> None:
    """The heat and the mass are kept, and nobody can tell what was poured first."""
    first = _mixed(waters)
    again = list(waters)
    shuffled.shuffle(again)
    assert close(_mixed(again), first, 0.01)
    masses = [liters * wort.water_density(celsius) for liters, celsius in waters]
    before = sum(mass * heat.water_heat(celsius) for mass, (_, celsius) in zip(masses, waters, strict=True))
    assert close(sum(masses) * heat.water_heat(first), before, 1e-3, 1e-9)


def _mixed(waters: list[tuple[float, float]]) -> float:
    (hot, hot_c), (cold, cold_c), *more = waters
    answer = heat.mix_temperature(
        Q(hot, "liter"), Q(hot_c, "degC"), Q(cold, "liter"), Q(cold_c, "degC"),
        further=[(Q(liters, "liter"), Q(celsius, "degC")) for liters, celsius in more],
    )
    return float(answer.values["temperature"].magnitude)


@given(LITERS, st.floats(50, 100), st.floats(0.1, 5), st.floats(0, 40))
def test_a_colder_pot_cools_and_a_heavier_one_more(liters: float, hot: float, kilograms: float, cold: float) -> None:
    def with_pot(mass: float) -> float:
        pot = heat.Body("pot", Q(mass, "kilogram"), Q(cold, "degC"), "steel")
        answer = heat.mix_temperature(Q(liters, "liter"), Q(hot, "degC"), bodies=[pot])
        return float(answer.values["temperature"].magnitude)

    assert cold - 1e-6 < with_pot(2 * kilograms) < with_pot(kilograms) < hot


@given(st.floats(0.5, 10), st.floats(3, 60), st.floats(60, 72), st.floats(5, 30))
def test_strike_and_steep_undo_each_other(kilograms: float, liters: float, target: float, grain_c: float) -> None:
    grain, water, cold = Q(kilograms, "kilogram"), Q(liters, "liter"), Q(grain_c, "degC")
    try:
        hot = mash.strike(grain, water, Q(target, "degC"), cold).values["temperature"]
    except Impossible:
        assume(False)
    assert close(mash.steep(grain, water, hot, cold).values["temperature"].magnitude, target, 1e-9)


@given(st.floats(2, 100), st.floats(40, 65), st.floats(1, 20), st.floats(90, 100))
def test_the_infusion_asked_for_warms_to_the_target(liters: float, now: float, rise: float, hot: float) -> None:
    water, temperature, poured = Q(liters, "liter"), Q(now, "degC"), Q(hot, "degC")
    asked = mash.infusion(water, temperature, Q(now + rise, "degC"), infusion_temperature=poured).values["water"]
    answer = heat.mix_temperature(asked, poured, water, temperature)
    assert close(answer.values["temperature"].magnitude, now + rise, 0.05)


@given(st.floats(5, 60), st.floats(2, 30), st.floats(1, 60), st.floats(0, 30))
def test_a_steady_flame_heats_on_as_it_heated(start: float, rise: float, minutes: float, further: float) -> None:
    """A burner of known power, its readings taken: the forecast is what the same burner would take."""
    assume(start + rise + further < 100)
    volume, goal = Q(10, "liter"), Q(start + rise + further, "degC")
    middle = Q(start + rise, "degC")
    readings = [(0.0, Q(start, "degC")), (minutes, middle)]
    left = heat.heat_time_measured(readings, goal).values["duration"].magnitude
    taken_up = heat.water_heat(start + rise) - heat.water_heat(start)
    power = Q(heat.mass(10, start) * taken_up / minutes / 60, "kilowatt")
    assume(0.1 < power.magnitude < 500 and further > 0.1)
    again = heat.heat_time(volume, middle, goal, power, Q(100, "percent")).values["duration"].magnitude
    assert close(again, left * heat.mass(10, start + rise) / heat.mass(10, start), relative=1e-6)


@given(st.floats(0, 3000), st.floats(95, 104), st.floats(0.1, 5))
def test_heavier_air_boils_hotter(meters: float, pressure: float, more: float) -> None:
    altitude = Q(meters, "meter")
    light, heavy = (
        heat.boiling_point(altitude, Q(each, "kilopascal")).values["temperature"] for each in (pressure, pressure + more)
    )
    assert heavy > light


@given(st.lists(st.tuples(LITERS, GRAVITIES), min_size=2, max_size=6), st.randoms())
def test_any_number_of_worts_blend_alike_in_any_order(worts: list[tuple[float, float]], shuffled: Random) -> None:
    again = list(worts)
    shuffled.shuffle(again)
    first, second = (
        gravity.blend([(Q(liters, "liter"), Q(sg, "sg")) for liters, sg in each]).values["gravity"].magnitude
        for each in (worts, again)
    )
    assert close(first, second, 1e-9)
    assert min(sg for _, sg in worts) - 1e-6 <= first <= max(sg for _, sg in worts) + 1e-6


@given(st.floats(1.02, 1.12), st.floats(0.0, 0.9))
def test_more_fermented_is_more_attenuated_and_real_lies_below_apparent(original: float, gone: float) -> None:
    final = Q(original - gone * (original - 1), "sg")
    less = alcohol.attenuation(Q(original, "sg"), final).values
    more = alcohol.attenuation(Q(original, "sg"), final - Q(0.001, "sg")).values
    assert more["attenuation"] > less["attenuation"] and more["real_attenuation"] > less["real_attenuation"]
    assert less["real_attenuation"].magnitude <= less["attenuation"].magnitude + 0.05


@given(st.floats(1, 100), st.floats(0.1, 0.5), st.floats(11, 180))
def test_boiling_at_the_rate_measured_leaves_what_was_left(liters: float, share: float, minutes: float) -> None:
    before, after, time = Q(liters, "liter"), Q(liters * (1 - share), "liter"), Q(minutes, "minute")
    rate = volumes.boil_off_rate(before, after, time).values["rate"]
    assert same(volumes.boil_off(rate, time).values["volume"], before - after)


GRAMS = st.floats(0.5, 20)


@given(GRAMS, GRAMS, GRAMS, LITERS)
def test_salts_for_what_salts_made_make_it_again(gypsum: float, chloride: float, epsom: float, liters: float) -> None:
    """What three salts make is asked for: the answer, added salt by salt, makes it."""
    volume = Q(liters + 4, "liter")
    poured = {"gypsum": gypsum, "calcium chloride": chloride, "epsom salt": epsom}
    wanted = _ions(poured, volume)
    assume(max(wanted.values()) < 5000)
    answer = water.salts_for({ion: Q(ppm, "ppm") for ion, ppm in wanted.items()}, volume).values
    found = {salt: answer[salt.replace(" ", "_")].magnitude for salt in water.BALANCING if salt.replace(" ", "_") in answer}
    assert all(close(_ions(found, volume).get(ion, 0.0), ppm, 1e-3, 1e-4) for ion, ppm in wanted.items())


def _ions(grams: dict[str, float], volume: Quantity) -> dict[str, float]:
    made: dict[str, float] = {}
    for salt, amount in grams.items():
        if amount >= 0.01:
            for ion, ppm in water.mineral(salt, Q(amount, "gram"), volume).values.items():
                made[ion] = made.get(ion, 0.0) + ppm.magnitude
    return made


@given(st.sampled_from(("iodophor", "bleach")), LITERS, st.floats(0.1, 1), st.floats(1, 12))
def test_the_dose_for_a_strength_gives_it(kind: str, liters: float, share: float, percent: float) -> None:
    low, high = {"iodophor": (5, 50), "bleach": (20, 1000)}[kind]
    target, volume, strength = Q(low + share * (high - low), "ppm"), Q(liters, "liter"), Q(percent, "percent")
    dose = cleaning.sanitizer(kind, volume, strength, target).values["dose"]
    assume(0.05 < dose.m_as("milliliter") < 5000)
    assert same(cleaning.concentration(kind, dose, volume, strength).values["concentration"], target)


@given(st.floats(1.02, 1.12))
def test_where_an_answer_is_unsure_adds_up(original: float) -> None:
    """The shares of what makes an answer unsure make one, and the widest comes first."""
    answer = alcohol.abv(Q(original, "sg"), Q(1.01, "sg"))
    shares = [doubt.share for doubt in answer.doubts]
    assert shares == sorted(shares, reverse=True)
    assert close(sum(shares), 1, 0.03)


@given(st.floats(0, 6000), st.floats(0, 6000))
def test_higher_boils_cooler(one: float, other: float) -> None:
    assume(abs(one - other) > 1)
    low, high = sorted((one, other))
    valley, peak = (heat.boiling_point(Q(meters, "meter")).values["temperature"] for meters in (low, high))
    assert valley > peak


@given(st.floats(1, 200))
def test_vapor_pressure_and_boiling_undo_each_other(celsius: float) -> None:
    assert close(steam.boiling_temperature(steam.vapor_pressure(celsius)), celsius, 1e-5)


@given(LITERS, st.floats(21, 100), st.floats(1.0, 1.1))
def test_cooling_and_heating_give_the_volume_back(liters: float, hot: float, sg: float) -> None:
    wort_is = Q(sg, "sg")
    cold = volumes.contraction(Q(liters, "liter"), Q(hot, "degC"), Q(20, "degC"), wort_is).values["volume"]
    assert cold.magnitude < liters
    again = volumes.contraction(cold, Q(20, "degC"), Q(hot, "degC"), wort_is).values["volume"]
    assert close(again.magnitude, liters, relative=1e-9)


@given(st.floats(5, 100), st.floats(2, 20), st.floats(1, 120), GRAVITIES, LITERS)
def test_hops_for_a_bitterness_give_it(
    target: float, alpha: float, minutes: float, sg: float, liters: float
) -> None:
    hop, boil, kettle = Q(alpha, "percent"), Q(minutes, "minute"), Q(sg, "sg")
    amount = bitterness.hops_for(Q(target, "ibu"), hop, boil, Q(liters, "liter"), kettle).values["amount"]
    addition = bitterness.HopAddition("hops", amount, hop, boil, kettle)
    made = bitterness.bitterness([addition], Q(liters, "liter")).values["bitterness"]
    assert close(made.magnitude, target, relative=1e-6)


@given(GRAVITIES, st.floats(0, 119))
def test_longer_boiled_is_more_bitter_and_stronger_wort_less(sg: float, minutes: float) -> None:
    assert bitterness.share_used(sg, minutes + 1) > bitterness.share_used(sg, minutes)
    assert bitterness.share_used(sg + 0.001, minutes + 1) < bitterness.share_used(sg, minutes + 1)


@given(st.floats(-1, 39))
def test_colder_beer_holds_more(celsius: float) -> None:
    temperatures = (Q(celsius, "degC"), Q(celsius + 1, "degC"))
    cold, warm = (packaging.residual_co2(each).values["carbonation"] for each in temperatures)
    assert cold > warm


@given(st.floats(1, 100), st.floats(1.8, 4), st.floats(0, 30), st.sampled_from(("glucose", "table sugar")))
def test_priming_keeps_the_carbon(liters: float, volumes_: float, celsius: float, sugar: str) -> None:
    """The sugar's carbon, a third of which leaves as gas, is in the gas wanted less what was there."""
    temperature = Q(celsius, "degC")
    there = packaging.residual_co2(temperature).values["carbonation"].magnitude
    assume(volumes_ > there + 0.05)
    answer = packaging.priming(Q(liters, "liter"), Q(volumes_, "volume_co2"), temperature, sugar)
    grams = magnitude(answer.values["sugar"], "gram")
    moles_of_gas = grams * {"glucose": 2 / 180.156, "table sugar": 4 / 342.297}[sugar]
    assert close(moles_of_gas * 44.009 / 1.9768 / liters, volumes_ - there, relative=1e-4)


@given(st.floats(0.1, 200), st.floats(2, 20), st.floats(2, 20))
def test_one_hop_for_another_and_back(grams: float, one: float, other: float) -> None:
    alphas = Q(one, "percent"), Q(other, "percent")
    there = bitterness.swap_hops(Q(grams, "gram"), *alphas).values["amount"]
    assert same(bitterness.swap_hops(there, *reversed(alphas)).values["amount"], Q(grams, "gram"))


def _ibu(boils_at: float = 99.9, stand: float = 0, stand_at: float = 90, method: str = "tinseth") -> float:
    hop = bitterness.HopAddition(
        "hops", Q(28, "gram"), Q(8, "percent"), Q(20, "minute"), Q(1.05, "sg"), "pellet", Q(boils_at, "degC"),
        Q(stand, "minute"), Q(stand_at, "degC"),
    )
    return float(bitterness.bitterness([hop], Q(20, "liter"), method).values["bitterness"].magnitude)


@given(st.floats(75, 99), st.floats(0, 60), st.floats(50, 98), st.sampled_from(("tinseth", "rager")))
def test_hotter_and_longer_hops_give_more(boils: float, stand: float, hot: float, method: str) -> None:
    """A boil that is hotter, a stand that is longer, a stand that is hotter."""
    assert _ibu(boils + 0.5, method=method) > _ibu(boils, method=method)
    assert _ibu(stand=stand + 1, stand_at=hot, method=method) > _ibu(stand=stand, stand_at=hot, method=method)
    assert _ibu(stand=20, stand_at=hot + 1, method=method) > _ibu(stand=20, stand_at=hot, method=method)


@given(LITERS, LITERS)
def test_scaling_there_and_back(one: float, other: float) -> None:
    there = recipe.scale(Q(one, "liter"), Q(other, "liter")).values["factor"].magnitude
    back = recipe.scale(Q(other, "liter"), Q(one, "liter")).values["factor"].magnitude
    assert close(there * back, 1, relative=1e-12)


@given(st.lists(st.tuples(st.floats(0.05, 10), st.floats(0, 200)), min_size=1, max_size=5))
def test_a_mash_is_as_strong_as_its_malts(grains: list[tuple[float, float]]) -> None:
    """The mean lies between weakest and strongest, and a second mash of the same changes nothing."""
    mash = [Fermentable("malt", Q(kilos, "kilogram"), 37, diastatic=power) for kilos, power in grains]
    mean = recipe.enzymes(mash).values["diastatic_power"].magnitude
    powers = [power for _, power in grains]
    assert min(powers) - 1e-9 <= mean <= max(powers) + 1e-9
    assert close(recipe.enzymes([*mash, *mash]).values["diastatic_power"].magnitude, mean, 1e-9)


@given(st.floats(60, 90), st.floats(0.1, 5), st.floats(0.1, 5), st.floats(0, 100))
def test_a_mixture_ferments_between_its_parts(malt: float, one: float, other: float, taken: float) -> None:
    strain = Q(malt, "percent")
    parts = [Fermentable("extract", Q(one, "kilogram"), 44),
             Fermentable("sugar", Q(other, "kilogram"), 44, fermentable=taken)]
    alone = [fermentables.attenuation_of([part], strain).values["attenuation"].magnitude for part in parts]
    mixed = fermentables.attenuation_of(parts, strain).values["attenuation"].magnitude
    assert min(alone) - 1e-9 <= mixed <= max(alone) + 1e-9


@given(st.floats(1.0, 19), st.floats(0, 60))
def test_the_starter_asked_for_grows_to_the_cells(liters: float, days: float) -> None:
    age = Q(days, "day")
    grown = yeast.starter(Q(liters, "liter"), age=age).values
    still = yeast.starter_size(grown["still_cells"], age).values["still"]
    assert close(still.magnitude, liters, relative=1e-4)


@given(st.floats(1, 100), st.floats(1.5, 3.9), st.floats(0, 30), st.sampled_from(sorted(packaging.SUGARS)))
def test_the_sugar_asked_for_gives_the_carbonation(
    liters: float, volumes_: float, celsius: float, sugar: str
) -> None:
    volume, temperature = Q(liters, "liter"), Q(celsius, "degC")
    assume(packaging.residual_co2(temperature).values["carbonation"].magnitude < volumes_ - 0.05)
    amount = packaging.priming(volume, Q(volumes_, "volume_co2"), temperature, sugar).values["sugar"]
    gas = packaging.carbonation_from(amount, volume, temperature, sugar).values["carbonation"]
    assert close(gas.magnitude, volumes_, relative=1e-6)


def _kpa(volumes_: float, celsius: float, left: float = 0.0) -> float:
    answer = packaging.bottle_pressure(
        Q(1.012 + left, "sg"), Q(1.012, "sg"), Q(celsius, "degC"), Q(volumes_, "volume_co2")
    )
    return magnitude(answer.values["pressure"], "kilopascal")


@given(st.floats(1, 5), st.floats(0, 38), st.floats(0, 0.01))
def test_a_bottle_bears_more_when_warmer_fuller_or_unfinished(
    volumes_: float, celsius: float, left: float
) -> None:
    assert _kpa(volumes_, celsius + 1) > _kpa(volumes_, celsius)
    assert _kpa(volumes_ + 0.1, celsius) > _kpa(volumes_, celsius)
    assert _kpa(volumes_, celsius, left + 0.001) > _kpa(volumes_, celsius, left)


@given(st.floats(1.04, 1.09), st.floats(0.3, 0.9), st.floats(0, 3))
def test_a_forecast_comes_nearer_as_days_go_by(original: float, share: float, days: float) -> None:
    """The same readings, asked later: as much less is left; and no unit matters."""
    expected = 1 + (original - 1) * 0.25
    reading = Reading(3.0, Q(original - (original - expected) * share, "sg"))

    def left(now: float, *readings: Reading) -> float:
        start, end = Q(original, "sg"), Q(expected, "sg")
        answer = fermentation.forecast(readings, start, end, Q(now * 24, "hour"))
        return magnitude(answer.values["duration"], "day")

    assert close(left(3 + days, reading), max(0.0, left(3, reading) - days), 1e-6)
    plato = Reading(3.0, Q(wort.plato_of(reading.gravity.magnitude), "plato"))
    assert close(left(3, plato), left(3, reading), 0.01)


US_TO_METRIC: list[tuple[Callable[[Quantity, Quantity], Result], str]] = [
    (lambda v, t: gravity.dilution(v, Q(1.08, "sg"), Q(1.05, "sg")), "water"),
    (lambda v, t: gravity.topup_gravity(v, Q(1.04, "sg"), v * 2), "gravity"),
    (lambda v, t: fermentables.extract_for(Q(1.05, "sg"), v, SUGAR), "amount"),
    (lambda v, t: alcohol.calories(Q(1.05, "sg"), Q(1.01, "sg"), v), "energy"),
    (lambda v, t: heat.mix_temperature(v, t, v, Q(5, "degC")), "temperature"),
    (lambda v, t: heat.ice(v, t, Q(5, "degC")), "ice"),
    (lambda v, t: mash.strike(Q(1, "pound"), v, t), "temperature"),
    (lambda v, t: heat.heat_time(v, Q(5, "degC"), t), "duration"),
    (lambda v, t: volumes.contraction(v, t), "volume"),
    (lambda v, t: heat.mix_temperature(v, t, further=[(v * 2, Q(80, "degC"))]), "temperature"),
    (lambda v, t: heat.mix_temperature(v, t, bodies=[heat.Body("pot", Q(3, "kilogram"), t, "steel")]), "temperature"),
    (lambda v, t: mash.steep(Q(1, "pound"), v, t), "temperature"),
    (lambda v, t: mash.infusion(v, t, Q(70, "degC")), "water"),
    (lambda v, t: heat.heat_time_measured([(0, Q(1, "degC")), (5, t)], Q(90, "degC")), "duration"),
    (lambda v, t: volumes.boil_off_rate(v, v * 0.8, Q(60, "minute"), t, t), "rate"),
    (lambda v, t: volumes.losses(Q(1, "pound"), Q(1, "ounce"), v), "volume"),
    (lambda v, t: gravity.blend([(v, Q(1.05, "sg")), (v * 2, Q(1.03, "sg"))]), "volume"),
    (lambda v, t: water.salt_for("calcium", Q(50, "ppm"), "gypsum", v), "amount"),
    (lambda v, t: water.salts_for({"calcium": Q(50, "ppm"), "sulfate": Q(60, "ppm")}, v), "gypsum"),
    (lambda v, t: water.suitability("distilled", "mini_mash", v), "salt"),
    (lambda v, t: cleaning.concentration("bleach", Q(1, "fluid_ounce"), v), "concentration"),
    (lambda v, t: bitterness.hops_for(Q(30, "ibu"), Q(5, "percent"), Q(60, "minute"), v), "amount"),
    (lambda v, t: color.color([Fermentable("malt", Q(1, "pound"), 35, color=20)], v), "color"),
    (lambda v, t: packaging.priming(v, Q(3, "volume_co2"), t), "sugar"),
    (lambda v, t: packaging.carbonation_from(Q(4, "ounce"), v, t), "carbonation"),
    (lambda v, t: packaging.bottle_pressure(Q(1.014, "sg"), Q(1.012, "sg"), t, Q(2.4, "volume_co2")), "pressure"),
    (lambda v, t: packaging.bottles(v), "count"),
    (lambda v, t: yeast.pitch_rate(v, Q(1.05, "sg")), "packs"),
    (lambda v, t: yeast.starter(v), "stirred_cells"),
    (lambda v, t: recipe.scale(v, Q(10, "gallon")), "factor"),
    (lambda v, t: packaging.keg_pressure(Q(3, "volume_co2"), t), "pressure"),
]


@pytest.mark.parametrize(("sum_", "name"), US_TO_METRIC, ids=[name for _, name in US_TO_METRIC])
@given(gallons=st.floats(1, 20), fahrenheit=st.floats(50, 85))
def test_units_do_not_matter(
    sum_: Callable[[Quantity, Quantity], Result], name: str, gallons: float, fahrenheit: float
) -> None:
    """Said in gallons and Fahrenheit or in liters and Celsius, the answer is the same quantity."""
    volume, temperature = Q(gallons, "gallon"), Q(fahrenheit, "degF")
    us = sum_(volume, temperature)
    metric = sum_(volume.to("liter"), temperature.to("degC"))
    assert same(us.values[name], metric.values[name])
    assert us.spread.keys() == metric.spread.keys()
    assert all(same(us.spread[each], metric.spread[each]) for each in us.spread)


PAIRS = [("gallon", "liter"), ("pound", "gram"), ("degF", "degC"), ("psi", "bar")]


@given(st.floats(-40, 500), st.sampled_from(PAIRS))
def test_converting_there_and_back(number: float, pair: tuple[str, str]) -> None:
    there = convert.convert(Q(number, pair[0]), pair[1]).values["result"]
    assert close(convert.convert(there, pair[0]).values["result"].magnitude, number, 1e-9, 1e-12)


@given(st.floats(-10, 10), st.floats(0.1, 5))
def test_a_root_is_found(root: float, steepness: float) -> None:
    found = roots.solve(lambda x: steepness * ((x - root) + (x - root) ** 3), -11, 11)
    assert close(found, root, 1e-6)


def test_no_root_is_an_error_of_ours() -> None:
    with pytest.raises(ValueError, match="no crossing"):
        roots.solve(lambda x: x * x + 1, -1, 1)


def test_the_kinds_of_input_hold_together() -> None:
    """Each has a known unit, a range, and half-widths that leave a reading on its own side of zero."""
    for name, kind in KINDS.items():
        assert units.parse_unit(kind.unit) is not None, name
        assert kind.low < kind.high, name
        assert kind.absolute >= 0 and 0 <= kind.relative < 1, name


def test_a_unit_name_comes_back_as_it_went_in() -> None:
    for name in ("sg", "degF", "gallon/hour", "btu/hour", "fluid_ounce", "percent", "quart/pound", ""):
        assert units.unit_of(Q(1, name)) == name


def test_every_error_keeps_its_facts() -> None:
    with pytest.raises(Impossible) as caught:
        gravity.dilution(Q(5, "gallon"), Q(1.04, "sg"), Q(1.05, "sg"))
    assert caught.value.why == "water only lowers the gravity"
    assert caught.value.instead in str(caught.value)
