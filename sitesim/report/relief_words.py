"""What would bring the date forward, in words: what each relief wins, what it costs and why."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from sitesim.answers.relief import Beyond, Held, Idle, Relieved
from sitesim.answers.variants import MOVED_LEAST
from sitesim.plan import Cause, WaitedFor
from sitesim.report.plain_data import plain_mapping
from sitesim.report.relief_figures import (
    a_day_won,
    ends_of_mean,
    from_to,
    mean_days,
    money_in_words,
    money_with_interval,
    rounded,
)
from sitesim.report.shift_words import signed
from sitesim.report.words import HELD_BY, Style, name_label, percent, several, together
from sitesim.scenario.reliefs import in_a_sentence, with_article
from sitesim.study.relieving import ReliefStudy

HEADING = "What would bring the date forward"
_NAMED = 3


def answer(study: ReliefStudy) -> str:
    """Answer the question: of a few reliefs that were named, each; else those that win most."""
    style = Style.of_basis(study.basis)
    if not study.reliefs and not study.basis.left_out:
        return "This scenario has nothing of which there could be more; name what might help in a list (--list)."
    if not study.reliefs:
        return "Nothing that was asked for applies to this scenario."
    if _each_is_answered(study):
        alone = len(study.reliefs) == 1
        return " ".join(_in_full(style, one, _besides(study, one), alone) for one in study.reliefs)
    winners = [one for one in study.reliefs if one.wins]
    if not winners:
        return "Nothing that is played here brings the date forward by so much that the runs can tell."
    best = [one for one in winners if _told_at_p80(one)][:_NAMED]
    if not best:
        told = "; ".join(_on_average(study, one) for one in winners[:_NAMED])
        nothing = "Nothing that is played here brings the date at 4 in 5 forward by so much that the runs can tell"
        return f"{nothing}; on average {told}."
    told = f"The date at 4 in 5 comes forward most {'; '.join(_named(study, one, days_at_p80(one)) for one in best)}."
    unsure = [one for one in winners[:_NAMED] if _nothing_is_possible_at_p80(one)]
    if not unsure:
        return told
    and_these = "; ".join(_on_average(study, one) for one in unsure)
    return f"{told} Told apart on average, but not at 4 in 5: {and_these}."


def _told_at_p80(one: Relieved) -> bool:
    """Tell whether a relief brings the date at 4 in 5 forward by days whose interval does not hold 0."""
    return one.won_p80.low > 0


def _nothing_is_possible_at_p80(one: Relieved) -> bool:
    """Tell whether the interval of the days won at 4 in 5 holds 0."""
    return one.won_p80.low <= 0 <= one.won_p80.high


def _on_average(study: ReliefStudy, one: Relieved) -> str:
    return _named(study, one, f"{mean_days(one.won)} working days")


def _each_is_answered(study: ReliefStudy) -> bool:
    """Tell whether so few reliefs were named that the answer takes them one by one."""
    return study.asked_only and len(study.reliefs) <= _NAMED


def _named(study: ReliefStudy, one: Relieved, days: str) -> str:
    """Name a relief with the days that it wins and what it costs."""
    money = money_in_words(Style.of_basis(study.basis), one.cost)
    return f"with {with_article(one.name)} {days}, for {money}{_besides(study, one)}"


def _besides(study: ReliefStudy, one: Relieved) -> str:
    """Say what the cost of a relief does not hold."""
    lacking = unpriced_of(study).get(one.name, ())
    return f" and {together(lacking)}" if lacking else ""


def _in_full(style: Style, one: Relieved, besides: str, says_why: bool) -> str:
    """Say in a sentence what a relief wins and what it costs, and why where no table has to say it."""
    money = money_with_interval(style, one.cost)
    why = f": {reason(one)}" if says_why else ""
    return f"With {with_article(one.name)} {_what_it_wins(one)}, for {money}{besides}{why}."


def _what_it_wins(one: Relieved) -> str:
    if math.isinf(one.won_p80.shift):
        return "there is a date at 4 in 5 at all" if one.won_p80.shift > 0 else "there is no date at 4 in 5 any more"
    if one.order.same.value == 1.0:
        return f"no day is won in any of {several(one.runs, 'run')}"
    if not one.distinguishable:
        return f"no day is won that the runs can tell (on average {mean_days(one.won)})"
    if one.won.mean < 0:
        return f"the finish is {abs(one.won.mean):.1f} working days later on average ({ends_of_mean(one.won, -1)})"
    average = f"on average {mean_days(one.won)}"
    if one.won_p80.shift == 0:
        return f"the date at 4 in 5 stays ({from_to(one.won_p80.low, one.won_p80.high)}), {average}"
    if _nothing_is_possible_at_p80(one):
        within = from_to(one.won_p80.low, one.won_p80.high)
        return f"{mean_days(one.won)} working days are won on average; at 4 in 5 that cannot be told apart ({within})"
    return f"the date at 4 in 5 comes {days_at_p80(one)}, {average}"


def days_at_p80(one: Relieved) -> str:
    """Write the working days won at 4 in 5, with their interval: ``3 working days earlier (1 to 6)``."""
    won = one.won_p80
    if not math.isfinite(won.shift):
        return "to a date where there was none" if won.shift > 0 else "no date"
    if won.shift < 0:
        return f"{several(-won.shift, 'working day')} later ({from_to(-won.high, -won.low)})"
    within = from_to(won.low, won.high)
    return f"{several(won.shift, 'working day')} earlier ({within})"


def holder(by: WaitedFor) -> str:
    """Name what holds a date: the gang, the inspector, the delivery where it is one's."""
    if by.of and by.cause == Cause.CREW:
        return f"waiting for {together(_gang(name) for name in by.of.split(' and '))}"
    if by.of and by.cause == Cause.INSPECTION:
        return f"the {name_label(by.of)} inspector"
    if by.of and by.cause == Cause.MATERIAL:
        return f"the {name_label(by.of)}"
    return HELD_BY[by.cause]


