"""Scenarios side by side: signs, intervals that hold together, chances, and studies that cannot be told apart.

The ten pairs are a textbook-like sample whose paired difference and interval were recomputed from the stated formula.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import pandas as pd
import pytest
from scipy.stats import t

from sitesim.answers.comparison import FIGURES, Compared, compare

LATE = (101.2, 98.4, 110.3, 95.0, 104.8, 99.1, 107.7, 102.5, 96.6, 105.9)
EARLY = (97.9, 96.0, 105.1, 93.2, 101.0, 96.8, 103.5, 98.3, 94.1, 102.2)


def runs_of(days: Sequence[float], cost: Sequence[float] | None = None) -> pd.DataFrame:
    frame = pd.DataFrame(
        {
            "run": range(len(days)),
            "finish_hours": [24.0 * day for day in days],
            "cost": [1000.0 * day for day in days] if cost is None else cost,
        }
    )
    for number, column in enumerate(FIGURES.values()):
        frame[column] = float(number)
    return frame


def summary_of(*time: tuple[str, dict[str, float]]) -> dict[str, object]:
    return {
        "time": [
            {
                "resource": f"{kind} {number}",
                "kind": kind,
                "is_gang": kind == "gang",
                "waiting": waiting,
                "idle_hours": sum(waiting.values()),
            }
            for number, (kind, waiting) in enumerate(time)
        ]
    }


def compared_with(reference: Sequence[float], *others: Sequence[float]) -> tuple[Compared, ...]:
    frames = [runs_of(days) for days in (reference, *others)]
    return compare([f"scenario {i}" for i in range(len(frames))], [summary_of() for _ in frames], frames)


def test_the_first_is_the_reference() -> None:
    first, second = compared_with(EARLY, LATE)
    assert first.against is None
    assert (first.name, second.name) == ("scenario 0", "scenario 1")


def test_a_difference_is_scenario_minus_reference_with_its_interval() -> None:
    against = compared_with(EARLY, LATE)[1].against
    assert against is not None
    assert against.finish_days.mean == pytest.approx(3.34)
    assert (against.finish_days.low, against.finish_days.high) == pytest.approx((2.5738, 4.1062), abs=5e-5)
    assert against.finish_days.distinguishable
    assert against.cost.mean == pytest.approx(3340.0)


def test_the_other_way_round_it_is_earlier_and_cheaper() -> None:
    against = compared_with(LATE, EARLY)[1].against
    assert against is not None
    assert against.finish_days.mean == pytest.approx(-3.34)
    assert against.cost.mean == pytest.approx(-3340.0)


def test_the_shift_of_the_p80_is_that_of_the_eighth_of_ten() -> None:
    """Sorted, the eighth of the late ones is 105.9 and of the early ones 102.2."""
    against = compared_with(EARLY, LATE)[1].against
    assert against is not None
    assert against.shift_p80_days.shift == pytest.approx(3.7)
    assert against.shift_p80_days.low <= 3.7 <= against.shift_p80_days.high


def test_chances_count_pairs() -> None:
    mixed = [early if run < 7 else late + 1.0 for run, (early, late) in enumerate(zip(EARLY, LATE, strict=True))]
    mixed[6] = LATE[6]
    against = compared_with(LATE, mixed)[1].against
    assert against is not None
    for order in (against.earlier, against.cheaper):
        assert (order.earlier.value, order.same.value, order.later.value) == (0.6, 0.1, 0.3)


def test_two_against_one_reference_hold_together() -> None:
    """Bonferroni: two intervals at 97.5 % hold together at 95 %; recomputed with Student's t of nine degrees."""
    compared = compared_with(EARLY, LATE, EARLY)
    against = compared[1].against
    assert against is not None
    standard_error = (4.1062 - 3.34) / float(t.ppf(0.975, 9))
    half = float(t.ppf(0.9875, 9)) * standard_error
    assert (against.finish_days.high - against.finish_days.low) / 2 == pytest.approx(half, abs=1e-4)
    assert half > 4.1062 - 3.34


def test_the_same_cannot_be_told_apart() -> None:
    against = compared_with(LATE, LATE)[1].against
    assert against is not None
    assert (against.finish_days.mean, against.finish_days.low, against.finish_days.high) == (0.0, 0.0, 0.0)
    assert not against.finish_days.distinguishable
    assert not against.cost.distinguishable
    assert not against.shift_p80_days.distinguishable
    assert against.earlier.same.value == 1.0


def test_a_difference_that_changes_its_sign_cannot_be_told_apart() -> None:
    swinging = [day + (5.0 if run % 2 else -5.2) for run, day in enumerate(LATE)]
    against = compared_with(LATE, swinging)[1].against
    assert against is not None
    assert not against.finish_days.distinguishable
    assert against.finish_days.low < 0.0 < against.finish_days.high


def test_runs_that_never_end_are_left_out_of_the_mean_and_counted() -> None:
    ends_not = (*LATE[:9], math.inf)
    against = compared_with(EARLY, ends_not)[1].against
    assert against is not None
    pairs = [late - early for late, early in zip(LATE[:9], EARLY[:9], strict=True)]
    assert against.finish_days.mean == pytest.approx(sum(pairs) / 9)
    assert (against.finish_days.n, against.finish_days.only_a_infinite) == (9, 1)
    assert against.earlier.later.value == 1.0


