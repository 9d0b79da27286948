"""What was understood: an act, its slots, and how sure that is. The last step of the language; what follows acts on it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import pairwise
from typing import Any

from lark import Token, Tree

from grammar.asides import ASKING, is_harmless
from grammar.either import told_apart
from grammar.facts import BESIDE_COST, FACTS, NO_SUM_COST, STATED_COST, in_metric, is_asked, meant_by
from grammar.files import DUE
from grammar.lattice import BatchName
from grammar.moments import Moment
from grammar.parser import Found, Parse
from grammar.plausibility import Doubt, doubts, is_usual
from grammar.quantities import convertible
from grammar.words import split

Slot = list[Any] | str
"""`[number, unit]` or a name, as in the contract with programs."""

LINE = 0.5
"""Below this a command is asked back and never carried out."""

BARE_UNITS = {
    "bare_sg": "sg",
    "bare_degrees": "degrees",
    "bare_minutes": "minute",
    "bare_days": "day",
    "bare_percent": "percent",
    "bare_volumes": "volume_co2",
    "bare_ibu": "ibu",
    "bare_feet": "foot",
    "bare_inches": "inch_Hg",
    "bare_ppm": "ppm",
    "bare_gallons": "volume",
    "bare_brix": "brix",
    "bare_bottles": "bottle",
    "bare_filled": "bottle",
    "bare_value": "",
}
"""The unit of a number without one, by where it stands."""

FLUID = {"ounce": "fluid_ounce"}
"""What a unit of weight means where only a liquid can be meant: a pour of `12 oz`."""

_SAME_KIND = {"degrees": ("degF", "degC"), "volume": ("gallon", "liter", "quart", "milliliter")}
"""Units a number of that kind may take over from the rest of the sentence."""

PART = "part"
"""The rule of a thing said with slots of its own, of which a sentence may hold several."""

WITHIN = "count"
"""What is told within a wording that stands for a slot by itself: how many bottles were filled."""

FIXED = {"at_flameout": [0.0, "minute"]}
"""Wordings that stand for a quantity."""

WHOLE_BOIL = "whole"
"""The value of `boil_left` where the sentence says no more than that it is all of the boil."""

RECORDING = frozenset(
    "log_gravity log_temperature log_volume log_addition log_event note correct_last undo plan_addition "
    "remove_addition new_batch use_batch set".split()
)
"""Acts that write down what the brewer states; a question mark after one of these is a reason to ask."""

DOUBTFUL = {"lone_gravity": "gravity", "lone_temperature": "temperature", "lone_minutes": "duration"}
"""Wordings that are understood and yet may be something else: a number alone, without its point."""

QUESTION_OPENERS = frozenset("is are was were has did do does can could will would should am".split())
"""A statement does not open with one of these."""

ASKS_FIRST = QUESTION_OPENERS | frozenset("have may might shall".split())
INVERTED = frozenset("i it that this we there one".split())
"""Behind one of `ASKS_FIRST` these ask, wherever they stand: `is it`, `can I`."""

OPENS_ANEW = frozenset(", and so then but or because hey um uh okay ok well".split())
"""Words behind which a question may open."""

REQUESTS = frozenset("can could will would".split())
"""With `you` behind it, one of these opens an order put politely."""

INTERROGATIVES = ASKING | {"?", "wonder", "wondering"}
"""Any of these makes a question."""

ORDERS = frozenset("calculate compute convert correct estimate figure find give show tell work remind check adjust help".split())
"""Words that ask for a sum in the manner of an order."""

SUBJECTS = frozenset("i we he she they you is are was were am".split())
"""Words that make a statement where nothing in the sentence asks; `1.050 at 100F corrected` has none."""

WANTED = frozenset("need needed want trying aiming shooting wanted old anything if".split())
"""A statement with one of these is meant as a question."""

JOINERS = frozenset(", and then also plus".split())
"""Words between two things said in one breath."""

ADDITIONS = ("log_addition", "plan_addition", "remove_addition")
"""Acts that a bare amount of something goes on with."""

WARMEST_ROOM = 45
"""Degrees: a number up to here is Celsius to whoever measures in it; above, it may be either scale."""

Expected = Mapping[str, tuple[float, float] | None]
"""Acts and events that the stage of the batch makes likely, with the range of a number said alone."""

NOTHING_EXPECTED: Expected = {}

MEASURED_ALONE = {"log_temperature": "bare_degrees", "log_gravity": "bare_sg"}
"""Acts whose number may be said alone, and the rule it is read by."""

KIND_WORDS = frozenset("TEMP_WORD HEATED GAUGE GRAVITY_WORD GRAVITY_GAUGE BRIX_WORD".split())
"""Terminals that tell which of these is meant."""

COUNTED, COUNT_IN = frozenset("dozen couple".split()), "one two three"
"""Words that count things, and those that count somebody in; neither is what an instrument shows."""

ROOM_SAID = ("in here", "out here", "outside")
"""Degrees told of these alone are the room's or the day's, and hardly something for the log."""

BY_NAME = frozenset({"start_timer", "time_left", "checklist"})
"""Acts that may be told tersely and record nothing but a clock."""

LEAST_FIGURES, MOST_FIGURES = 2, 160
"""Between which the last figures of a gravity lie, told alone: 1.002 and below 1.160."""

_TITLED = frozenset({"NEW_BATCH", "BATCH_NOUN"})

_ANY_TIME = datetime(2000, 1, 1).astimezone()

_LONE_COST = 0.1
"""For a temperature told by nothing but its number: whatever else explains that number is meant."""
_QUESTION_COST = 0.75
_STATEMENT_COST = 0.75
_REPAIRED_COST = 0.12
"""For recording what was only guessed."""
CONFLICT_COST = 0.75
"""For what contradicts itself, or took the place of something said before it."""
_NO_CONTEXT_COST = 0.75
_DOUBT_COST = 0.9
_ODD_COST = 0.2
"""For a time no boil lasts: whatever else the words may mean is meant sooner."""


@dataclass(frozen=True)
class Command:
    """One thing the brewer wants, as far as it was understood."""

    act: str
    slots: dict[str, Slot] = field(default_factory=dict)
    sure: float = 1.0
    """From 0 to 1; below `LINE` it must be confirmed first."""
    heard: str = ""
    repairs: tuple[tuple[str, str], ...] = ()
    """What was heard and what it was taken for."""
    passed_over: tuple[str, ...] = ()
    """Words that were not understood."""
    doubts: tuple[Doubt, ...] = ()
    rivals: tuple[Command, ...] = ()
    """What else may be meant, as likely; it is asked which."""

    @property
    def impossible(self) -> Doubt | None:
        return next((doubt for doubt in self.doubts if doubt.impossible), None)


def unclear(heard: str) -> Command:
    return Command("unclear", {}, 0.0, heard)


def command_of(
    parse: Parse,
    heard: str,
    words: Sequence[str],
    now: datetime,
    addition: str | None,
    scale: str = "degF",
    expected: Expected = NOTHING_EXPECTED,
    taken_back: tuple[tuple[str, str], ...] = (),
) -> list[Command]:
    """The commands of a parse, in the order they were said; `taken_back` is what was said first, and what holds."""
    repairs = tuple(
        (" ".join(words[start : edge.end]), str(edge.value))
        for start, edge in parse.edges
        if edge.repaired and edge.terminal
    )
    passed_over = tuple(str(edge.value) for _, edge in parse.edges if edge.repaired and not edge.terminal)
    timed = any(found.act == "addition" and "boil_left" in _slots(found, now)[0] for found in parse.commands)
    batch = next((str(edge.value) for _, edge in parse.edges if isinstance(edge.value, BatchName)), None)
    title = _title(parse, words)
    commands: list[Command] = []
    for found in parse.commands:
        slots, cost = _slots(found, now)[0], 0.0
        act, happened = _meant(found.act)
        slots |= happened
        if (
            act not in expected
            and any(str(node.data) in DOUBTFUL for node in found.tree.children if isinstance(node, Tree))
            and not any("." in w or w == "point" for w in words)
        ) or _may_be_another(found, act, expected):
            cost += CONFLICT_COST
        figures = _by_last_figures(slots) if act == "log_gravity" else None
        if figures:
            slots["gravity"] = figures
            cost += 0.0 if act in expected else CONFLICT_COST
        if (found.act.startswith(DUE) or (act in MEASURED_ALONE and _alone(found))) and _is_loose(words, slots, now):
            cost += CONFLICT_COST
        if act == "log_temperature" and "of" not in slots and any(place in " ".join(words) for place in ROOM_SAID):
            cost += CONFLICT_COST
        if act in RECORDING and repairs:
            cost += _REPAIRED_COST
        if act.startswith("ask_") and is_statement(words):
            cost += _STATEMENT_COST if act != FACTS else 0.0 if is_asked(found.tree) else STATED_COST
        if act == "addition":
            act, more = _addition_act(timed, [command.act for command in commands], addition, expected)
            cost += more
        degrees = scale
        rivals: tuple[Command, ...] = ()
        if act == FACTS:
            degrees = "degC?" if scale == "degF" and in_metric(found.tree) else scale
            act, rivals = _sum_meant(found, degrees)
        slots, unsure = _with_scale(slots, degrees)
        cost += unsure
        slots = _hot_first(slots)
        if "text" in slots:
            slots["text"] = _as_said(str(slots["text"]), heard)
        if act == "new_batch" and title:
            slots.setdefault("name", title)
        if batch and is_harmless(act):
            slots.setdefault("name", batch)
        if act in ADDITIONS and "amount" not in slots and commands and commands[-1].act == "correct_last" and "amount" in commands[-1].slots:
            cost += CONFLICT_COST  # `no, also half an ounce of Fuggle`: the amount is hardly another one's
        hops = any(True for _ in found.tree.scan_values(_is_hop))
        doubt = tuple(doubts(act, slots, hops))
        if taken_back and not is_harmless(act):
            cost = max(cost, CONFLICT_COST)
        cost += parse.cost + (_DOUBT_COST if doubt else 0.0)
        if act == "log_event" and commands and act == commands[-1].act and slots.items() <= commands[-1].slots.items():
            continue  # said twice in other words
        commands.append(
            Command(
                act, slots, round(math.exp(-max(cost, 0.0)), 3), heard, (*taken_back, *repairs), passed_over, doubt, rivals
            )
        )
    sure = min(command.sure for command in commands)
    if _may_be_asked([command.act in RECORDING for command in commands], words):
        sure *= math.exp(-_QUESTION_COST)
    return [replace(command, sure=round(sure, 3)) for command in commands]


def _title(parse: Parse, words: Sequence[str]) -> str:
    """A style where a batch's name stands, right behind the word for the batch: `new batch fall ale`."""
    for (before, opened), (start, edge) in pairwise(parse.edges):
        if edge.terminal == "STYLE" and opened.terminal in _TITLED and opened.end == start > before:
            return " ".join(words[start : edge.end])
    return ""


