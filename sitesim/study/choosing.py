"""Variants of a scenario chosen by name, and what is told of one and not of the site as planned."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeVar

from sitesim.errors import UserError

if TYPE_CHECKING:
    from sitesim.scenario import Scenario
    from sitesim.scenario.naming import Named

_FEW = 2
"""How many names are given as examples of a word."""

AnyNamed = TypeVar("AnyNamed", bound="Named")


def chosen(listed: Sequence[AnyNamed], only: Sequence[str], kind: str) -> tuple[AnyNamed, ...]:
    """Choose by names or parts of them, all where ``only`` is empty.

    Parameters: ``kind``, what they are called in a message. Raises UserError for a name that means none.
    """
    from sitesim.scenario.naming import meant_by

    found: dict[str, AnyNamed] = {}
    for wanted in only:
        meant = meant_by(wanted, listed)
        if not meant:
            raise UserError(f"--only {wanted}: there is no such {kind}: {_likely(wanted, listed)}")
        found |= {one.name: one for one in meant}
    return tuple(one for one in listed if not only or one.name in found)


def _likely(wanted: str, listed: Sequence[AnyNamed]) -> str:
    """Guess what was meant: the name that is nearest, or those that have the nearest word in them."""
    from sitesim.scenario.faults import closest, nearest
    from sitesim.scenario.naming import meant_by

    names = [one.name for one in listed]
    words = {word.strip("()").casefold() for name in names for word in name.split()}
    word = closest(wanted.casefold(), sorted(words))
    if closest(wanted, names) or not word:
        return nearest(wanted, names)
    return f"did you mean {word}, as in {' or '.join(one.name for one in meant_by(word, listed)[:_FEW])}?"


def told_besides(planned: Scenario, changed: Scenario) -> tuple[str, ...]:
    """Give what is told of a changed scenario and not of the planned one, but for its name."""
    known = {*planned.description(), *planned.assumptions()}
    told = [*changed.description()[1:], *changed.assumptions()]
    return tuple(line for line in told if line not in known)
