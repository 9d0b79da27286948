"""Styles of beer: what one is like, and the ranges it usually keeps."""

from __future__ import annotations

import knowledge
from assistant import wording
from assistant.handlers.turn import Turn
from assistant.handlers.working import cite
from assistant.reply import Outcome


def about_style(turn: Turn) -> Outcome:
    return told(knowledge.styles()[str(turn.slots["style"])])


def told(style: knowledge.Style) -> Outcome:
    return Outcome(
        f"{style.name}: {style.say[:1].lower()}{style.say[1:]}",
        more=(
            f"{_range(style.og, 'sg')} original gravity, {_range(style.fg, 'sg')} final, {_range(style.abv, 'percent')} alcohol.",
            f"{_range(style.ibu, 'ibu')}, {_range(style.srm, 'srm')}, {_range(style.carbonation, 'volume_co2')}.",
            "Ranges to aim at, not to be judged by.",
        ),
        sources=tuple(cite(source) for source in style.source),
        entry=f"styles/{style.id}",
    )


def _range(span: knowledge.Range, unit: str) -> str:
    low, high = (wording.measure(number, unit) for number in span)
    return f"{low.split()[0]} to {high}"
