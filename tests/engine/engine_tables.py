"""Reads the tables of checks, calls what they name, and compares: the one way for every table.

A table is a TOML file of groups. A group holds for all its rows:
  title       what is checked, as a sentence
  function    `module.name` within the engine
  columns     what the numbers of a row are: inputs as `name [unit]`, then what comes out as `-> name [unit]`;
              `-> +- name [unit]` is the spread of a value, `-> note` a text that one of the notes must hold
  fixed       inputs that are the same in every row
  tolerance   how far off a value may be, in its own unit; `relative` is the same as a share; one or the other
  source      where the expected numbers come from
  mark        found (read in print), computed (with a general library or by arithmetic), memory, practice
  rows        the numbers
or `refused`, the error's class, in place of a tolerance: then each row ends with a text the error must say.

[5, "gallon"] is a quantity; a table with `alpha` is a hop addition, with `material` a pot or what else shares the
heat, with `ppm` the ions of a water, with `days` a reading, any other a fermentable, of which what is left out is not known.
"""

from __future__ import annotations

import importlib
import math
import re
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pint

from assistant.engine.bitterness import HopAddition
from assistant.engine.fermentables import Fermentable
from assistant.engine.fermentation import Reading
from assistant.engine.heat import Body
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity, parse_unit

TABLES = Path(__file__).parent / "tables"
MARKS = ("found", "computed", "memory", "practice")
_COLUMN = re.compile(r"(?P<out>-> )?(?P<spread>\+- )?(?P<name>\w+)(?: \[(?P<unit>.*)\])?")


@dataclass(frozen=True)
class Column:
    name: str
    unit: str | None
    out: bool
    spread: bool


@dataclass(frozen=True)
class Check:
    """One row, with what its group says."""

    file: str
    group: dict[str, Any]
    row: list[Any]

    def __str__(self) -> str:
        cells = " ".join(str(cell) for cell in self.row if not isinstance(cell, list | dict))
        return f"{self.file}: {self.group['title']}: {cells}"[:110]

_UNKNOWN = {"amount": None, "yield_points": None}


def checks() -> Iterator[Check]:
    """Every row of every table."""
    for path in sorted(TABLES.glob("*.toml")):
        for group in tomllib.loads(path.read_text(encoding="utf-8"))["group"]:
            yield from (Check(path.stem, group, row) for row in group["rows"])


def columns(group: dict[str, Any]) -> list[Column]:
    found = [_COLUMN.fullmatch(text) for text in group["columns"]]
    assert all(found), f"a column of {group['title']!r} is not understood"
    return [Column(m["name"], m["unit"], bool(m["out"]), bool(m["spread"])) for m in found if m]


def function_of(group: dict[str, Any]) -> Callable[..., Any]:
    module, name = group["function"].split(".")
    return getattr(importlib.import_module(f"assistant.engine.{module}"), name)  # type: ignore[no-any-return]


def argument(raw: Any, unit: str | None = None) -> Any:
    """What a cell means: a number with its column's unit, a quantity, a part of a recipe, a list of such."""
    match raw:
        case int() | float() if unit is not None:
            return Q(raw, unit)
        case [int() | float() as number, str() as name]:
            return Q(number, name)
        case list():
            return [argument(each) for each in raw]
        case {"material": _}:
            return Body(**{key: argument(value) for key, value in raw.items()})
        case {"ppm": dict() as ions}:
            return {ion: Q(number, "ppm") for ion, number in ions.items()}
        case {"alpha": _}:
            return HopAddition(**{"name": "hops"} | {key: argument(value) for key, value in raw.items()})
        case {"days": days, "gravity": gravity}:
            return Reading(days, argument(gravity))
        case dict():
            return Fermentable(**_UNKNOWN | {key: argument(value) for key, value in raw.items()})
    return raw


def call(check: Check) -> Any:
    """Calls the function of a row with its inputs."""
    inputs = {name: argument(raw) for name, raw in check.group.get("fixed", {}).items()}
    for column, cell in zip(columns(check.group), check.row, strict=False):
        if not column.out:
            inputs[column.name] = argument(cell, column.unit)
    return function_of(check.group)(**inputs)


def number_of(answer: Any, column: Column) -> float:
    """The number that stands in a column, in the column's unit."""
    if isinstance(answer, Result):
        answer = (answer.spread if column.spread else answer.values)[column.name]
    return magnitude(answer, column.unit) if isinstance(answer, pint.Quantity) else float(answer)


@dataclass(frozen=True)
class Verdict:
    """One expected value beside what the engine gives."""

    check: Check
    name: str
    expected: Any
    got: Any
    passed: bool

    @property
    def off_by(self) -> float | None:
        """None for a text."""
        return None if isinstance(self.expected, str) else abs(float(self.got) - self.expected)

    @property
    def allowed(self) -> str:
        group = self.check.group
        return f"{group['relative']:.2%}" if "relative" in group else f"{group.get('tolerance', 0):g}"


def verdicts(check: Check) -> Iterator[Verdict]:
    """Calls the function of a row once, and judges every value that comes out by the group's tolerance."""
    answer = call(check)
    limits = {key: check.group[key] for key in ("tolerance", "relative") if key in check.group}
    for column, cell in zip(columns(check.group), check.row, strict=True):
        if column.out and column.name == "note":
            yield Verdict(check, "note", cell, answer.notes, any(cell in note for note in answer.notes))
        elif column.out:
            got = number_of(answer, column)
            name = f"+- {column.name}" if column.spread else column.name
            yield Verdict(check, name, cell, got, close(got, cell, **limits))


def magnitude(quantity: Quantity, unit: str | None) -> float:
    return float(quantity.m_as(parse_unit(unit or "")))


def close(got: float, expected: float, tolerance: float = 0.0, relative: float = 0.0) -> bool:
    """Whether two numbers agree as a table wants it: the one comparison there is."""
    return math.isclose(got, expected, rel_tol=relative, abs_tol=tolerance)


def same(got: Quantity, expected: Quantity, relative: float = 1e-6) -> bool:
    """Whether two quantities agree, whatever units they are in."""
    return close(magnitude(got, str(expected.units)), float(expected.magnitude), 1e-9, relative)
