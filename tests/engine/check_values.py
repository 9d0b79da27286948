"""Prints every check value of the engine: whether it passes, by how much it is off, what is allowed, and its source.

    python -m tests.engine.check_values [WORD]

With a word, only the lines that hold it. The exit status is 1 when a value fails.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator

from tests.engine.engine_tables import Verdict, checks, verdicts


def judged() -> Iterator[Verdict]:
    """Every number of every table; texts and refusals are left to the tests."""
    for check in checks():
        if "refused" not in check.group:
            yield from (verdict for verdict in verdicts(check) if verdict.off_by is not None)


def line(verdict: Verdict) -> str:
    """One value in one line."""
    group = verdict.check.group
    result = "pass" if verdict.passed else "FAIL"
    return (
        f"{result}  {verdict.name} {verdict.got:.6g}, expected {verdict.expected:g}, off by {verdict.off_by:.2g}, "
        f"allowed {verdict.allowed}  |  {verdict.check}  |  {' '.join(group['source'].split())}  |  {group['mark']}"
    )


def main(word: str = "") -> int:
    told = Counter[str]()
    failed = 0
    for verdict in judged():
        text = line(verdict)
        if word in text:
            print(text)
            told[verdict.check.group["mark"]] += 1
            failed += not verdict.passed
    marks = ", ".join(f"{many} {mark}" for mark, many in told.most_common())
    print(f"{told.total()} check values: {told.total() - failed} pass, {failed} fail ({marks})")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