def _sum_meant(found: Found, scale: str) -> tuple[str, tuple[Command, ...]]:
    """The act of the sum whose facts were told, and the sums that have the same facts."""
    meant = meant_by(found.tree)
    others = tuple(Command(other.act, _hot_first(_with_scale(other.slots, scale)[0])) for other in meant[1:])
    return (meant[0].act if meant else "unclear"), others


def objections(commands: Sequence[Found], expected: Expected = NOTHING_EXPECTED) -> float:
    """What commands cost more for what they say; facts of a sum leave nothing for another command beside it."""
    beside = len(commands) > 1 and any(found.act == FACTS for found in commands)
    return sum(objection(found, expected) for found in commands) + (BESIDE_COST if beside else 0.0)


def objection(found: Found, expected: Expected = NOTHING_EXPECTED) -> float:
    """What a command costs more for contradicting itself: two numbers for one slot, pounds in hours.

    Or for a number alone that is not what is expected.
    """
    slots, cost = _slots(found, _ANY_TIME)
    if any(isinstance(node, Tree) and node.data == "lone_temperature" for node in found.tree.children):
        cost += _LONE_COST
    fits = _can_be_converted(found.act, slots) and is_usual(found.act, slots)
    limits = expected.get(_meant(found.act)[0])
    fits = fits and (limits is None or all(limits[0] <= number <= limits[1] for number in _alone(found)))
    cost += _ODD_COST if any(doubt.slot == "boil_left" for doubt in doubts(found.act, slots)) else 0.0
    return cost if fits else cost + CONFLICT_COST