def _gang(name: str) -> str:
    words = name_label(name)
    return f"the {words}" if words.endswith(("gang", "crew")) else f"the {words} gang"


def reason(one: Relieved) -> str:
    """Say why: what the relief is to relieve held so much before and holds so much now, and what holds most then."""
    if not one.held:
        return "no run ends in both"
    most = max(one.held, key=lambda thing: thing.now)
    told = _what_moved(one)
    slower = [] if one.wins else [learns_apart(idle) for idle in one.idle if idle.learns_apart]
    if told is None:
        besides = f", but {together(slower)}" if slower else ""
        return f"nothing that held the date moves by so much that the runs can tell{besides}; {_holds_most(most)}"
    if slower:
        return f"{together(slower)}; {_before_and_now(told)}; {_holds_most(most)}"
    return _before_and_now(told) if told.by == most.by else f"{_before_and_now(told)}; {_holds_most(most)}"


def _holds_most(most: Held) -> str:
    return f"{holder(most.by)} then holds most, {_days(most.now)}"


def _what_moved(one: Relieved) -> Held | None:
    """Find what tells most: what a relief was to relieve; else what holds the date less, or more where it loses."""
    told = max(one.relieved, key=lambda thing: (abs(thing.moved.mean), thing.planned), default=None)
    loses = one.distinguishable and not one.wins
    if told is not None and max(told.planned, told.now) >= MOVED_LEAST and not (loses and told.moved.mean <= 0):
        return told
    sign = 1 if loses else -1
    moved = [thing for thing in one.held if thing.moved.distinguishable and sign * thing.moved.mean >= MOVED_LEAST]
    return max(moved, key=lambda thing: sign * thing.moved.mean, default=None)


def _before_and_now(thing: Held) -> str:
    if abs(thing.now - thing.planned) < MOVED_LEAST / 10:
        return f"{holder(thing.by)} held {_days(thing.planned)} of the finish and holds as many now"
    return f"{holder(thing.by)} held {_days(thing.planned)} of the finish and now {thing.now:.1f}"


def _days(value: float) -> str:
    return f"{value:.1f} days"


def moved_most(one: Relieved) -> str:
    """Write what held the date and has moved, the causes that moved most first."""
    moved = [thing for thing in one.held if thing.moved.distinguishable and abs(thing.moved.mean) >= MOVED_LEAST]
    if not moved:
        return "nothing moved that the runs can tell"
    return ", ".join(f"{holder(thing.by)} {signed(thing.moved.mean, 1)}" for thing in moved[:_NAMED])


def homes_in_words(one: Relieved) -> str:
    """Say which homes are handed over earlier."""
    gain = one.homes_that_gain
    if not one.homes:
        return "the site has no homes"
    if not gain:
        return "no home that the runs can tell"
    most, least = gain[0], gain[-1]
    names = "every home" if len(gain) == len(one.homes) else together(_in_order(one, [home.home for home in gain]))
    if len(gain) == 1:
        return f"{names}: {most.won.mean:.1f} working days"
    return f"{names}: {least.won.mean:.1f} ({least.home}) to {most.won.mean:.1f} ({most.home}) working days"


def _in_order(one: Relieved, gain: Sequence[str]) -> list[str]:
    return [home.home for home in one.homes if home.home in gain]


def learns_apart(idle: Idle) -> str:
    """Say how much longer more gangs take for the same work."""
    more = idle.more_work.mean
    return (
        f"the same work takes {_gang(idle.name)}s {idle.work_before + more:,.0f} h in all instead of "
        f"{idle.work_before:,.0f} h, for each of the {idle.after} learns by what it does itself alone"
    )


