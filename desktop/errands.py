"""Slow work off the window's thread, kept safe: nothing of the window is ever thrown away on another thread.

A widget that ends on a thread not its own takes the program with it. Two things would do that, rarely: Python looking
through everything for what may go while the slow work runs (it happens on whatever thread just made something), and
the slow work being the last to let go of a page. So Python looks only in the window's thread while an errand runs,
and what an errand was given is let go of in the window's thread, after it was told how it ended.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QCoreApplication, QObject, QThreadPool, QTimer, Signal

LOOK_MS = 100
"""So often it is looked whether an errand whose end nobody heard of is over."""


class Errand(QObject):
    """One piece of slow work. Made, told of its end and let go of in the window's thread; it belongs to `owner`."""

    _ended = Signal(object, object)

    def __init__(
        self,
        owner: QObject,
        work: Callable[[], Any],
        done: Callable[[Any], object],
        failed: Callable[[Exception], object],
    ) -> None:
        super().__init__(owner)
        self._work: Callable[[], Any] | None = work
        self._done, self._failed = done, failed
        self._state = _State()
        self._ended.connect(self._tell)

    def begin(self) -> None:
        """Hand it to the pool of threads."""
        _collecting.pause_for(self._state)
        QThreadPool.globalInstance().start(self._run)

    def _run(self) -> None:
        work = self._work
        assert work is not None
        try:
            try:
                result, error = work(), None
            except Exception as problem:
                result, error = None, problem
            self._ended.emit(result, error)
        except RuntimeError:  # the window went meanwhile: nobody is left to be told
            pass
        finally:
            del work
            self._state.over = True

    def _tell(self, result: Any, error: Exception | None) -> None:
        done, failed = self._done, self._failed
        self._work = None
        del self._done, self._failed
        self.deleteLater()
        if error is None:
            done(result)
        else:
            failed(error)


class _State:
    """Whether the work is over; lives on when the errand does not."""

    over = False


class _Collecting:
    """Python's search for what may go: paused while an errand runs, taken up again in the window's thread."""

    def __init__(self) -> None:
        self._running: list[_State] = []
        self._timer: QTimer | None = None
        self._was_on = True

    def pause_for(self, state: _State) -> None:
        """Not again before this one is over."""
        if not self._running:
            self._was_on = gc.isenabled()
            gc.disable()
            self._timer = QTimer(QCoreApplication.instance())
            self._timer.timeout.connect(self._look)
            self._timer.start(LOOK_MS)
        self._running.append(state)

    def _look(self) -> None:
        self._running = [state for state in self._running if not state.over]
        if self._running or self._timer is None:
            return
        self._timer.stop()
        self._timer.deleteLater()
        self._timer = None
        if self._was_on:
            gc.collect(0)  # what was made meanwhile is looked through here, not on the thread that made it
            gc.enable()


_collecting = _Collecting()
