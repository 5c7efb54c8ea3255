"""How long something takes at the least, and how much memory at the most."""

import tracemalloc
from time import perf_counter

BINARY_STL = 50
"""Bytes a triangle, in which the size of a mesh is told."""


def least_time(work, times=3):
    """The least of some tries, in seconds: what else the machine does only adds."""
    taken = []
    for _ in range(times):
        begin = perf_counter()
        work()
        taken.append(perf_counter() - begin)
    return min(taken)


def most_memory(work):
    """The most bytes that Python and numpy held at once."""
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
