"""Things that are named in words, and what a name of theirs, or a part of it, means."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Protocol, TypeVar, runtime_checkable


class Named(Protocol):
    """What has a name."""

    @property
    def name(self) -> str:
        """In the words in which it is told."""


@runtime_checkable
class NamedShortly(Named, Protocol):
    """What has a shorter name too."""

    @property
    def short(self) -> str:
        """A word for it."""


AnyNamed = TypeVar("AnyNamed", bound=Named)


def meant_by(wanted: str, listed: Iterable[AnyNamed]) -> list[AnyNamed]:
    """Give those that a word, or a few, mean.

    These are those whose name it is, or else their ``short`` name, or else all that have it in their name as a word of
    its own (wind, but not windows), or else as a part of one.
    """
    known, part = list(listed), wanted.strip().casefold()
    by_name = [one for one in known if part == one.name.casefold()]
    by_short_name = [one for one in known if part == _short(one).casefold()]
    word = re.compile(rf"\b{re.escape(part)}\b")
    by_word = [one for one in known if word.search(one.name.casefold())]
    return by_name or by_short_name or by_word or [one for one in known if part in one.name.casefold()]


def _short(one: Named) -> str:
    return one.short if isinstance(one, NamedShortly) else one.name
