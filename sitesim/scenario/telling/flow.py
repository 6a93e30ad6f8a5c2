"""How gangs come and go, said back in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sitesim.chance import Distribution
from sitesim.policies import AtNotice
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.crews import Gang
from sitesim.scenario.telling.measures import together, working_days


def tell_flow(model: ScenarioModel) -> Iterator[str]:
    """Say of each gang that is not simply there whenever its work is ready how it comes."""
    kept = {name: gang.start_delay for name, gang in model.crews.items() if gang.flow == "kept-running"}
    worked_out = [name for name, delay in kept.items() if delay is None]
    if worked_out:
        begin = "begins" if len(worked_out) == 1 else "begin"
        yield f"Kept running: {together(worked_out)} {begin} so late that by the plain plan no wait comes afterwards."
    for name, delay in kept.items():
        if delay is not None:
            yield f"Kept running: {name} begins {_days(delay, model.day_hours)} after its first work is ready."
    called: dict[str, list[str]] = {}
    for name, gang in model.crews.items():
        if gang.notice is not None:
            called.setdefault(_how_called(gang, gang.notice, model.day_hours), []).append(name)
    for how, names in called.items():
        yield f"Called at notice: {together(names)}, {how}."


def _how_called(gang: Gang, notice: Distribution, day_hours: float) -> str:
    policy = gang.policy(day_hours)
    assert isinstance(policy, AtNotice)
    when = f"{_days(policy.ahead, day_hours)} before work is expected" if policy.ahead else "when work is ready"
    stays = _days(max(policy.stays, policy.ahead), day_hours)
    return f"{when}, there after {working_days(notice, day_hours)}, gone when nothing is expected within {stays}"


def tell_start_delays(delays: Mapping[str, float], day_hours: float) -> Iterator[str]:
    """Say how late gangs that are kept running begin.

    Parameters: ``delays`` [h] by gang; ``day_hours`` [h] of a working day.
    """
    if delays:
        told = (f"{name} {_days(delay, day_hours)}" for name, delay in delays.items())
        yield f"Start delays, from the first work being ready: {', '.join(told)}."


def _days(hours: float, day_hours: float) -> str:
    return f"{hours / day_hours:.3g} wd"


def assume_flow(model: ScenarioModel) -> Iterator[str]:
    """Say what is assumed of gangs that do not simply come when their work is ready."""
    yield from _assume_kept_running(model)
    if any(gang.notice is not None for gang in model.crews.values()):
        yield (
            "A gang called at notice works elsewhere until its first call, too; away it is neither paid nor idle. When "
            "work will be ready is known, by expected times, once all steps before it are done or under way; a gang "
            "that is there stays for work that is late. The steps of a shell are called for when they are ready. For "
            "work that waits, one gang is called if nobody who is free or on the way can do it. What it costs to bring "
            "and to take away is paid each time."
        )


def _assume_kept_running(model: ScenarioModel) -> Iterator[str]:
    kept = [name for name, gang in model.crews.items() if gang.flow == "kept-running"]
    if not kept:
        return
    them = "it" if len(kept) == 1 else "them"
    yield (
        f"{together(kept)}: kept running. The start delay counts from the first work being ready, in hours of the "
        f"gang's own week, and holds nobody but what needs {them}."
    )
    if any(model.crews[name].start_delay is None for name in kept):
        yield (
            "A start delay that is worked out is the buffer of the line of balance by expected times: each piece of "
            "work is ready when those before it are done. Chance, weather and a second visit that waits for the gang's "
            "own first one still make it wait."
        )
