"""What to have: the checklist before the burner is lit, and the shopping list of the recipe."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import knowledge
from assistant import wording
from assistant.brew import USUAL_CARBONATION, Brew, Known, as_quantity
from assistant.engine import packaging, yeast
from assistant.engine.errors import EngineError
from assistant.engine.units import Q, Quantity, unit_of
from assistant.handlers.log import named
from assistant.handlers.turn import Turn, asked, refused
from assistant.handlers.working import cited
from assistant.numbers_here import is_metric, named_line
from assistant.reply import Input, Outcome, Working
from assistant.way import way_of
from knowledge.entries import STEP_STAGES

_HOT, _COLD = STEP_STAGES.index("chilling"), STEP_STAGES.index("fermenting")
"""The stages before the first are the hot side's, those before the second the cold side's."""

USUAL_ALE = Q(1.050, "sg")
"""Where no recipe tells the gravity that the yeast is counted for."""

ROOM = Q(68, "degF")
"""What the beer is taken to warm up to before it is bottled: common practice, no source."""

SPARE = 1.1
"""Caps to each bottle: some bend. Common practice, no source."""

DRY_PACK = Q(200e9, "cells")
"""Cells in an 11 gram packet of dry yeast, from memory."""


# --- The checklist


def checklist(turn: Turn) -> Outcome:
    """What the steps of this way need up to the yeast, each once, and what the recipe puts in."""
    way, brew = way_of(turn.brew), turn.brew
    steps = [step for step in way.steps if STEP_STAGES.index(step.stage) < _COLD]
    hot = _once(need for step in steps if STEP_STAGES.index(step.stage) < _HOT for need in step.needs)
    cold = _once(need for step in steps if STEP_STAGES.index(step.stage) >= _HOT for need in step.needs)
    cold = [need for need in cold if need not in hot]
    held = [named_line(line) for line in brew.batch.plan if line.made is None]
    kinds = {entry.kind for line in brew.batch.plan if (entry := knowledge.ingredients().get(line.ingredient or ""))}
    missing = [kind for kind in ("extract", "grain", "hop", "yeast") if kind not in kinds and _wants(kind, steps)]
    named_there = {"hop": "hops"}
    count = len(hot) + len(cold) + len(held) + len(missing)
    say = f"{count} things to have ready before you light the burner."
    more = [f"Until the flame is out: {'; '.join(hot)}.", f"After it: {'; '.join(cold)}."]
    more += [f"Recipe: {'; '.join(held)}."] if held else []
    more += [f"Not in the recipe yet: {wording.listed([named_there.get(kind, kind) for kind in missing])}."] if missing else []
    more += ["Also: burner outdoors or in an open door, and children and dogs away."]
    sources = cited(source for step in steps for source in step.source)
    working = Working(
        say,
        "what each step up to the yeast needs, counted once, and the lines of the recipe",
        (Input("way", way.name, way.reason), Input("recipe", f"{len(held)} lines", "recipe")),
        sources,
        reasons=("Once the boil is on there is no time to look for things.",),
    )
    return Outcome(say, values={"count": Q(count, "count")}, more=tuple(more), working=working, sources=sources)


def _once(needs: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(needs))


def _wants(kind: str, steps: Iterable[knowledge.Step]) -> bool:
    return any(kind in step.uses for step in steps)


# --- The shopping list


@dataclass(frozen=True)
class Sold:
    """How a shop sells a kind of ingredient: common practice, no source."""

    us: Quantity
    metric: Quantity
    note: str = ""
    cans: tuple[Quantity, Quantity] | None = None
    """A whole can in US and metric size, bought as it is where the recipe takes so many of them."""


_LIQUID = Sold(Q(0.5, "pound"), Q(0.5, "kilogram"), "cans hold 3.3 lb or 1.5 kg", (Q(3.3, "pound"), Q(1.5, "kilogram")))
NEARLY_WHOLE = 0.02
"""Share of a can that nobody buys another one for."""

_BY_WEIGHT = Sold(Q(0.5, "pound"), Q(0.25, "kilogram"))
_SOLD = {
    "hop": Sold(Q(1, "ounce"), Q(25, "gram"), "packed by the ounce"),
    "extract": Sold(Q(1, "pound"), Q(0.5, "kilogram"), "packed by the pound"),
    "grain": Sold(Q(0.5, "pound"), Q(0.25, "kilogram"), "crushed"),
    "sugar": _BY_WEIGHT,
    "fruit": _BY_WEIGHT,
}
"""Other kinds are sold by the smallest packet."""


def shopping_list(turn: Turn) -> Outcome:
    """The recipe added up and rounded up to what shops sell, with yeast, priming sugar, caps and sanitizer."""
    brew = turn.brew
    said = turn.slots.get("volume")
    volume = Known(as_quantity(said), "said") if isinstance(said, list) else brew.size() or brew.volume()
    if not brew.batch.plan:
        return refused(
            "The recipe is empty, so I cannot tell what to buy.",
            "Say for instance: the recipe has 6 lb of amber liquid malt extract.",
        )
    if volume is None:
        return asked("volume", "For what volume?")
    amounts, uncounted = _added_up(brew)
    values: dict[str, Quantity] = {}
    rows: list[str] = []
    inputs: list[Input] = [Input("batch", wording.quantity(volume.value), volume.origin)]
    for name, amount in amounts.items():
        bought, note = _rounded(name, amount, is_metric(brew))
        values[name] = bought
        rows.append(f"{wording.quantity(bought)} {named(name)}{f', {note}' if note else ''}")
        inputs.append(Input(named(name), wording.quantity(amount), "recipe, added up"))
    rows += [f"1 small packet {named(name)}" for name in uncounted]
    for name, found, row, known in (_yeast(brew, volume), _priming(brew, volume), _caps(volume)):
        values[name] = found
        rows.append(row)
        inputs.append(known)
    rows.append("Sanitizer, cleaner, ice and gas, where yours run low")
    say = f"{len(rows)} things to buy for {wording.quantity(volume.value)}."
    sources = cited(("common-practice", "white-zainasheff", "periodic-table", "from-memory"))
    formula = "the lines of the recipe added up by ingredient, each rounded up to what a shop sells"
    working = Working(say, formula, tuple(inputs), sources)
    return Outcome(say, values=values, more=tuple(f"- {row}." for row in rows), working=working, sources=sources)


def _added_up(brew: Brew) -> tuple[dict[str, Quantity], list[str]]:
    """What is bought by weight, added up by ingredient, and what is bought by the packet; yeast is told apart."""
    amounts: dict[str, Quantity] = {}
    packets: dict[str, None] = {}
    for line in brew.batch.plan:
        name, entry = line.ingredient or "", knowledge.ingredients().get(line.ingredient or "")
        if entry and entry.kind == "yeast":
            continue
        amount = as_quantity(line.amount) if isinstance(line.amount, list) else None
        if entry and entry.kind in _SOLD and amount is not None and amount.check("[mass]"):
            amounts[name] = amounts[name] + amount if name in amounts else amount
        elif name:
            packets[name] = None
    return amounts, list(packets)


def _rounded(name: str, amount: Quantity, metric: bool) -> tuple[Quantity, str]:
    entry = knowledge.ingredients()[name]
    liquid = isinstance(entry, knowledge.Fermentable) and entry.form == "liquid"
    sold = _LIQUID if liquid else _SOLD[entry.kind]
    if sold.cans:
        can = sold.cans[metric]
        cans = amount.m_as(unit_of(can)) / can.magnitude
        if round(cans) and abs(cans - round(cans)) < NEARLY_WHOLE:
            return can * round(cans), f"{round(cans)} {'can' if round(cans) == 1 else 'cans'} of {wording.quantity(can)}"
    step = sold.metric if metric else sold.us
    packs = math.ceil(round(amount.m_as(unit_of(step)) / step.magnitude, 6))
    return step * packs, sold.note


_Bought = tuple[str, Quantity, str, Input]
"""What a row buys, how much, the row, and what it rests on."""


def _yeast(brew: Brew, volume: Known) -> _Bought:
    """Packets of dry yeast for the cells the wort wants."""
    strain = brew.yeast()
    strength = brew.likely_original() or Known(USUAL_ALE, "default: a usual ale")
    cells = yeast.pitch_rate(volume.value, strength.value, brew.family().value).values["cells"]
    packs = Q(math.ceil(round(cells.m_as("cells") / DRY_PACK.m_as("cells"), 1)), "pack")
    name = strain.name if strain else "Ale yeast"
    liquid = math.ceil(round(cells.m_as("cells") / yeast.PACK, 1))
    row = f"{_count(packs.magnitude, 'packet')} {name}, dry, or {_count(liquid, 'fresh pack')} of liquid"
    return strain.id if strain else "ale yeast", packs, row, Input("cells", wording.quantity(cells), f"gravity {strength.origin}")


def _count(number: float, what: str) -> str:
    return f"{number:g} {what}{'' if number == 1 else 's'}"


def _priming(brew: Brew, volume: Known) -> _Bought:
    aim = brew.carbonation().value
    try:
        sugar = packaging.priming(volume.value, aim, ROOM).values["sugar"]
    except EngineError:
        sugar = packaging.priming(volume.value, USUAL_CARBONATION.value, ROOM).values["sugar"]
    metric = unit_of(sugar) == "gram"
    step = Q(50, "gram") if metric else Q(1, "ounce")
    bought = step * math.ceil(sugar.m_as(unit_of(step)) / step.magnitude)
    origin = f"{wording.quantity(aim)} with the beer at {wording.quantity(ROOM)}"
    return "priming sugar", bought, f"{wording.quantity(bought)} Corn sugar, to prime", Input("priming sugar", wording.quantity(sugar), origin)


def _caps(volume: Known) -> _Bought:
    bottles = packaging.bottles(volume.value).values["count"]
    caps = Q(math.ceil(bottles.magnitude * SPARE / 10) * 10, "count")
    row = f"{caps.magnitude:g} caps, for {wording.quantity(bottles)} of 12 oz"
    return "caps", caps, row, Input("bottles", wording.quantity(bottles), "12 ounce bottles, and a tenth more caps")
