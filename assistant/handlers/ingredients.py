"""Ingredients: what each is like, and the figures of its kind."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import knowledge
from assistant import wording
from assistant.handlers.log import named
from assistant.handlers.working import cite
from assistant.recommending import fitting
from assistant.reply import Outcome

_USES = {"bittering": "mostly for bitterness", "aroma": "mostly for flavor and smell", "dual": "for bitterness and smell"}


def told(entry: knowledge.Ingredient) -> Outcome:
    figures = next((of_kind(entry) for kind, of_kind in _FIGURES if isinstance(entry, kind)), [])
    sources = tuple(cite(source) for source in entry.source)
    return Outcome(wording.sentence(entry.say), more=tuple(figures), sources=sources, entry=f"ingredients/{entry.id}")


def recommended(kind: str, purpose: Sequence[str]) -> Outcome:
    """Those of a kind that fit best, each in the words of its own entry."""
    best = [each.entry for each in fitting(kind, purpose)]
    say = " ".join(f"{wording.sentence(named(entry.id)).rstrip('.')}: {entry.say[0].lower()}{entry.say[1:]}" for entry in best)
    sources = tuple(dict.fromkeys(cite(source) for entry in best for source in entry.source))
    return Outcome(say, more=("By what is known of each; the package decides.",), sources=sources, entry=f"ingredients/{best[0].id}")


def _span(span: knowledge.Range) -> str:
    return f"{span.low:g} to {span.high:g}"


def _hop(hop: Any) -> list[str]:
    found = []
    if hop.alpha:
        found.append(f"Alpha acids {_span(hop.alpha)} %, {_USES[hop.use]}; the package decides.")
    if hop.kin:
        found.append(f"Near kin: {wording.listed([named(name) for name in hop.kin], 'or')}.")
    return found


def _fermentable(malt: Any) -> list[str]:
    if not malt.yield_points:
        return []
    color = f", {malt.color:g} °L" if malt.color else ""
    found = [f"Yields {malt.yield_points:g} points per pound per gallon{color}."]
    if malt.mash:
        found.append("Needs a mash.")
    elif malt.steeped_points:
        found.append(f"Needs no mash; steeped it gives {malt.steeped_points:g} points.")
    elif malt.kind == "grain":
        found.append("Needs no mash.")
    return found


def _yeast(yeast: Any) -> list[str]:
    found = [f"Ferments at {_span(yeast.temperature)} °F; the packet decides."] if yeast.temperature else []
    settles = {"low": "settles slowly", "medium": "settles fairly well", "high": "settles fast"}[yeast.flocculation]
    if yeast.attenuation:
        found.append(f"Ferments {_span(yeast.attenuation)} % of the gravity away, and {settles}.")
    return found


def _addition(addition: Any) -> list[str]:
    found = []
    if addition.dose and addition.per:
        found.append(f"{wording.measure(*addition.dose)} to {wording.measure(*addition.per)}.")
    if addition.boil_left is not None:
        found.append(f"Goes in with {addition.boil_left:g} minutes of boil left." if addition.boil_left else "Goes in at flameout.")
    return found


def _salt(salt: Any) -> list[str]:
    return [f"{salt.formula}; it adds {wording.listed(salt.gives)}.", *_addition(salt)]


def _sanitizer(cleaner: Any) -> list[str]:
    wet = f"Keep it wet {cleaner.contact:g} minutes, then " if cleaner.contact else "Then "
    return [*_addition(cleaner), f"{wet}{'rinse' if cleaner.rinse else 'drain, no rinse'}; the label decides."]


_FIGURES = (
    (knowledge.Hop, _hop),
    (knowledge.Fermentable, _fermentable),
    (knowledge.Yeast, _yeast),
    (knowledge.Salt, _salt),
    (knowledge.Sanitizer, _sanitizer),
    (knowledge.Addition, _addition),
)
"""How the figures of each kind are put; a kind stands before the one it is a case of."""