def due(expected: str) -> str:
    """The act under which something expected is told tersely."""
    return f"{DUE}{expected}"


def _meant(act: str) -> tuple[str, dict[str, Slot]]:
    """The act that one told tersely stands for, and the event."""
    name = act.removeprefix(DUE)
    if name == act or name in RECORDING or name in BY_NAME:
        return name, {}
    return "log_event", {"event": name}


def _alone(found: Found) -> list[float]:
    """The numbers said without unit or point that an act of `MEASURED_ALONE` is about."""
    label = MEASURED_ALONE.get(_meant(found.act)[0])
    bare = found.tree.find_pred(lambda node: str(node.data) == label)
    return [float(token.value) for node in bare for token in node.children if isinstance(token, Token)]


def _may_be_another(found: Found, act: str, expected: Expected) -> bool:
    """Whether a number said alone, without a word that tells what it is of, may be any of two that are expected."""
    if act not in MEASURED_ALONE or any(True for _ in found.tree.scan_values(_tells_kind)):
        return False
    others = [expected[other] for other in MEASURED_ALONE if other != act and other in expected]
    return any(
        limits and limits[0] <= number <= limits[1] for limits in others for number in _alone(found)
    )


def _is_loose(words: Sequence[str], slots: Mapping[str, Slot], now: datetime) -> bool:
    """Whether what was told tersely may as well be an order, a count, or about another day and so another thing."""
    earlier = not str(slots.get("when", now.isoformat())).startswith(now.date().isoformat())
    return earlier or not (ORDERS | COUNTED).isdisjoint(words) or COUNT_IN in " ".join(words)


