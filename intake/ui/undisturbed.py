"""Lets work that makes very many values run without the collector of garbage, which would hold up the window."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock

_lock = Lock()
_under_way = 0
_was_on = False


@contextmanager
def undisturbed() -> Iterator[None]:
    """Runs what is inside without looking for garbage, and counts what it leaves among what stays.

    A directory of twenty thousand practices is some hundred thousand values and no garbage at all. To go through them
    takes the collector four tenths of a second, in which no thread runs, and it does so again and again while they are
    made. Values that nobody wants any more go without it.
    """
    global _under_way, _was_on
    with _lock:
        if _under_way == 0:
            _was_on = gc.isenabled()
            gc.disable()
        _under_way += 1
    try:
        yield
    finally:
        with _lock:
            _under_way -= 1
            if _under_way == 0:
                gc.freeze()
                if _was_on:
                    gc.enable()
