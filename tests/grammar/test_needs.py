"""That an act is left out of the search only where none of its sentences can be meant."""

from __future__ import annotations

import random
from collections import defaultdict

import pytest
from lark import Lark

from grammar.files import acts, grammar_text
from grammar.needs import Rule, met, needs
from grammar.tables import kept_in, lark_of

SENTENCES_EACH = 40
LONGEST_DERIVATION = 14
"""Rules inside one another; deeper ones take the shortest way out."""

FEW_ACTS = 0.2
"""The share of acts that may be meant by words of one kind alone, at most; else leaving acts out saves nothing."""

SMALL = [
    # sentence: ICE? how_much | verb ICE;  how_much: HOW ICE | HOW COLD
    Rule("sentence", [("how_much", False)]),
    Rule("sentence", [("ICE", True), ("how_much", False)]),
    Rule("sentence", [("verb", False), ("ICE", True)]),
    Rule("how_much", [("HOW", True), ("ICE", True)]),
    Rule("how_much", [("HOW", True), ("COLD", True)]),
    Rule("verb", [("verb", False), ("VERY", True)]),
    Rule("verb", [("NEED", True)]),
    Rule("maybe", []),
    Rule("maybe", [("ICE", True)]),
]


@pytest.mark.parametrize("heard, possible", [
    ("HOW ICE", True), ("HOW COLD", True), ("NEED ICE", True), ("NEED VERY ICE", True),
    ("ICE", False), ("HOW NEED", False), ("COLD NEED", False), ("NEED", False), ("COLD VERY", False),
])
def test_needs_of_a_small_grammar(heard: str, possible: bool) -> None:
    assert met(needs(SMALL, {})["sentence"], set(heard.split())) is possible


def test_what_may_be_empty_needs_nothing() -> None:
    assert needs(SMALL, {})["maybe"] == ()


@pytest.fixture(scope="module")
def lark() -> Lark:
    return lark_of(grammar_text(), acts())


def test_each_sentence_holds_what_its_act_needs(lark: Lark) -> None:
    """Sentences made up from the rules at random, as rows of terminals."""
    alternatives = defaultdict(list)
    for rule in lark.parser.parser_conf.rules:
        alternatives[rule.origin.name].append([(symbol.name, symbol.is_term) for symbol in rule.expansion])
    shortest: dict[str, int] = {}
    while len(shortest) < len(alternatives):
        for name, rows in alternatives.items():
            ways = [max([0, *(shortest[symbol] for symbol, term in row if not term)]) for row in rows
                    if all(term or symbol in shortest for symbol, term in row)]
            if ways:
                shortest.setdefault(name, 1 + min(ways))
    chance = random.Random(1)

    def derived(name: str, deep: int) -> set[str]:
        rows = alternatives[name]
        if deep > LONGEST_DERIVATION:
            rows = [min(rows, key=lambda row: max([0, *(shortest[symbol] for symbol, term in row if not term)]))]
        row = chance.choice(rows)
        return set().union(*({symbol} if term else derived(symbol, deep + 1) for symbol, term in row))

    needed = kept_in(None, grammar_text(), acts()).needs
    for act in acts():
        for _ in range(SENTENCES_EACH):
            sentence = derived(act, 0)
            assert met(needed[act], sentence), (act, sentence)


def test_few_acts_are_left(lark: Lark) -> None:
    """With all that measures and counts, and yet without a word, most acts are out of the question."""
    needed = kept_in(None, grammar_text(), acts()).needs
    for heard in ({"TEMPERATURE", "VOLUME", "GRAVITY", "DURATION"}, {"HOP", "MASS", "DURATION"}, {"HOW_MUCH", "VOLUME"}):
        left = [act for act in acts() if met(needed[act], heard)]
        assert len(left) <= FEW_ACTS * len(acts()), (heard, left)
