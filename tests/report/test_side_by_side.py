"""A comparison as it is read: which is earlier, which cheaper, where that turns, and when it cannot be told."""

from __future__ import annotations

import io
import json
import math
from dataclasses import replace
from typing import Any

import pytest
from rich.console import Console

from sitesim.answers.comparison import FIGURES, Against, Compared
from sitesim.answers.differences import PairedDifference, PairOrder, QuantileShift
from sitesim.answers.statistics import Estimate
from sitesim.answers.variants import MovedCause
from sitesim.report.side_by_side import as_data, comparison_report, sentence, turning_rate
from sitesim.report.words import Style

STYLE = Style(us=False, currency="USD")


def difference(mean: float, half: float, distinguishable: bool = True) -> PairedDifference:
    return PairedDifference(mean, mean - half, mean + half, 300, distinguishable, 0, 0, 0)


def order(earlier: float, same: float, later: float) -> PairOrder:
    shares = [Estimate(value, max(0.0, value - 0.05), min(1.0, value + 0.05), 300) for value in (earlier, same, later)]
    return PairOrder(*shares, 300)


def summary(
    p80: str = "2027-11-15", cost: float = 900_000.0, standby: float = 0.0, paid: float = 0.0
) -> dict[str, Any]:
    quantiles = {name: {"date": p80} for name in ("P10", "P50", "P80", "P90")}
    return {
        "runs": 300,
        "units": "metric",
        "currency": "USD",
        "finish": quantiles,
        "cost": {
            "mean": {"value": cost, "low": cost - 3000, "high": cost + 3000},
            "items": [{"item": "truck standby", "mean": paid}],
        },
        "trucks": {"standby_hours": {"value": standby}},
        "unfinished": {"runs": 0},
    }


def compared(
    name: str,
    against: Against | None,
    waiting: dict[str, float] | None = None,
    gangs: dict[str, float] | None = None,
    **of: Any,
) -> Compared:
    figures = {figure: Estimate(10.0, 9.0, 11.0, 300) for figure in FIGURES}
    return Compared(name, summary(**of), figures, waiting or {}, gangs or {}, against)


READY_MIX = compared("Ready-mix", None, {"concrete": 60.0, "weather": 20.0}, standby=100.0, paid=13_000.0)
AGAINST = Against(
    difference(-2.5, 0.5),
    difference(-8000.0, 1500.0),
    QuantileShift(0.8, -3.0, -5.0, -1.0, 300, True),
    order(0.81, 0.02, 0.17),
    order(0.9, 0.0, 0.1),
)
SAME = Against(
    difference(0.0, 0.0, False),
    difference(0.0, 0.0, False),
    QuantileShift(0.8, 0.0, 0.0, 0.0, 300, False),
    order(0.0, 1.0, 0.0),
    order(0.0, 1.0, 0.0),
)
ON_SITE = compared("Site mixing", AGAINST, {"concrete": 30.0, "breakdown": 44.0})


def read(*of: Compared) -> str:
    console = Console(width=100, file=io.StringIO(), markup=False, highlight=False)
    console.print(comparison_report(of))
    assert isinstance(console.file, io.StringIO)
    return console.file.getvalue()


def row(text: str, label: str) -> list[str]:
    """Give the cells of the row that begins with a label."""
    (found,) = [line for line in text.splitlines() if line.strip().startswith(label)]
    return [cell.strip() for cell in found.strip().removeprefix(label).split("  ") if cell.strip()]


def test_earlier_and_cheaper() -> None:
    assert sentence(STYLE, READY_MIX, replace(ON_SITE, against=replace(AGAINST, cost=difference(-8000.0, 1500.0)))) == (
        "Site mixing: 2.5 calendar days earlier on average (2.0 to 3.0), earlier in 81 % of pairs of runs; "
        "about $8,000 cheaper, cheaper in 90 % of pairs; "
        "the cheaper of the two changes below $50 an hour of truck standby."
    )


