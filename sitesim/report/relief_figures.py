"""Days won and money, with their intervals, as they are written of reliefs."""

from __future__ import annotations

import math

from sitesim.answers.differences import PairedDifference, PairOrder, QuantileShift
from sitesim.answers.relief import Relieved
from sitesim.report.shift_words import end_of_interval, signed
from sitesim.report.words import Style, percent, significant

_NO_MONEY = 0.5
"""Amounts below this are nothing."""


def from_to(low: float, high: float) -> str:
    """Write an interval, with signs only where it holds both."""
    if low >= 0 and math.isfinite(high):
        return f"{low:.0f} to {high:.0f}"
    return f"{end_of_interval(low)} to {end_of_interval(high)}"


def mean_days(won: PairedDifference) -> str:
    """Write the mean of the working days won, with its interval."""
    if math.isnan(won.mean):
        return "not known"
    within = interval_of_mean(won)
    return f"{signed(won.mean, 1)} ({within})" if within else signed(won.mean, 1)


def interval_of_mean(won: PairedDifference) -> str:
    """Write the interval of a mean; nothing where it has none, or no run differs."""
    return "" if math.isnan(won.mean) or won.low == won.high == 0 else ends_of_mean(won)


def ends_of_mean(won: PairedDifference, sign: int = 1) -> str:
    """Write the ends of the interval of a mean; with ``sign`` -1 those of days lost."""
    low, high = sorted((sign * won.low, sign * won.high))
    if sign < 0:
        return f"{low:z.1f} to {high:z.1f}"
    return f"{_mean_end(low)} to {_mean_end(high)}"


def _mean_end(value: float) -> str:
    return "open" if math.isinf(value) else signed(value, 1)


def money_in_words(style: Style, cost: PairedDifference) -> str:
    """Write what it costs: ``$41,000 more``, or less, or the same."""
    if math.isnan(cost.mean):
        return "a cost that is not known"
    if abs(cost.mean) < _NO_MONEY:
        return "the same money"
    return f"{style.money(abs(rounded(cost.mean)))} {'more' if cost.mean > 0 else 'less'}"


def money_with_interval(style: Style, cost: PairedDifference) -> str:
    """Write what it costs with its interval."""
    told = money_in_words(style, cost)
    if math.isnan(cost.mean) or math.isinf(cost.low) or cost.high - cost.low < _NO_MONEY:
        return told
    sign = 1 if cost.mean > 0 else -1
    low, high = sorted((sign * cost.low, sign * cost.high))
    return f"{told} ({style.money(rounded(low))} to {style.money(rounded(high))})".replace("-", "−")


def money_signed(style: Style, amount: float) -> str:
    """Write an amount with its sign."""
    if math.isnan(amount):
        return "–"
    if abs(amount) < _NO_MONEY:
        return style.money(0.0)
    return f"{'+' if amount > 0 else '−'}{style.money(abs(rounded(amount)))}"


def money_interval(style: Style, cost: PairedDifference) -> str:
    """Write the interval of an amount; nothing where it has none."""
    if math.isinf(cost.low) or math.isinf(cost.high) or math.isnan(cost.mean) or cost.low == cost.high == 0:
        return ""
    return f"{money_signed(style, cost.low)} to {money_signed(style, cost.high)}"


def rounded(amount: float) -> float:
    """Round an amount to three digits: more is not known of it."""
    return significant(amount, 3)


def a_day_won(style: Style, one: Relieved) -> str:
    """Write what a day won costs; nothing can be said where none is won that can be told."""
    if one.a_day is None or one.a_day.value is None:
        return "–"
    value = one.a_day.value
    return f"saves {style.money(rounded(-value))}" if value < -_NO_MONEY else style.money(rounded(value))


def a_day_interval(style: Style, one: Relieved) -> str:
    """Write the interval of what a day won costs; nothing where it has none."""
    day = one.a_day
    if day is None or day.value is None or not (math.isfinite(day.low) and math.isfinite(day.high)):
        return ""
    return f"{money_signed(style, day.low)} to {money_signed(style, day.high)}"


def won_alone(won: QuantileShift) -> str:
    """Write the days won at a quantile without their interval; earlier is positive."""
    if math.isnan(won.shift):
        return "no date"
    if math.isinf(won.shift):
        return "a date now" if won.shift > 0 else "no date then"
    return signed(won.shift)


def order_of(order: PairOrder) -> str:
    """Write the shares of runs that finish earlier, on the same day and later."""
    return " / ".join(percent(share.value) for share in (order.earlier, order.same, order.later))
