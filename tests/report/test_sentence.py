"""The answer in one sentence; what it has to say is written out here, case by case."""

from __future__ import annotations

from typing import Any

from sitesim.report.sentence import answer

NEVER = {"date": None, "low": None, "high": None, "working_days_either_side": None}


def by(date: str, low: str | None = None, high: str | None = None, either_side: int | None = None) -> dict[str, Any]:
    return {"date": date, "low": low, "high": high, "working_days_either_side": either_side}


def a_summary(**changes: Any) -> dict[str, Any]:
    found = by("2027-11-15", "2027-11-11", "2027-11-17", 2)
    return {
        "runs": 300,
        "units": "metric",
        "currency": "EUR",
        "unfinished": {"runs": 0, "reasons": []},
        "finish": {"P10": found, "P50": found, "P80": found, "P90": found},
        "plain_plan": {"date": "2027-09-30", "chance": {"value": 0.03, "low": 0.016, "high": 0.056}},
        **changes,
    }


def with_chance(share: float) -> dict[str, Any]:
    return {"date": "2027-09-30", "chance": {"value": share, "low": None, "high": None}}


def test_it_says_when_how_sure_and_what_the_plain_plan_says() -> None:
    assert answer(a_summary()) == (
        "Four in five runs finish by 15 November 2027 (± 2 working days); the plain plan says 30 September 2027, which "
        "3 in 100 runs meet."
    )


def test_it_speaks_american_where_the_units_are() -> None:
    assert answer(a_summary(units="us", currency="USD")).startswith("Four in five runs finish by Nov 15, 2027 (± 2 wor")


def test_none_and_one_are_singular() -> None:
    assert answer(a_summary(plain_plan=with_chance(0.0))).endswith("which none of 300 runs meets.")
    assert answer(a_summary(plain_plan=with_chance(1 / 300))).endswith("which 1 of 300 runs meets.")
    assert answer(a_summary(plain_plan=with_chance(1.0))).endswith("which all 300 runs meet.")


def test_one_working_day_and_none() -> None:
    finish = a_summary()["finish"]
    one, none = (
        a_summary(finish={**finish, "P80": by("2027-11-15", "2027-11-14", "2027-11-16", days)}) for days in (1, 0)
    )
    assert "(± 1 working day);" in answer(one)
    assert "(known to the day);" in answer(none)


def test_few_runs_cannot_say_how_sure_it_is() -> None:
    finish = {**a_summary()["finish"], "P80": by("2027-11-15")}
    assert "by 15 November 2027 (5 runs: too few to say how sure that is);" in answer(a_summary(runs=5, finish=finish))


def test_an_interval_open_above_says_where_it_begins() -> None:
    finish = {**a_summary()["finish"], "P80": by("2027-11-15", low="2027-11-11")}
    told = answer(a_summary(finish=finish, unfinished={"runs": 40, "reasons": []}))
    assert "(from 11 Nov on;" in told
    assert told.endswith(" 40 of 300 runs do not come to an end.")


def test_without_a_p80_date_it_says_what_half_the_runs_do() -> None:
    finish = {**a_summary()["finish"], "P80": NEVER, "P90": NEVER}
    told = answer(a_summary(finish=finish, unfinished={"runs": 100, "reasons": []}))
    assert told.startswith(
        "There is no date by which four in five runs finish; half of the runs finish by 15 November 2027;"
    )
    one_in_ten = answer(a_summary(finish={**finish, "P50": NEVER}, unfinished={"runs": 200, "reasons": []}))
    assert "; one run in ten finishes by 15 November 2027;" in one_in_ten


def test_where_nothing_finishes_there_is_no_date() -> None:
    finish = dict.fromkeys(("P10", "P50", "P80", "P90"), NEVER)
    plain = {"date": None, "chance": {"value": 1.0, "low": None, "high": None}}
    assert answer(a_summary(finish=finish, unfinished={"runs": 300, "reasons": []}, plain_plan=plain)) == (
        "None of 300 runs comes to an end, so there is no date; the plain plan does not come to an end either."
    )


def test_one_unfinished_run_does_not() -> None:
    assert answer(a_summary(unfinished={"runs": 1, "reasons": []})).endswith(" 1 of 300 runs does not come to an end.")