def _tells_kind(value: Any) -> bool:
    return isinstance(value, Token) and value.type in KIND_WORDS


def _by_last_figures(slots: Mapping[str, Slot]) -> Slot | None:
    """A gravity told by the last figures alone: `13` is 1.013. None where it was told in full, or cannot be."""
    told = slots.get("gravity")
    if not isinstance(told, list) or told[1] != "sg" or not (LEAST_FIGURES <= told[0] < MOST_FIGURES and told[0] % 1 == 0):
        return None
    return [round(1 + told[0] / 1000, 3), "sg"]


def is_statement(words: Sequence[str]) -> bool:
    """Whether a sentence tells rather than asks: it has a subject or a verb of being, and nothing in it asks."""
    openings = {word for before, word in zip([",", *words], words, strict=False) if before in OPENS_ANEW}
    inverted = any(verb in ASKS_FIRST and subject in INVERTED for verb, subject in pairwise(words))
    asks = not INTERROGATIVES.isdisjoint(words) or not ASKS_FIRST.isdisjoint(openings) or inverted
    return not asks and not SUBJECTS.isdisjoint(words) and ORDERS.isdisjoint(words) and WANTED.isdisjoint(words[1:])


def _may_be_asked(recording: Sequence[bool], words: Sequence[str]) -> bool:
    """Whether what looks like a statement may be part of a question: by its mark, its opening, or what it follows."""
    trails = not recording[0] and any(recording) and not JOINERS.intersection(words)
    polite = words[0] in REQUESTS and words[1:2] == ["you"]
    inverted = words[0] in ASKS_FIRST and not INVERTED.union({"the"}).isdisjoint(words[1:2])
    opens = (words[0] in QUESTION_OPENERS or inverted) and any(recording) and not polite
    return (words[-1] == "?" and recording[-1] and not polite) or opens or trails


def _can_be_converted(act: str, slots: Mapping[str, Slot]) -> bool:
    """Whether what `ask_convert` was asked makes sense: no pounds in hours."""
    told, wanted = slots.get("from"), slots.get("to")
    return act != "ask_convert" or not isinstance(told, list) or convertible(told[1], str(wanted))


def _is_hop(value: Any) -> bool:
    return isinstance(value, Token) and value.type == "HOP"


def _addition_act(
    timed: bool, before: Sequence[str], addition: str | None, expected: Expected
) -> tuple[str, float]:
    """What a bare "1 oz Willamette" goes on with: the sentence so far, then the talk so far.

    `timed` where one of the row names its time in the boil.
    """
    if before and before[-1] in ADDITIONS:
        return before[-1], 0.0
    if "log_addition" in expected and addition != "log_addition":
        return "log_addition", _NO_CONTEXT_COST
    if timed and addition != "log_addition":
        return "plan_addition", 0.0
    if addition:
        return addition, 0.0
    return "plan_addition", _NO_CONTEXT_COST


def numbered(slot: str, part: int) -> str:
    """The slot of the second part and on: `volume`, `volume_2`, `volume_3`."""
    return slot if part == 1 else f"{slot}_{part}"


def _told(found: Found, now: datetime) -> Iterator[tuple[str, Slot]]:
    """Every slot as it was told. What comes in parts, such as several worts, is numbered from the second part on."""
    parts = 0
    for child in found.tree.children:
        if isinstance(child, Token):
            continue
        parts += child.data == PART
        for node in child.children if child.data == PART else (child,):
            if isinstance(node, Tree):
                name, value = _slot(node, now)
                yield numbered(name, parts) if child.data == PART else name, value
                yield from (_slot(part, now) for part in node.children if isinstance(part, Tree) and part.data == WITHIN)


