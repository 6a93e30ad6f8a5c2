"""Things that are named in words, and what a name of theirs, or a part of it, means."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar


class Named(Protocol):
    """What has a name."""

    @property
    def name(self) -> str:
        """In the words in which it is told."""


AnyNamed = TypeVar("AnyNamed", bound=Named)


def meant_by(wanted: str, listed: Iterable[AnyNamed]) -> list[AnyNamed]:
    """Give those whose name is the one that is wanted, or else all that have it in their name."""
    known, part = list(listed), wanted.strip().casefold()
    return [one for one in known if part == one.name.casefold()] or [
        one for one in known if part in one.name.casefold()
    ]
