"""Which of the four ways a batch is made, and so whether its grain is steeped or mashed: as far as that was told or shows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import knowledge
from assistant.session.model import Batch

Malts = Sequence[tuple[knowledge.Fermentable, float | None]]
"""Extract, grain and sugar, each with its pounds, if told."""

LITTLE_GRAIN = 0.1
"""Share of the malt by weight up to which grain that needs a mash goes into the steep beside extract, where it converts
as well as it may: common practice, no source."""

LITTLE_EXTRACT = 0.2
"""Share up to which extract only helps a mash that gives the wort: common practice, no source."""

WORDS = {
    "all grain": "all grain", "allgrain": "all grain",
    "mini mash": "partial mash", "minimash": "partial mash", "partial mash": "partial mash",
    "extract": "steeped", "steep": "steeped", "steeping": "steeped",
    "mash": "mashed", "strike": "mashed",
}
"""What in the batch's name, or in what its log calls its water and its timers, tells how it is made."""

MASHING = ("partial mash", "all grain")
"""The ways whose grain is mashed."""


def way_of(batch: Batch, malts: Malts) -> tuple[str, str]:
    """One of the first four of `knowledge.entries.WAYS`, and what makes it that one.

    As it was set goes first, then what the batch is called, then what its log speaks of, then its recipe.
    """
    way, reason = _told(batch, malts) or by_recipe(malts)
    grain = not malts or any(entry.kind == "grain" for entry, _ in malts)
    return way if grain or way != "steeped" else "extract", reason


def _told(batch: Batch, malts: Malts) -> tuple[str, str] | None:
    told = batch.setting("way")
    if told is not None:
        return str(told).replace("_", " "), "you said so"
    for texts, reason in (((batch.name, batch.style), "the batch is called so"), (_logged(batch), "it is logged so")):
        way = next((way for text in texts if (way := _told_by(text or "", malts))), None)
        if way:
            return way, reason
    return None


def by_recipe(malts: Malts) -> tuple[str, str]:
    """By the malts alone; extract with steeped grain where they do not say otherwise."""
    grains = [entry for entry, _ in malts if entry.kind == "grain"]
    starchy = [entry for entry in grains if entry.mash]
    extract = any(entry.kind == "extract" for entry, _ in malts)
    if not malts:
        return "steeped", "the usual way, for the recipe is empty"
    if not grains:
        return "extract", "the recipe has no grain"
    if not starchy:
        return "steeped", "no grain of the recipe needs a mash"
    if not extract:
        return "all grain", "the recipe has grain and no extract"
    whole = _pounds(malts, ("extract", "grain"))
    names = starchy[0].name
    if _pounds([each for each in malts if each[0] in starchy], ("grain",)) <= LITTLE_GRAIN * whole:
        return "steeped", f"the recipe has extract, and only a little {names}"
    if _pounds(malts, ("extract",)) <= LITTLE_EXTRACT * whole:
        return "all grain", "the recipe has grain and only a little extract"
    return "partial mash", f"the recipe has extract, and {names} needs a mash"


def use_of_grain(way: str) -> str:
    """`mashed` or `steeped`, as the engine calls it."""
    return "mashed" if way in MASHING else "steeped"


def _pounds(malts: Malts, kinds: tuple[str, ...]) -> float:
    return sum(pounds or 0.0 for entry, pounds in malts if entry.kind in kinds)


def _logged(batch: Batch) -> Iterable[str]:
    """What the log calls its waters and its timers, the latest first."""
    return (
        *(str(entry.slots.get("of", "")) for entry in reversed(batch.temperatures)),
        *(timer.label or "" for timer in reversed(batch.timers)),
    )


def _told_by(text: str, malts: Malts) -> str | None:
    """The way that this tells of such malts: a mash of grain alone is all grain, and a steep of grain alone is none."""
    spaced = f" {text.casefold().replace('-', ' ')} "
    told = next((way for words, way in WORDS.items() if f" {words} " in spaced), None)
    kinds = {entry.kind for entry, _ in malts} or {"extract", "grain"}
    if told == "steeped":
        return told if "extract" in kinds else None
    if told == "mashed":
        return "partial mash" if "extract" in kinds else "all grain"
    return told
