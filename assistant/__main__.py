"""The command `kettleside`: which front end runs, on which folder."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from platformdirs import user_cache_path, user_data_path

NAME = "kettleside"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one front end; 0 when answered, 2 when not understood or more is needed, 1 on a fault."""
    options = _options(arguments)
    cache = user_cache_path(NAME, appauthor=False)
    stdin = _lenient(sys.stdin)
    if options.understand:
        # Only what understanding takes is loaded; the rest would double the wait.
        from assistant import asked, meanings
        from assistant.names import names, recall
        from grammar.language import Language

        recall(cache)
        asked.keep_in(cache)
        meanings.understood(Language(names(cache), cache), stdin, sys.stdout)
        return 0
    from assistant.conversation import Conversation
    from assistant.session.errors import LogError

    folder = options.data or user_data_path(NAME, appauthor=False)
    try:
        conversation = Conversation.open(folder, cache)
    except LogError as error:
        print(error, file=sys.stderr)
        return 1
    try:
        return _run(conversation, options, folder, stdin)
    except BrokenPipeError:
        # Whoever read the answers has gone; what was logged is safe, and there is nobody to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    finally:
        conversation.close()


def _run(conversation: object, options: argparse.Namespace, folder: Path, stdin: io.TextIOBase) -> int:
    from assistant import lines
    from assistant.conversation import Conversation
    from assistant.reply import DONE

    assert isinstance(conversation, Conversation)
    if options.sentence:
        said = " ".join(options.sentence).encode("utf-8", "surrogateescape").decode("utf-8", "replace")
        sentence, moment = lines.at_moment(said)
        reply = conversation.answer(sentence, moment)
        print(lines.shown(reply))
        return 0 if reply.status == DONE else 2
    if options.json:
        lines.as_json(conversation, stdin, sys.stdout)
    elif sys.stdin.isatty() and sys.stdout.isatty():
        from assistant import chat

        return chat.run(conversation, folder / "history")
    else:
        lines.as_text(conversation, stdin, sys.stdout)
    return 0


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog=NAME,
        description="A hand on brew day: say what happens, or ask.",
        epilog="Without a sentence: the chat, or a sentence a line from standard input.",
    )
    parser.add_argument("sentence", nargs="*", help="one sentence")
    parser.add_argument("--json", action="store_true", help="one JSON object a line; acts on each line")
    parser.add_argument("--understand", action="store_true", help="what each line means, as JSON; never acts")
    parser.add_argument("--data", type=Path, metavar="DIR", help="keep the log in DIR")
    return parser.parse_args(arguments)


def _lenient(stream: object) -> io.TextIOBase:
    """Standard input as UTF-8 in which broken bytes become a mark instead of an end."""
    if isinstance(stream, io.TextIOWrapper):
        stream.reconfigure(encoding="utf-8", errors="replace")
    for out in (sys.stdout, sys.stderr):
        if isinstance(out, io.TextIOWrapper):
            out.reconfigure(encoding="utf-8", errors="replace")
    assert isinstance(stream, io.TextIOBase)
    return stream


if __name__ == "__main__":
    sys.exit(main())
