"""The search takes a short way to the cheapest reading: the same one that trying everything would find."""

from __future__ import annotations

import math

import pytest

from grammar import search
from grammar.asides import passing
from grammar.language import Language
from grammar.lattice import Lattice
from grammar.search import Beside, Search, told
from grammar.words import split

SAID = (
    "reading 1.052 at 70F",
    "how much water do I want for the whole garage",
    "what gravity will the lot of this come to",
    "why is it cloudy and how much sugar for 5 gallons",
    "the kettle boiled over on my socks",
    "is it safe to lean on a warm garage door",
    "add an ounce of wool emote and start a timer",
    "the lid is on and the airlock is fitted, so how strong is my good pale friend",
    "note my uncle sells hats",
    "sorry about that , how strong is it",
    "how strong is it, never without the dog",
    "how is the porter doing",
    "1 oz magnum at 60 and a half oz willamette at 10 and a tsp irish moss",
)


class _Unguided(Search):
    """Knows nothing of what the words still to come cost."""

    def _bound(self, act: str) -> list[float]:
        return [0.0] * (self._length + 1)


@pytest.fixture(autouse=True)
def _endless_patience(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(search, "PATIENCE", 10**6)
    monkeypatch.setattr(search, "PATIENCE_MISHEARD", 10**6)


@pytest.mark.parametrize("misheard", [False, True], ids=["as heard", "misheard"])
@pytest.mark.parametrize("said", SAID)
def test_no_reading_costs_less_than_its_bounds(language: Language, said: str, misheard: bool) -> None:
    lattice = Lattice(split(said), language.vocabulary, (), ("porter",))
    passed = passing(
        lattice.words, lattice.counting(), language.vocabulary.talk, lattice.between(), language._meanings,
        language.examples, lattice.alike(),
    )
    beside = Beside(passed, () if misheard else lattice.asides())
    costs = dict.fromkeys(language._usual, 0.0)
    guided = Search(language.parser, lattice, costs, misheard, beside)
    unguided = _Unguided(language.parser, lattice, costs, misheard, beside)
    cheapest = math.inf
    for cost, last in unguided.run():
        cheapest = min(cost, cheapest)
        commands = 0
        for step in told(last):
            if step.edge is None:
                commands += 1
            elif step.stack:
                spent = unguided._cheapest[step.edge.end, step.stack.number, commands]
                assert guided._bound(step.act)[step.edge.end] <= cost - spent + 1e-9, (step, cost)
    assert guided._bound("")[0] <= cheapest
    assert next((cost for cost, _ in guided.run()), math.inf) == pytest.approx(cheapest)
