"""What takes long to work out and never changes with the same input, kept in files: shipped with the installation or cached."""

from __future__ import annotations

import gc
import os
import pickle
from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from importlib.resources import files
from pathlib import Path
from typing import TypeVar

_Made = TypeVar("_Made")

_made: dict[str, object] = {}


def kept(what: str, made_of: str, make: Callable[[], _Made], folder: Path | None) -> _Made:
    """What came with the installation, else what lies in the folder's cache, else `make()`, then put there.

    `made_of` is all that it depends on: other input makes another file name, so that nothing stale is ever read. A file
    that cannot be read is passed over: it only saves time.
    """
    name = file_name(what, made_of)
    shipped = Path(str(files("grammar"))) / name
    for path in (shipped, *([folder / name] if folder else [])):
        found = _read(path)
        if found is not None:
            return found  # type: ignore[return-value]
    if name not in _made:
        _made[name] = make()
    made: _Made = _made[name]  # type: ignore[assignment]
    if folder:
        with suppress(OSError):
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            for old in folder.glob(f"{what}-*.pickle"):
                old.unlink(missing_ok=True)
            part = folder / f"{name}.{os.getpid()}.part"
            part.write_bytes(pickle.dumps(made, protocol=pickle.HIGHEST_PROTOCOL))
            part.replace(folder / name)
    return made


def ship(folder: Path, what: str, made_of: str, made: object) -> None:
    """Put it into a folder that is to be installed."""
    (folder / file_name(what, made_of)).write_bytes(pickle.dumps(made, protocol=pickle.HIGHEST_PROTOCOL))


def file_name(what: str, made_of: str) -> str:
    return f"{what}-{sha256(made_of.encode()).hexdigest()[:20]}.pickle"


def _read(path: Path) -> object | None:
    collecting = gc.isenabled()
    gc.disable()  # nothing of it is garbage, and looking for some takes longer than reading
    try:
        found: object = pickle.loads(path.read_bytes())
    except (OSError, pickle.PickleError, EOFError, AttributeError, ImportError, IndexError, ValueError):
        return None
    finally:
        if collecting:
            gc.enable()
    return found