def test_an_earlier_mean_is_not_believed_if_it_ends_less_often() -> None:
    ends_not = (*EARLY[:9], math.inf)
    against = compared_with(LATE, ends_not)[1].against
    assert against is not None
    assert against.finish_days.mean < 0
    assert not against.finish_days.distinguishable


def test_figures_are_means_of_their_columns() -> None:
    first, _ = compared_with(EARLY, LATE)
    assert {name: figure.value for name, figure in first.figures.items()} == {
        name: float(number) for number, name in enumerate(FIGURES)
    }


def test_the_waiting_of_all_printers_is_added_up_and_that_of_gangs_is_told_one_by_one() -> None:
    summary = summary_of(
        ("printer", {"concrete": 10.0, "weather": 4.0}),
        ("printer", {"concrete": 2.5}),
        ("gang", {"concrete": 100.0, "crew": 1.0}),
        ("gang", {"weather": 7.0}),
    )
    (only,) = compare(["one"], [summary], [runs_of(EARLY)])
    assert only.printer_waiting == {"concrete": 12.5, "weather": 4.0}
    assert only.gangs_waiting == {"gang 2": 101.0, "gang 3": 7.0}


def test_studies_of_other_runs_cannot_be_paired() -> None:
    with pytest.raises(ValueError, match="cannot be compared pair by pair"):
        compare(["a", "b"], [summary_of(), summary_of()], [runs_of(EARLY), runs_of(LATE[:9])])


def spent(*rows: tuple[int, str, str, str, float]) -> pd.DataFrame:
    return pd.DataFrame(list(rows), columns=["run", "spent_on", "cause", "item", "amount"])


def test_where_the_money_goes_is_told_pair_by_pair() -> None:
    """Overhead 100, 200 and 300 more; the tent 50 less in one run of three; the crane always the same."""
    before = [(run, "overhead", "weather", "site overhead", 1000.0 + run) for run in range(3)]
    after = [(run, "overhead", "weather", "site overhead", 1100.0 + 101.0 * run) for run in range(3)]
    crane = [(run, "work", "", "crane", 10.0) for run in range(3)]
    frames = [runs_of((10.0, 11.0, 12.0)), runs_of((11.0, 12.0, 13.0))]
    costs = [spent(*before, *crane, (1, "hire", "tent", "tent hire", 50.0)), spent(*after, *crane)]
    reference, other = compare(["a", "b"], [summary_of(), summary_of()], frames, costs)
    assert (reference.items, reference.causes) == ((), ())
    overhead, tent = other.items
    assert (overhead.name, overhead.difference.mean) == ("site overhead", 200.0)
    half = float(t.ppf(0.975, 2)) * 100.0 / math.sqrt(3)
    assert overhead.difference.high == pytest.approx(200.0 + half)
    assert (tent.name, tent.difference.mean) == ("tent hire", pytest.approx(-50 / 3))
    assert [(one.name, one.difference.mean) for one in other.causes] == [
        ("weather", 200.0),
        ("tent", pytest.approx(-50 / 3)),
    ]


def test_what_held_the_finish_is_told_pair_by_pair_and_adds_up_to_what_it_moved() -> None:
    """Concrete holds 2, 3 and 4 days less and the printer one more; the run that ends in one alone is left out."""
    before = [(run, cause, days) for run in range(4) for cause, days in (("concrete", 5.0 + run), ("weather", 1.0))]
    after = [
        (run, cause, days)
        for run in range(4)
        for cause, days in (("concrete", 3.0), ("weather", 1.0), ("printer", 1.0))
    ]
    frames = [runs_of((6.0, 7.0, 8.0, 9.0)), runs_of((5.0, 5.0, 5.0, math.inf))]
    for frame in frames:
        frame["finished"] = [math.isfinite(hours) for hours in frame["finish_hours"]]
    held = [pd.DataFrame(rows, columns=["run", "cause", "days"]) for rows in (before, after)]
    reference, other = compare(["a", "b"], [summary_of(), summary_of()], frames, held=held)
    assert reference.held == ()
    assert {one.cause: (one.planned, one.now, one.moved.mean) for one in other.held} == {
        "concrete": (6.0, 3.0, -3.0),
        "printer": (0.0, 1.0, 1.0),
        "weather": (1.0, 1.0, 0.0),
    }
    assert other.against is not None
    assert sum(one.moved.mean for one in other.held) == other.against.finish_days.mean == -2.0


def test_runs_that_end_in_one_scenario_alone_are_left_out_of_the_money() -> None:
    frames = [runs_of((10.0, 11.0, 12.0)), runs_of((11.0, math.inf, 13.0))]
    before = spent(*((run, "overhead", "weather", "site overhead", 1000.0) for run in range(3)))
    after = spent(
        *((run, "overhead", "weather", "site overhead", amount) for run, amount in enumerate((7e2, 9e9, 9e2)))
    )
    (moved,) = compare(["a", "b"], [summary_of(), summary_of()], frames, [before, after])[1].items
    assert (moved.difference.mean, moved.difference.n) == (-200.0, 2)


def test_where_the_same_money_goes_the_same_way_nothing_is_told() -> None:
    costs = [spent((0, "work", "", "crane", 10.0), (1, "work", "", "crane", 10.0))] * 2
    frames = [runs_of((10.0, 11.0)), runs_of((11.0, 12.0))]
    other = compare(["a", "b"], [summary_of(), summary_of()], frames, costs)[1]
    assert (other.items, other.causes) == ((), ())
