"""How far a burn is, and times in its messages."""

from __future__ import annotations

import time
from typing import Any, TextIO

import proglog


def clock(milliseconds: int) -> str:
    """Minutes and seconds for a message.

    >>> clock(72_400)
    '1:12.4'
    """
    minutes, rest = divmod(milliseconds, 60_000)
    return f"{minutes}:{rest // 1000:02d}.{rest % 1000 // 100}"


class Bar(proglog.ProgressBarLogger):  # type: ignore[misc]
    """A one-line progress bar for moviepy's frame counter, on ``stream``."""

    _CELLS = 28

    def __init__(self, stream: TextIO) -> None:
        super().__init__(min_time_interval=0.2)
        self._stream = stream
        self._began = time.monotonic()
        self._drawn = False

    def bars_callback(self, bar: str, attr: str, value: Any, old_value: Any = None) -> None:
        """Redraw when ``bar`` moved on."""
        total = self.bars[bar]["total"]
        if attr != "index" or not total:
            return
        share = min(1.0, max(0, value) / total)
        full = round(share * self._CELLS)
        line = f"burning  {'█' * full}{'░' * (self._CELLS - full)}  {share:4.0%}"
        spent = time.monotonic() - self._began
        if 0 < share < 1 and spent > 3:
            line += f"  about {clock(round(1000 * spent * (1 - share) / share))[:-2]} left"
        self._stream.write(f"\r{line}\033[K")
        self._stream.flush()
        self._drawn = True

    def callback(self, **changes: Any) -> None:
        """Moviepy's chatter is not for the turner."""

    def finish(self) -> None:
        """Leave the terminal on a fresh, empty line."""
        if self._drawn:
            self._stream.write("\r\033[K")
            self._stream.flush()
