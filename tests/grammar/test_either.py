"""Two numbers of one kind are told apart by what they must be.

That wort loses gravity as it ferments, that ice cools and that water is added needs no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from grammar.either import EITHER, told_apart


@pytest.mark.parametrize(
    ("act", "numbers", "told", "slots"),
    [
        ("ask_abv", [[1.010, "sg"], [1.050, "sg"]], {}, {"original": [1.050, "sg"], "final": [1.010, "sg"]}),
        ("ask_abv", [[1.010, "sg"]], {"original": [1.050, "sg"]}, {"final": [1.010, "sg"]}),
        ("ask_abv", [[1.072, "sg"]], {}, {"original": [1.072, "sg"]}),
        ("ask_abv", [[1.010, "sg"]], {}, {"final": [1.010, "sg"]}),
        ("ask_refractometer", [[6.0, "brix"], [1.052, "sg"]], {}, {"original": [1.052, "sg"], "final": [6.0, "brix"]}),
        ("ask_ice", [[20.0, "degC"], [180.0, "degF"]], {}, {"temperature": [180.0, "degF"], "target": [20.0, "degC"]}),
        ("ask_topup_gravity", [[5.0, "gallon"], [12.0, "liter"]], {}, {"final_volume": [5.0, "gallon"], "volume": [12.0, "liter"]}),
        ("ask_strike", [[65.0, "degF"]], {}, {"grain_temperature": [65.0, "degF"]}),
    ],
)
def test_told_apart(act: str, numbers: list[Any], told: dict[str, object], slots: dict[str, Any]) -> None:
    assert told_apart(act, numbers, told) == slots


@pytest.mark.parametrize("act", EITHER)
def test_a_third_number_is_too_many(act: str) -> None:
    assert told_apart(act, [[1.0, ""], [2.0, ""], [3.0, ""]], {}) is None
