"""How long a sentence takes: warm, from a cold start, and beside Lark's own parser; run by hand.

    python tests/benchmarks/bench_sentences.py

Everything happens in folders of its own. Times are milliseconds on the machine at hand; nothing is asserted.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter
from typing import NamedTuple

from lark import Token

from assistant.conversation import Conversation
from assistant.meanings import sentences
from assistant.names import names
from grammar.files import ANSWERS, acts, grammar_text
from grammar.language import Language
from grammar.lattice import Lattice
from grammar.tables import lark_of
from grammar.words import split

ROOT = Path(__file__).parents[2]
BREW_DAY = ROOT / "tests/assistant/tables/harvest-amber.txt"
SENTENCES = ROOT / "tests/grammar/tables/sentences.jsonl"
CHATTER = ROOT / "tests/grammar/tables/chatter.txt"
HEARD = ROOT / "tests/hearing/heard.jsonl"

COLD_RUNS = 10
FIRST_RUNS = 3
ROUNDS = 3

Spoken = list[tuple[str, datetime | None]]


def timed(work: Callable[[], object]) -> float:
    """Milliseconds one call takes."""
    start = perf_counter()
    work()
    return (perf_counter() - start) * 1000


def shown(what: str, times: Sequence[float]) -> None:
    """Median and 99th percentile; the worst says what a search without end would."""
    late = quantiles(times, n=100, method="inclusive")[98]
    figures = f"median {median(times):8.2f} ms   99 % {late:8.2f} ms   worst {max(times):8.2f} ms"
    print(f"{what:<50} {len(times):>5} x  {figures}")


def brew_day() -> Spoken:
    return list(sentences(BREW_DAY.read_text(encoding="utf-8").splitlines()))


def all_sentences() -> Spoken:
    return [(json.loads(line)["said"], None) for line in SENTENCES.read_text(encoding="utf-8").splitlines()]


# --- Warm


def warm(what: str, spoken: Spoken, cache: Path) -> None:
    """Each sentence of a table answered in a fresh data folder, what it records brought to the disk."""
    with tempfile.TemporaryDirectory() as folder:
        conversation = Conversation.open(Path(folder), cache)
        conversation.answer("how long left")  # Loads what is loaded once.
        shown(what, [timed(partial(conversation.answer, sentence, said)) for sentence, said in spoken])
        conversation.close()


def understanding(language: Language) -> None:
    """Sentences understood and not acted on, each heard for the first time."""
    now = datetime.now().astimezone()
    heard = [json.loads(line)["heard"] for line in HEARD.read_text(encoding="utf-8").splitlines()]
    language.understand("ward is boying", now)  # Loads what is loaded once.
    for what, told in (
        ("understanding alone, sentences of every act", [sentence for sentence, _ in all_sentences()]),
        ("understanding alone, badly misheard", [text for texts in heard for text in texts]),
        ("understanding alone, chatter", [said for said, _ in sentences(CHATTER.read_text("utf-8").splitlines())]),
    ):
        shown(what, [timed(partial(language.understand, sentence, now)) for sentence in told])


# --- Cold


class Run(NamedTuple):
    """A start of the program: milliseconds on the clock, and of work, however busy the machine is."""

    clock: float
    work: float


def run_once(cache_home: Path, *, understand: bool = False) -> Run:
    """One sentence through a program started for it, in a fresh data folder; or only its meaning asked for."""
    sentence = "reading 1.052 at 70F"
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": str(cache_home)}
    with tempfile.TemporaryDirectory() as folder:
        told = ["--understand"] if understand else ["--data", folder, sentence]
        command = [sys.executable, "-m", "assistant", *told]
        before = os.times()
        clock = timed(
            lambda: subprocess.run(
                command, input=sentence.encode(), cwd=ROOT, env=environment, check=True, capture_output=True
            )
        )
        after = os.times()
        work = after.children_user + after.children_system - before.children_user - before.children_system
        return Run(clock, work * 1000)


def shown_runs(what: str, runs: Sequence[Run]) -> None:
    for kind in Run._fields:
        times = [getattr(run, kind) for run in runs]
        figures = f"best {min(times):10.0f} ms   median {median(times):8.0f} ms   ({kind})"
        print(f"{what:<50} {len(times):>5} x  {figures}")


def cold(cache_home: Path) -> None:
    run_once(cache_home)
    shown_runs(
        "cold start of one sentence, grammar in the cache", [run_once(cache_home) for _ in range(COLD_RUNS)]
    )
    meanings = [run_once(cache_home, understand=True) for _ in range(COLD_RUNS)]
    shown_runs("cold start of --understand for one sentence", meanings)
    firsts = []
    for _ in range(FIRST_RUNS):
        with tempfile.TemporaryDirectory() as empty:
            firsts.append(run_once(Path(empty)))
    shown_runs("the very first run, grammar worked out", firsts)


# --- Beside Lark's Earley parser


class Typed(NamedTuple):
    """A sentence of one command heard exactly, and the terminals it was read as."""

    words: list[str]
    act: str
    tokens: list[Token]


def typed(language: Language, spoken: Iterable[str]) -> Iterator[Typed]:
    """The sentences in which nothing had to be guessed, with the path of the cheapest reading."""
    everything = [act for act in acts() if act not in ANSWERS]
    for sentence in spoken:
        words = split(sentence)
        parse = language.parser.read(Lattice(words, language.vocabulary), everything)
        if parse and len(parse.commands) == 1:
            tokens = [Token(edge.terminal, "x") for _, edge in parse.edges if edge.terminal]
            yield Typed(words, parse.commands[0].act, tokens)


def shown_for(what: str, exact: Sequence[Typed], read: Callable[[Typed], object]) -> None:
    """The best of a few rounds for each sentence."""
    shown(what, [min(timed(partial(read, each)) for _ in range(ROUNDS)) for each in exact])


def beside_earley(language: Language) -> None:
    """Lark is handed the right terminals, ours has to find them among all that the words may mean."""
    everything = [act for act in acts() if act not in ANSWERS]
    exact = list(typed(language, [sentence for sentence, _ in brew_day() + all_sentences()]))
    one = lark_of(grammar_text(), everything)
    all_acts = lark_of(f"{grammar_text()}\nany_act: {' | '.join(everything)}\n", ["any_act"])

    def ours(each: Typed, starts: Sequence[str]) -> object:
        return language.parser.read(Lattice(each.words, language.vocabulary), starts)

    print(f"\nparsers on {len(exact)} sentences that are heard exactly")
    shown_for("Lark's Earley, terminals and act given", exact, lambda each: one.parse(each.tokens, each.act))
    shown_for(
        "Lark's Earley, terminals given, any act", exact, lambda each: all_acts.parse(each.tokens, "any_act")
    )
    shown_for("ours, words as typed, act given", exact, lambda each: ours(each, [each.act]))
    shown_for("ours, words as typed, any act", exact, lambda each: ours(each, everything))


def main() -> None:
    """Print all figures."""
    with tempfile.TemporaryDirectory() as folder:
        cache_home = Path(folder)
        cache = cache_home / "kettleside"
        language = Language(names(cache), cache)
        warm("brew day, warm, logged to the disk", brew_day(), cache)
        warm("sentences of every act, warm, logged to the disk", all_sentences(), cache)
        understanding(language)
        cold(cache_home)
        beside_earley(language)


if __name__ == "__main__":
    main()
