"""What was said and done: the log on disk, the state folded from it, the clocks read off that state.

Read in this order:

1. `entry.py`    one thing that was said, before and after it has a number
2. `slots.py`    what the slots of an entry must look like
3. `errors.py`   what can go wrong with the file, in words
4. `transaction.py`  all or nothing
5. `schema.py`   the numbered changes of the file's layout
6. `log.py`      the file: append, read on, a few lost-without-harm memos
7. `stages.py`   which event takes a batch to which stage
8. `model.py`    a batch, its plan and its timers
9. `clocks.py`   boil, timers, what is next and what came due
10. `state.py`   the fold from entries to batches
11. `session.py` one window on one file, always up to date
"""

from assistant.session.clocks import (
    BoilClock,
    Due,
    TimerClock,
    boil_clock,
    boil_length,
    came_due,
    running_timers,
    upcoming,
)
from assistant.session.entry import Draft, Entry
from assistant.session.errors import (
    LogCorrupt,
    LogDiskFull,
    LogError,
    LogFault,
    LogForeign,
    LogLocked,
    LogNewer,
    LogUnwritable,
)
from assistant.session.log import Log
from assistant.session.model import Batch, Journal, PlanLine, Timer
from assistant.session.session import Session
from assistant.session.slots import BadSlot, minutes
from assistant.session.state import fold

__all__ = [
    "BadSlot", "Batch", "BoilClock", "Draft", "Due", "Entry", "Journal", "Log", "LogCorrupt", "LogDiskFull",
    "LogError", "LogFault", "LogForeign", "LogLocked", "LogNewer", "LogUnwritable", "PlanLine", "Session",
    "Timer", "TimerClock", "boil_clock", "boil_length", "came_due", "fold", "minutes", "running_timers",
    "upcoming",
]
