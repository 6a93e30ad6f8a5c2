"""What is wrong with a scenario: one line a fault, all faults at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from sitesim.errors import UserError

_LIKE_ENOUGH = 0.7
"""How alike two names have to be, from 0 to 1, for one to be a slip of the other; below it a guess misleads."""


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing that is wrong, where it stands, and what would be right.

    Parameters: ``file``, as the user may open it; ``line``, counted from 1, or 0 where there is none; ``path``, dotted,
    or empty for the file as a whole; ``message``, in plain words.
    """

    file: str
    line: int
    path: str
    message: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{place}  {self.path}: {self.message}" if self.path else f"{place}  {self.message}"


class ScenarioError(UserError):
    """A scenario that cannot be played, with all its ``faults``; its text is one line a fault."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = sorted(set(faults))
        super().__init__("\n".join(str(fault) for fault in self.faults))


def closest(name: str, known: Iterable[str]) -> str:
    """Give the known name that an unknown one most looks like, or nothing if it looks like none."""
    return next(iter(get_close_matches(name, list(known), n=1, cutoff=_LIKE_ENOUGH)), "")


def nearest(name: str, known: Iterable[str]) -> str:
    """Give the end of a message about an unknown name: the nearest known one, or else all of them."""
    names = list(dict.fromkeys(known))
    if not names:
        return "none is known here"
    close = closest(name, names)
    return f"did you mean {close}?" if close else f"known are {', '.join(names)}"