def test_why_it_is_earlier_adds_up() -> None:
    held = tuple(
        MovedCause(cause, 10.0, 10.0 + mean, difference(mean, 0.25))
        for cause, mean in (("concrete", -4.0), ("printer", 1.0), ("weather", 0.02), ("crew", 0.48))
    )
    told = read(READY_MIX, replace(ON_SITE, held=held))
    table = told[told.index("What held the finish, against Ready-mix") :]
    assert row(table, "concrete") == ["-4.0 ± 0.2"]
    assert row(table, "printing and moving the printer") == ["+1.0 ± 0.2"]
    assert row(table, "finish") == ["-2.5"]
    assert "\n weather" not in table, "what moves by less than is written is left out"
    assert "What held the finish" not in read(READY_MIX, ON_SITE)


def test_later_and_dearer() -> None:
    against = replace(AGAINST, finish_days=difference(4.0, 1.0), cost=difference(200_000.0, 1500.0))
    said = sentence(STYLE, READY_MIX, replace(ON_SITE, against=against))
    assert "4.0 calendar days later on average (3.0 to 5.0)" in said
    assert "about $200,000 dearer" in said


def test_what_cannot_be_told_apart_is_said_so() -> None:
    said = sentence(STYLE, READY_MIX, compared("The same", SAME))
    assert said == (
        "The same: finish dates cannot be told apart from those of Ready-mix; "
        "costs cannot be told apart (difference $0 to $0)."
    )


def test_runs_that_never_end_leave_dates_without_a_comparison() -> None:
    against = replace(SAME, finish_days=PairedDifference(math.nan, -math.inf, math.inf, 0, False, 300, 300, 0))
    assert "finish dates cannot be compared" in sentence(STYLE, READY_MIX, compared("Never", against))


def test_the_rate_at_which_both_cost_the_same() -> None:
    """At 130 an hour the other is 8,000 cheaper and saves 100 h of standby: at 50 an hour both cost the same."""
    assert turning_rate(READY_MIX, ON_SITE) == pytest.approx(50.0)


def test_the_rate_turns_upward_where_the_dearer_one_saves_standby() -> None:
    dearer = replace(ON_SITE, against=replace(AGAINST, cost=difference(4500.0, 500.0)))
    assert turning_rate(READY_MIX, dearer) == pytest.approx(175.0)
    assert "changes above $175 an hour of truck standby" in sentence(STYLE, READY_MIX, dearer)


@pytest.mark.parametrize(
    "other",
    [
        pytest.param(replace(ON_SITE, against=SAME), id="costs cannot be told apart"),
        pytest.param(replace(ON_SITE, against=replace(AGAINST, cost=difference(-14_000.0, 500.0))), id="below 0"),
        pytest.param(replace(ON_SITE, against=replace(AGAINST, cost=difference(90_000.0, 500.0))), id="past 5 times"),
        pytest.param(compared("As much standby", AGAINST, standby=100.5, paid=13_065.0), id="as much standby"),
    ],
)
def test_no_rate_turns_the_answer(other: Compared) -> None:
    assert turning_rate(READY_MIX, other) is None


def test_figures_stand_side_by_side() -> None:
    text = read(READY_MIX, replace(ON_SITE, summary=summary("2027-11-12", 892_000.0)))
    assert row(text, "finish, 4 in 5") == ["15 Nov 2027", "12 Nov 2027"]
    assert row(text, "cost, mean") == ["$900,000 ± $3,000", "$892,000 ± $3,000"]
    assert row(text, "print days") == ["10.0 ± 1.0", "10.0 ± 1.0"]
    assert row(text, "printer waiting or down") == ["80 h", "74 h"]
    assert row(text, "for concrete") == ["60 h", "30 h"]
    assert row(text, "for stops and repairs") == ["0.0 h", "44 h"]


def test_gangs_whose_waiting_differs_most_stand_below_their_sum() -> None:
    called = compared("Called", None, gangs={"boards": 300.0, "paint": 200.0, "roof": 50.0, "idle": 9.0})
    kept = compared("Kept running", SAME, gangs={"boards": 20.0, "paint": 100.0, "roof": 57.5})
    text = read(called, kept)
    assert row(text, "gangs waiting, together") == ["559 h", "178 h"]
    assert row(text, "boards") == ["300 h", "20 h"]
    assert row(text, "paint") == ["200 h", "100 h"]
    assert row(text, "idle") == ["9.0 h", "0.0 h"]
    assert "roof" not in text  # by less than a day


