"""A cell of a terminal table that is broken in one place only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console, ConsoleOptions, RenderResult
    from rich.measure import Measurement


@dataclass(frozen=True, slots=True)
class TwoParts:
    """A figure and what qualifies it: on one line where there is room, else on two."""

    figure: str
    besides: str

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        """Lay it out in the width that there is."""
        from rich.text import Text

        has_room = len(self._whole()) <= options.max_width
        yield Text(self._whole() if has_room else f"{self.figure}\n{self.besides}")

    def __rich_measure__(self, console: Console, options: ConsoleOptions) -> Measurement:
        """Give the least and the best width."""
        from rich.measure import Measurement

        return Measurement(max(len(self.figure), len(self.besides)), len(self._whole()))

    def _whole(self) -> str:
        return f"{self.figure} {self.besides}".rstrip()