def _slots(found: Found, now: datetime) -> tuple[dict[str, Slot], float]:
    if found.act == FACTS:
        meant = meant_by(found.tree)
        return (meant[0].slots, meant[0].cost) if meant else ({}, NO_SUM_COST)
    slots: dict[str, Slot] = {}
    cost = 0.0
    either: list[list[Any]] = []
    for name, value in _told(found, now):
        if name == "either":
            assert isinstance(value, list)
            either.append(value)
            continue
        if name in slots and slots[name] != value:
            cost += CONFLICT_COST
        slots.setdefault(name, value)
    if either:
        apart = told_apart(found.act, either, slots)
        if apart is None:
            return slots, cost + CONFLICT_COST
        slots |= apart
    return slots, cost


def _slot(node: Tree[Token], now: datetime) -> tuple[str, Slot]:
    label = str(node.data)
    if label in BARE_UNITS:
        return "value", _value(node, now)
    label = DOUBTFUL.get(label, label)
    name, _, fixed = label.partition("__")
    return name, fixed if fixed else _value(node, now)


def _value(node: Tree[Token], now: datetime) -> Slot:
    """The value a slot's subtree holds: a quantity, a name, a moment."""
    label = str(node.data)
    if label in FIXED:
        return list(FIXED[label])
    if "__" in label:
        return label.partition("__")[2]
    child = node.children[0]
    if isinstance(child, Tree):
        return _value(child, now)
    value = child.value
    if label in BARE_UNITS:
        return [float(value), BARE_UNITS[label]]
    if label == "fluid_mass":
        return [float(value[0]), FLUID.get(value[1], value[1])]
    if label == "one_unit":
        return [1.0, value]
    if label == "of":
        return _place(value)
    if isinstance(value, tuple):
        return [float(value[0]), value[1]]
    if isinstance(value, Moment):
        return value.at(now).replace(tzinfo=None).isoformat(timespec="minutes")
    return value if isinstance(value, str) else [float(value), ""]


def _hot_first(slots: dict[str, Slot]) -> dict[str, Slot]:
    """Which of two waters is the hot one is told by their temperatures, not by which was named first."""
    hot, cold = slots.get("hot_temperature"), slots.get("cold_temperature")
    if not (isinstance(hot, list) and isinstance(cold, list) and hot[1] == cold[1] and hot[0] < cold[0]):
        return slots
    swapped = {"hot": "cold", "cold": "hot"}
    return {
        "_".join([swapped.get(part, part) for part in name.split("_", 1)]): value
        for name, value in slots.items()
    }


def _as_said(text: str, heard: str) -> str:
    """Words taken as they come, with the capitals and marks they were said with."""
    wanted = text.split()
    begins = (match.start() for match in re.finditer(r"\S+", heard))
    return next((heard[begin:].strip() for begin in begins if split(heard[begin:]) == wanted), text)


def _place(phrase: str) -> str:
    """`in the kettle` -> `kettle`."""
    words = phrase.split()
    while len(words) > 1 and words[0] in ("in", "into", "to", "on", "of", "the", "my"):
        words.pop(0)
    return " ".join(words)


def _with_scale(slots: dict[str, Slot], usual: str) -> tuple[dict[str, Slot], float]:
    """A number without its unit takes the one the sentence names elsewhere for its kind, else the usual one.

    And the cost of doubt: `degC?` is Celsius only because the last reading was, and a number above a warm room's may
    as well be Fahrenheit, a volume gallons. Who measures in Celsius measures in liters.
    """
    said = [value[1] for value in slots.values() if isinstance(value, list)]
    meant = {
        kind: next(
            (unit for unit in said if unit in units),
            usual.removesuffix("?") if kind == "degrees" else "liter" if usual.startswith("degC") else units[0],
        )
        for kind, units in _SAME_KIND.items()
    }
    bare = [value[0] for value in slots.values() if isinstance(value, list) and value[1] == "degrees"]
    doubtful = (
        usual.endswith("?")
        and not {"degF", "degC"} & set(said)
        and any(number > WARMEST_ROOM for number in bare)
    )
    scaled = {
        name: [value[0], meant.get(value[1], value[1])] if isinstance(value, list) else value
        for name, value in slots.items()
    }
    either_size = usual.endswith("?") and "volume" in said and not set(_SAME_KIND["volume"]) & set(said)
    return scaled, CONFLICT_COST if doubtful or either_size else 0.0