def test_the_days_that_gangs_called_at_notice_are_away_are_added_up() -> None:
    calls = [{"away_days": {"value": 40.0}}, {"away_days": {"value": 2.5}}]
    at_notice = compared("At notice", SAME)
    at_notice = replace(at_notice, summary={**at_notice.summary, "calls": calls})
    assert row(read(READY_MIX, at_notice), "gangs away, together") == ["0.0 days", "42.5 days"]
    assert "away" not in read(READY_MIX, ON_SITE)


def test_sites_without_gangs_have_no_line_of_them() -> None:
    assert "gangs waiting" not in read(READY_MIX, ON_SITE)


def test_differences_stand_below() -> None:
    text = read(READY_MIX, ON_SITE)
    assert row(text, "finish, days (- earlier)") == ["-2.5 (-3.0 to -2.0)"]
    assert row(text, "finish at 4 in 5, days") == ["-3.0 (-5.0 to -1.0)"]
    assert row(text, "earlier / same / later") == ["81 % / 2 % / 17 %"]
    assert row(text, "cost (- cheaper)") == ["-$8,000 (-$9,500 to -$6,500)"]
    assert row(text, "cheaper / same / dearer") == ["90 % / 0 % / 10 %"]


def test_what_rounds_to_nothing_has_no_sign_and_what_is_dearer_has_one() -> None:
    near = replace(AGAINST, finish_days=difference(-0.04, 0.02), cost=difference(-0.3, 1.0))
    text = read(READY_MIX, replace(ON_SITE, against=near))
    assert row(text, "finish, days (- earlier)") == ["0.0 (-0.1 to 0.0)"]
    assert row(text, "cost (- cheaper)") == ["$0 (-$1 to +$1)"]
    text = read(READY_MIX, replace(ON_SITE, against=replace(AGAINST, cost=difference(8000.0, 1500.0))))
    assert row(text, "cost (- cheaper)") == ["+$8,000 (+$6,500 to +$9,500)"]


def test_one_pair_has_no_interval() -> None:
    of_one = {"low": -math.inf, "high": math.inf, "distinguishable": False}
    moved = replace(difference(-2.0, 0.0), **of_one)
    against = replace(AGAINST, finish_days=moved, cost=replace(difference(-8000.0, 0.0), **of_one))
    text = read(READY_MIX, replace(ON_SITE, against=against, held=(MovedCause("weather", 5.0, 3.0, moved),)))
    assert row(text, "finish, days (- earlier)") == ["-2.0 (of one pair)"]
    assert row(text, "cost (- cheaper)") == ["-$8,000 (of one pair)"]
    assert row(text, "weather") == ["-2.0"]
    assert "inf" not in text


def test_every_scenario_has_its_sentence() -> None:
    lines = read(READY_MIX, ON_SITE, compared("Third", SAME)).splitlines()
    assert [line.split(":")[0] for line in lines if line.startswith(("Site mixing:", "Third:"))] == [
        "Site mixing",
        "Third",
    ]


def test_it_says_what_the_intervals_mean() -> None:
    text = " ".join(read(READY_MIX, ON_SITE).split())
    assert "300 runs of each, under the same weather and breakdowns" in text
    assert "the intervals of all scenarios hold together at 95 %" in text


def test_data_is_json_whatever_is_not_finite() -> None:
    never = replace(SAME, finish_days=PairedDifference(math.nan, -math.inf, math.inf, 0, False, 300, 300, 0))
    first, second = json.loads(json.dumps(as_data([READY_MIX, compared("Never", never)]), allow_nan=False))
    assert first["against_the_first"] is None
    assert second["scenario"] == "Never"
    assert second["against_the_first"]["finish_days"]["mean"] is None
    assert second["against_the_first"]["finish_days"]["n"] == 0
    assert first["printer_waiting_hours"] == {"concrete": 60.0, "weather": 20.0}
    assert first["gangs_waiting_hours"] == {}


def test_many_scenarios_are_set_beside_the_reference_a_few_at_a_time() -> None:
    others = [replace(ON_SITE, name=f"Another way of working, number {i}") for i in range(5)]
    text = read(READY_MIX, *others)
    assert text.count("Against Ready-mix") == 3
    heads = [line for line in text.splitlines() if "Ready-mix" in line and "number" in line]
    assert [line.count("number") for line in heads] == [2, 2, 1]