def idle_in_words(idle: Idle) -> str:
    """Say how those of whom there are more wait, and what it does to their work."""
    slower = f"; {learns_apart(idle)}" if idle.learns_apart else ""
    return (
        f"{name_label(idle.name)}: {idle.before} waiting {percent(idle.share_before)} of the hours on shift and on "
        f"site, {idle.after} then {percent(idle.share_after)} ({idle.hours_before:,.0f} h, then "
        f"{idle.hours_after:,.0f} h in all){slower}"
    )


def together_in_words(beyond: Beyond | None) -> str:
    """Say whether reliefs win more together than the sum of what they win alone."""
    if beyond is None:
        return "cannot be set against the sum of the parts"
    against = f"than the sum of the parts, {beyond.sum:.1f}"
    if not beyond.beyond.distinguishable:
        return f"cannot be told apart from the sum of the parts, {beyond.sum:.1f}"
    which = "more" if beyond.beyond.mean > 0 else "less"
    return f"{abs(beyond.beyond.mean):.1f} {which} {against}"


def pair_sentence(style: Style, pair: Relieved) -> str:
    """Say what two reliefs win together."""
    return (
        f"Together: {in_a_sentence(pair.name)}: {signed(pair.won.mean, 1)} working days on average, for "
        f"{money_in_words(style, pair.cost)}; {together_in_words(pair.beyond)}."
    )


def more_answers(study: ReliefStudy) -> list[str]:
    """Say what else a manager asks first: the planned date, the cheapest day, what comes together, what loses days."""
    style = Style.of_basis(study.basis)
    lines = [_planned(style, study)]
    if not _each_is_answered(study):
        lines += _cheapest(style, study)
    lines += [pair_sentence(style, pair) for pair in study.pairs[:1]]
    later = [with_article(one.name) for one in study.reliefs if one.distinguishable and not one.wins]
    if later and not _each_is_answered(study):
        lines.append(f"Put the finish off: {together(later)}.")
    return lines


def _planned(style: Style, study: ReliefStudy) -> str:
    planned = study.planned
    if planned.finish_p80 is None:
        return f"As planned there is no date by which four in five of {several(planned.runs, 'run')} finish."
    cost = study.cost.value
    for_money = f", for {style.money(rounded(cost))} on average" if math.isfinite(cost) and cost else ""
    return f"As planned, four in five runs finish by {style.long_date(planned.finish_p80)}{for_money}."


def _cheapest(style: Style, study: ReliefStudy) -> list[str]:
    """Name the relief whose days cost least, besides those that the answer names first."""
    priced = [one for one in study.reliefs if one.wins and one.a_day is not None and one.a_day.value is not None]
    free = {name for name, lacking in study.unpriced if lacking}
    priced = [one for one in priced if one.name not in free]
    if not priced:
        return []
    best = min(priced, key=lambda one: one.a_day.value if one.a_day and one.a_day.value is not None else math.inf)
    money = a_day_won(style, best)
    told = f"{money} with each day won" if money.startswith("saves") else f"costs {money} a day won"
    day = f"{with_article(best.name)} {told}, {mean_days(best.won)} on average"
    return [f"Of what is fully priced, the cheapest day: {day}."]


def not_told(study: ReliefStudy) -> tuple[str, ...]:
    """Name the reliefs that win nothing that can be told apart from nothing."""
    return tuple(one.name for one in study.reliefs if not one.distinguishable)


def unpriced_of(study: ReliefStudy) -> dict[str, tuple[str, ...]]:
    """Give for each relief what it takes that the scenario has no price for."""
    return {name: lacking for name, lacking in study.unpriced if lacking}


def as_data(study: ReliefStudy) -> dict[str, Any]:
    """Give a relief study as plain data for programs; what is not finite becomes None."""
    data = asdict(study)
    data |= data.pop("basis")
    data["answer"] = answer(study)
    data["folder"] = str(study.basis.folder)
    data["left_out"] = [{"name": name, "why": why} for name, why in study.basis.left_out]
    data["unpriced"] = [{"name": name, "what": list(what)} for name, what in study.unpriced if what]
    data["played"] = [{"name": name, "told": list(told)} for name, told in study.basis.played]
    for key, reliefs in (("reliefs", study.reliefs), ("pairs", study.pairs)):
        for entry, one in zip(data[key], reliefs, strict=True):
            entry |= {"distinguishable": one.distinguishable, "wins": one.wins, "reason": reason(one)}
            for name in ("held", "relieved"):
                for row, thing in zip(entry[name], getattr(one, name), strict=True):
                    row["by"] = {"cause": thing.by.cause, "of": thing.by.of, "called": holder(thing.by)}
    return plain_mapping(data)
