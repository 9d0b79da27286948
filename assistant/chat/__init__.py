"""The chat: one line typed, one answer printed, and clocks that ring in between.

`loop.py` reads, answers and rings; `line.py` is the line being typed (history, completion), `bottom.py` the
line below it, `paper.py` what is printed above it, `faults.py` where our own bugs are written down.
"""

from assistant.chat.loop import run

__all__ = ["run"]
