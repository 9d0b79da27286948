"""For every test of the assistant: the language built once, and folders that are nobody's own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack
from pathlib import Path

import pytest
from talk import opened

from assistant.conversation import Conversation
from assistant.names import names
from grammar.language import Language


@pytest.fixture(scope="session")
def cache_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One cache for all tests, so that the grammar is worked out once."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="session")
def language(cache_home: Path) -> Language:
    # Where the program itself looks, so that programs started by tests find it too.
    return Language(names(), cache_home / "kettleside")


@pytest.fixture(autouse=True)
def away_from_home(tmp_path: Path, cache_home: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Tests never touch what the user keeps. Gives the folder that stands for the user's data."""
    home = tmp_path / "home"
    data = home / "data"
    for name, folder in {"HOME": home, "XDG_DATA_HOME": data, "XDG_CACHE_HOME": cache_home}.items():
        monkeypatch.setenv(name, str(folder))
    return data / "kettleside"


@pytest.fixture
def talk(language: Language) -> Iterator[Callable[[Path], Conversation]]:
    """Opens a conversation on a folder; all of them are closed when the test ends."""
    with ExitStack() as stack:

        def start(folder: Path) -> Conversation:
            conversation: AbstractContextManager[Conversation] = opened(folder, language)
            return stack.enter_context(conversation)

        yield start
