"""Variants of a scenario chosen by name, and what is told of one and not of the site as planned."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeVar

from sitesim.errors import UserError

if TYPE_CHECKING:
    from sitesim.scenario import Scenario
    from sitesim.scenario.naming import Named

AnyNamed = TypeVar("AnyNamed", bound="Named")


def chosen(listed: Sequence[AnyNamed], only: Sequence[str], kind: str) -> tuple[AnyNamed, ...]:
    """Choose by names or parts of them, all where ``only`` is empty.

    Parameters: ``kind``, what they are called in a message. Raises UserError for a name that means none.
    """
    from sitesim.scenario.faults import nearest
    from sitesim.scenario.naming import meant_by

    found: dict[str, AnyNamed] = {}
    for wanted in only:
        meant = meant_by(wanted, listed)
        if not meant:
            raise UserError(f"--only {wanted}: there is no such {kind}: {nearest(wanted, [s.name for s in listed])}")
        found |= {one.name: one for one in meant}
    return tuple(one for one in listed if not only or one.name in found)


def told_besides(planned: Scenario, changed: Scenario) -> tuple[str, ...]:
    """Give what is told of a changed scenario and not of the planned one, but for its name."""
    known = {*planned.description(), *planned.assumptions()}
    told = [*changed.description()[1:], *changed.assumptions()]
    return tuple(line for line in told if line not in known)
