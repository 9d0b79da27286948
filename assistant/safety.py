"""Which cautions one turn of the talk calls for, and how they are put."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any

import knowledge
from assistant import cautions
from assistant.brew import Brew
from assistant.engine.packaging import added_volumes
from assistant.engine.units import Q
from assistant.handlers.fermentation import readiness
from assistant.handlers.working import cite
from assistant.questions import dimension
from assistant.reply import Outcome, Part
from assistant.session.model import Batch
from grammar.command import LINE
from grammar.words import split

BOTTLE_LIMIT = 3.0
"""Volumes an ordinary beer bottle is for: from memory, no standard found."""


USUAL_RESIDUAL = 0.85
"""Volumes left in beer fermented at room temperature (20 degrees Celsius, source hibberd)."""


def _gravity_moving(batch: Batch, parts: Sequence[Part]) -> bool:
    """Whether bottling is spoken of while the gravity is not known to stand still."""
    if not any(
        part.act in ("ask_ready", "ask_priming") or part.slots.get("event") == "bottle" for part in parts
    ):
        return False
    if batch.event("pitch") is None and len(batch.gravities) < 2:
        return False
    return readiness(Brew(batch, datetime.now().astimezone()))[0] != "Yes."


def _high_carbonation(batch: Batch, parts: Sequence[Part]) -> bool:
    """Whether what is asked or added would give more gas than ordinary bottles are made for."""
    for part in parts:
        gas = part.slots.get("carbonation")
        told = part.outcome.values.get("carbonation")
        if told is not None and told.m_as("volume_co2") > BOTTLE_LIMIT:
            return True
        if part.act == "ask_priming" and isinstance(gas, list) and gas[0] > BOTTLE_LIMIT:
            return True
        entry = (
            knowledge.ingredients().get(part.slots.get("ingredient", ""))
            if isinstance(part.slots.get("ingredient"), str)
            else None
        )
        amount = part.slots.get("amount")
        if (
            part.act == "log_addition"
            and entry
            and entry.kind == "sugar"
            and isinstance(amount, list)
            and batch.gravities
            and batch.stage in ("fermenting", "conditioning")
            and dimension(amount[1]) == dimension("pound")
        ):
            volume = Brew(batch, datetime.now().astimezone()).volume()
            if volume and added_volumes(Q(*amount), volume.value) + USUAL_RESIDUAL > BOTTLE_LIMIT:
                return True
    return False


FLAGS = {"gravity_moving": _gravity_moving, "high_carbonation": _high_carbonation}
"""What cautions may ask of the batch, and how it is found out."""


def _fahrenheit(slots: dict[str, Any]) -> float | None:
    for name in ("temperature", "hot_temperature", "target"):
        value = slots.get(name)
        if isinstance(value, list) and value[1] in ("degF", "degC"):
            return float(value[0]) if value[1] == "degF" else float(value[0]) * 1.8 + 32
    return None


def text_of(rule: knowledge.Caution) -> str:
    first, second = (rule.if_happened, rule.say) if rule.hurt else (rule.say, rule.if_happened)
    head = {"danger": "DANGER: ", "warning": "Careful: ", "advice": "Tip: "}[rule.grave]
    return head + (f"{first} {second}" if rule.grave == "danger" else first)


def told_first(rule: knowledge.Caution) -> Outcome:
    """A caution as the answer itself."""
    say = rule.if_happened if rule.hurt else rule.say
    return Outcome(say, sources=tuple(cite(source) for source in rule.source), entry=f"cautions/{rule.id}")


def called_for(
    heard: str, parts: Sequence[Part], batch: Batch, told: Collection[str]
) -> list[knowledge.Caution]:
    """The cautions of a sentence and what came of it, the gravest first; `told` names the advice already given."""
    words = tuple(split(heard))
    flags = frozenset(flag for flag, holds in FLAGS.items() if holds(batch, parts))
    found: dict[str, knowledge.Caution] = {}
    for part in parts:
        for rule in cautions.matching(_facts(part, words, batch.stage, flags), told=told):
            found.setdefault(rule.id, rule)
    return sorted(found.values(), key=lambda rule: (not rule.hurt, knowledge.GRAVITY.index(rule.grave)))


def _facts(part: Part, words: tuple[str, ...], stage: str, flags: frozenset[str]) -> cautions.Facts:
    """What was only guessed at calls for no caution; the words themselves do."""
    if part.sure < LINE:
        return cautions.Facts(words=words, stage=stage)
    name = part.slots.get("ingredient")
    entry = knowledge.ingredients().get(name) if isinstance(name, str) else None
    return cautions.Facts(
        act=part.act,
        event=part.slots.get("event"),
        stage=stage,
        ingredient=entry.id if entry else None,
        kind=entry.kind if entry else None,
        temperature_f=_fahrenheit(part.slots),
        words=words,
        flags=flags,
    )


def first_aid(heard: str) -> knowledge.Caution | None:
    """The rule that speaks to someone already hurt, if the words tell of that."""
    told = cautions.matching(cautions.Facts(words=tuple(split(heard))))
    return next((rule for rule in told if rule.hurt), None)
