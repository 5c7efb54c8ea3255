"""The one job runner: slow work leaves the window free, and its result comes back on the window's thread."""

import threading
from collections.abc import Callable
from queue import SimpleQueue
from typing import Any, Literal

from PySide6.QtCore import QEventLoop, QObject, Qt, Signal, Slot

Lane = Literal["store", "beside"]
BESIDE = 4
"""So many threads for what may run side by side: a check of scans and a slow mailbox leave two for everything else."""


class Jobs(QObject):
    """Runs work in order on one thread for the store, and side by side on others for everything else.

    Args:
        failed: What to do with an error that the asker of a job does not handle.
        parent: The owner.
    """

    busy_changed = Signal(bool)
    _came_back = Signal(object, object)
    _idle = Signal()

    def __init__(self, failed: Callable[[Exception], None], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._failed = failed
        self._closed = False
        self._under_way = 0
        self._queues: dict[Lane, SimpleQueue] = {"store": SimpleQueue(), "beside": SimpleQueue()}
        self._threads = [self._thread("store"), *(self._thread("beside") for _ in range(BESIDE))]
        self._came_back.connect(self._on_came_back, Qt.ConnectionType.QueuedConnection)

    @property
    def under_way(self) -> int:
        """How many jobs have been asked for whose result has not come back."""
        return self._under_way

    def run(
        self,
        work: Callable[[], Any],
        done: Callable[[Any], None] | None = None,
        failed: Callable[[Exception], None] | None = None,
        lane: Lane = "store",
    ) -> None:
        """Runs work on another thread.

        Args:
            work: Takes and returns plain values, no widgets. Those of the store run in the order they were asked for.
            done: Gets the result, on the window's thread.
            failed: Gets the error, on the window's thread; without it the runner's own does.
            lane: `store` for the store; `beside` for what has nothing to do with it.

        Raises:
            RuntimeError: The runner is closed.
        """
        if self._closed:
            raise RuntimeError("no job is taken once the window closes")
        self._under_way += 1
        if self._under_way == 1:
            self.busy_changed.emit(True)
        self._queues[lane].put((work, done or _nothing, failed or self._failed))

    def close(self) -> None:
        """Takes no more, and waits until all that was asked for is done and delivered; the window still paints."""
        self._closed = True
        if self._under_way:
            waiting = QEventLoop()
            self._idle.connect(waiting.quit)
            waiting.exec(QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents)
        for lane, queue in self._queues.items():
            for _ in range(1 if lane == "store" else BESIDE):
                queue.put(None)
        for thread in self._threads:
            thread.join()

    def _thread(self, lane: Lane) -> threading.Thread:
        # A thread that died with the program would lose work: not a daemon.
        thread = threading.Thread(target=self._work_off, args=(self._queues[lane],), name=f"intake {lane}")
        thread.start()
        return thread

    def _work_off(self, queue: SimpleQueue) -> None:
        while (job := queue.get()) is not None:
            work, done, failed = job
            try:
                result = work()
            except Exception as error:  # whatever it was, it belongs to who asked
                self._came_back.emit(failed, error)
            else:
                self._came_back.emit(done, result)

    @Slot(object, object)
    def _on_came_back(self, deliver: Callable[[Any], None], what: object) -> None:
        try:
            deliver(what)
        finally:
            self._under_way -= 1
            if not self._under_way:
                self.busy_changed.emit(False)
                self._idle.emit()


def _nothing(result: object) -> None:
    """For who does not ask for the result."""
