"""For every test of the grammar: the language, worked out once."""

from __future__ import annotations

import pytest

from assistant.names import names
from grammar.language import Language


@pytest.fixture(scope="session")
def language(tmp_path_factory: pytest.TempPathFactory) -> Language:
    return Language(names(), tmp_path_factory.mktemp("cache"))
