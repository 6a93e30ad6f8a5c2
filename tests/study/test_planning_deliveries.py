"""Ways of delivery against each other, on the demo with few runs and fixed seeds."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from sitesim.answers.deliveries import as_arrays
from sitesim.answers.delivery_costs import Prices, cost_of
from sitesim.errors import UserError
from sitesim.ledger.print_days import PrintDays, in_columns
from sitesim.plan import printing_only
from sitesim.scenario import Scenario, load
from sitesim.study.day_order import Day, plan_day
from sitesim.study.deliveries import plan_deliveries, read_supplies
from sitesim.study.delivery_folder import claim_folder, keep
from sitesim.study.kept_print_days import KeptPrintDays
from sitesim.study.played_ways import Playing
from sitesim.study.print_days import play_print_days
from sitesim.study.runner import Interrupted, StudySettings
from sitesim.study.ways import Grid, ways_of

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"
MIXED = DEMO.with_name("tern-quay-site-mixing.yaml")
HERE = StudySettings(runs=12, engine="here")
SWEEP = ("60 min", "90 min", "120 min", "150 min", "180 min", "210 min", "240 min")
_YARD = 0.9144**3


@pytest.fixture(scope="module")
def demo() -> Scenario:
    return load(DEMO)


@pytest.fixture(scope="module")
def swept(demo: Scenario) -> list[dict[str, Any]]:
    """Play 3 yd³ at spacings from tight to wide, with trucks enough for any of them."""
    summary, _ = plan_deliveries(read_supplies(demo, None), [], Grid(("3 yd^3",), SWEEP, (8,)), Playing(HERE))
    return sorted(summary["ways"], key=lambda one: one["spacing"])


@pytest.fixture(scope="module")
def weighed(demo: Scenario) -> dict[str, Any]:
    grid = Grid(("3 yd^3", "4 yd^3"), ("75 min", "135 min", "180 min"), (3,))
    summary, _ = plan_deliveries(read_supplies(demo, load(MIXED)), [], grid, Playing(HERE))
    return summary


def test_from_tight_to_wide_rejected_concrete_falls_and_the_printer_waits_more(swept: list[dict[str, Any]]) -> None:
    rejected = [one["means"]["rejected_m3"]["value"] for one in swept]
    waiting = [one["means"]["waiting_hours"]["value"] for one in swept]
    # Under the same luck neighbours differ by spacing alone, but rejected loads make more print days, each of which
    # waits for its first load: where a curve is flat it may jitter by a tenth.
    assert all(after < 1.1 * before for before, after in pairwise(rejected))
    assert all(after > 0.9 * before for before, after in pairwise(waiting))
    assert rejected[0] > 1.5 * rejected[-1]
    assert waiting[-1] > 3.0 * waiting[0]


def test_the_cost_has_its_lowest_point_inside(swept: list[dict[str, Any]]) -> None:
    costs = [one["cost"]["value"] for one in swept]
    best = costs.index(min(costs))
    assert 0 < best < len(costs) - 1
    assert costs[0] > 1.02 * costs[best]
    assert costs[-1] > 1.02 * costs[best]
    assert [one["is_best"] for one in swept].index(True) == best


def test_all_ways_meet_the_same_luck(demo: Scenario) -> None:
    ways = ways_of(demo, [], Grid(("3 yd^3",), ("120 min", "150 min", "200 min"), (8,)))
    runs = [range(4)] * len(ways.plans)
    played = play_print_days(ways.plans, runs, HERE, keep_loads=True)
    trips = [
        {
            (run, load.day, load.number): (load.left_plant - load.batched, load.arrived - load.left_plant)
            for run, load in one.loads
        }
        for one in played
    ]
    for other in trips[1:]:
        shared = trips[0].keys() & other.keys()
        assert len(shared) > 100
        assert all(trips[0][key] == other[key] for key in shared)


def test_a_printer_never_waits_where_supply_is_unlimited(demo: Scenario) -> None:
    plenty = (
        "supply.first_arrival='04:00'",
        "supply.spacing=1 min",
        "supply.trucks=60",
        "supply.bays=60",
        "supply.gate=0 min",
        "supply.refused=0",
        "supply.loading=1 min",
        "supply.haul=1 min",
        "supply.back=1 min",
        "concrete.working_life=40 h",
        "concrete.heat=false",
        "printer.go_before=3 h",
    )
    plan = printing_only(load(DEMO, plenty).plan())
    rows = play_print_days([plan], [range(6)], HERE)[0].rows
    assert all(row.waiting_hours == 0.0 for row in rows)
    assert all(row.rejected_m3 == 0.0 for row in rows)


def test_what_is_batched_is_accounted_for_in_every_run_of_every_way(demo: Scenario) -> None:
    ways = ways_of(demo, [], Grid(("2 yd^3", "4 yd^3"), ("100 min", "200 min"), (3,)))
    for one in play_print_days(ways.plans, [range(3)] * len(ways.plans), HERE):
        for row in one.rows:
            assert row.finished
            spent = row.in_place_m3 + row.rejected_m3 + row.returned_m3 + row.washed_out_m3
            assert spent < row.batched_m3 < spent + 0.5 * row.print_days  # the rest primed, was lost or filled joints
            standing = row.waiting_hours + row.held_hours + row.down_hours
            assert 0.0 < standing < row.day_hours


def rows_of(scenario: Scenario) -> list[PrintDays]:
    return play_print_days([printing_only(scenario.plan())], [range(HERE.runs)], HERE)[0].rows


def cost_per_volume(scenario: Scenario) -> float:
    figures = as_arrays(in_columns(rows_of(scenario)))
    cost = cost_of(figures, Prices.of(printing_only(scenario.plan())))
    return float(cost.mean() / figures["in_place_m3"].mean())


def test_at_the_turning_standby_rate_both_supplies_cost_the_same_when_played_again(weighed: dict[str, Any]) -> None:
    found = weighed["turning"]["standby"]
    assert found["low"] < found["at"] < found["high"]
    way = found["way"]
    ready = load(
        DEMO,
        (
            f"costs.standby={found['at']!r} /h",
            f"supply.load={way['load'] / _YARD:g} yd^3",
            f"supply.spacing={60 * way['spacing']:g} min",
        ),
    )
    assert cost_per_volume(ready) == pytest.approx(cost_per_volume(load(MIXED)), rel=1e-6)


def test_at_the_turning_blend_price_both_supplies_cost_the_same_when_played_again(weighed: dict[str, Any]) -> None:
    found = weighed["turning"]["blend"]
    best = next(one for one in weighed["ways"] if one["is_best"])
    mixed = load(MIXED, (f"costs.blend={found['at']!r} /m^3",))
    assert cost_per_volume(mixed) == pytest.approx(best["cost"]["value"], rel=1e-6)


def test_trucks_that_never_stand_longer_than_is_free_keep_ready_mix_cheaper_at_every_rate() -> None:
    sets = ("costs.standby_free=400 min/yd^3", "costs.blend=900 /m^3")
    supplies = read_supplies(load(DEMO, sets), load(MIXED, sets))
    settings = StudySettings(runs=2, engine="here")
    summary, _ = plan_deliveries(supplies, sets, Grid(("3 yd^3",), ("135 min",), (3,)), Playing(settings))
    assert summary["against"]["difference"]["value"] < 0.0
    assert summary["turning"]["standby"]["always"] == "ready-mix"
    assert summary["turning"]["standby"]["at"] is None


def test_longer_hauls_and_slower_printing_speak_for_mixing_on_site(weighed: dict[str, Any]) -> None:
    travel = [one["difference"]["value"] for one in weighed["turning"]["travel"]["tried"]]
    assert travel[-1] > travel[0]  # ready-mix less mixing on site
    rates = [one["difference"]["value"] for one in weighed["turning"]["print_rate"]["tried"]]
    assert rates[0] > rates[-1]
    at_one = next(one for one in weighed["turning"]["travel"]["tried"] if one["factor"] == 1.0)
    assert at_one["difference"] == weighed["against"]["difference"]


def test_a_grid_is_made_of_the_scenarios_own_values_and_grows_where_the_best_lies_on_its_edge(
    demo: Scenario,
) -> None:
    summary, rows = plan_deliveries(
        read_supplies(demo, None), [], Grid(), Playing(StudySettings(runs=2, engine="here"))
    )
    loads = sorted({round(one["load"] / _YARD, 3) for one in summary["ways"]})
    assert loads[:5] == [2.0, 2.5, 3.0, 3.5, 4.0]
    assert {75, 135, 210} <= {round(60 * one["spacing"]) for one in summary["ways"]}
    best = summary["best"]
    assert round(best["load"] / _YARD, 3) < loads[-1]
    assert sum(len(each["run"]) for each in rows) == 2 * len(summary["ways"])


def test_what_cannot_be_is_told_with_its_numbers(demo: Scenario) -> None:
    ways = ways_of(demo, [], Grid(("2 yd^3", "11 yd^3"), ("75 min", "135 min"), (3,)))
    reasons = {(one.load, one.spacing): one.reason for one in ways.impossible}
    assert "81 min or 4 trucks would do" in reasons["2 yd^3", "75 min"]
    assert "11 yd^3 is more than a truck carries (10 yd^3)" in reasons["11 yd^3", "135 min"]
    assert [way.load for way in ways.ways] == [pytest.approx(2 * _YARD)]


def test_none_that_can_be_is_an_error(demo: Scenario) -> None:
    with pytest.raises(UserError, match="none of the combinations"):
        ways_of(demo, [], Grid(("11 yd^3",), ("135 min",), (3,)))


def test_what_none_can_be_for_is_told_once(demo: Scenario) -> None:
    with pytest.raises(UserError) as told:
        ways_of(demo, [], Grid(("4",), ("75 min", "90 min", "105 min", "120 min"), (3,)))
    assert str(told.value).splitlines()[1:] == [
        "4, 75 min; 4, 90 min; 4, 105 min; and 1 more: 4 has no unit; write it like 3 yd^3"
    ]


def test_two_supplies_of_a_kind_are_refused(demo: Scenario) -> None:
    with pytest.raises(UserError, match="supplied in the same way"):
        read_supplies(demo, demo)
    with pytest.raises(UserError, match="nothing is delivered"):
        read_supplies(load(MIXED), None)
    assert read_supplies(load(MIXED), demo).ready is demo


def test_workers_and_blocks_change_nothing(demo: Scenario) -> None:
    ways = ways_of(demo, [], Grid(("3 yd^3",), ("120 min", "180 min"), (3,)))
    runs = [range(5)] * 2
    here = play_print_days(ways.plans, runs, HERE)
    pool = play_print_days(ways.plans, runs, StudySettings(runs=5, workers=2, block=2))
    assert [one.rows for one in here] == [one.rows for one in pool]


def test_ordering_by_the_days_need_is_tried_by_load(demo: Scenario) -> None:
    by_need = load(DEMO, ("supply.ordering=days-need",))
    settings = StudySettings(runs=2, engine="here")
    sets = ("supply.ordering=days-need",)
    summary, _ = plan_deliveries(read_supplies(by_need, None), sets, Grid(("3 yd^3", "4 yd^3")), Playing(settings))
    assert {one["spacing"] for one in summary["ways"]} == {0.0}
    with pytest.raises(UserError, match="has no spacing"):
        plan_deliveries(read_supplies(by_need, None), sets, Grid((), ("90 min",)), Playing(settings))


DAY = Day("B", 16, date(2027, 5, 4))
FEW = StudySettings(runs=60, engine="here")


@pytest.fixture(scope="module")
def ordered(demo: Scenario) -> dict[str, Any]:
    grid = Grid(("2 yd^3", "3 yd^3", "4 yd^3"), ("75 min", "135 min", "195 min"), (3,))
    return plan_day(demo, [], grid, DAY, FEW)[0]


def test_the_order_covers_what_the_layers_need(demo: Scenario, ordered: dict[str, Any]) -> None:
    day = ordered["day"]
    assert (day["from_layer"], day["to_layer"], day["order_by"]) == (16, 30, "2027-05-03T15:00")
    plan = demo.plan()
    shell, rules = plan.buildings[1].shell, plan.print_day
    assert shell is not None
    assert rules is not None
    need = sum(shell.wall.volume[15:30]) + rules.day_extra
    volumes = [one["volume_m3"] for one in day["loads"]]
    assert need <= sum(volumes) < need + 0.5 * _YARD + 1e-5
    assert [one["due"] for one in day["loads"]] == [7.0 + i * ordered["best"]["spacing"] for i in range(len(volumes))]
    for one in day["loads"]:
        # Loading 15 min, haul on average 60.6 min; five hours of life at 20 °C, and spring is cooler.
        assert one["due"] - one["batched"] == pytest.approx(0.25 + 1.0102, abs=1e-3)
        assert one["use_by"] - one["batched"] == pytest.approx(5.0)


def test_chances_count_the_days(ordered: dict[str, Any]) -> None:
    day = ordered["day"]
    chances = day["chances"]
    assert 0.2 < chances["reaches_target"]["value"] < 0.95
    assert chances["reaches_target"]["value"] + chances["short_of_concrete"]["value"] <= 1.0
    assert 13.0 < day["ends"]["P50"]["value"] <= day["ends"]["P80"]["value"] < 20.0


def test_a_fleet_too_small_for_the_longest_day_may_do_for_this_one(demo: Scenario, ordered: dict[str, Any]) -> None:
    # On the site's longest day 2 yd³ come in five loads, which three trucks cannot bring 75 minutes apart; this day
    # takes four, one more than there are trucks. From layer 60 on three will do.
    assert [one["load"] for one in ordered["impossible"]] == ["2 yd^3"]
    short = plan_day(demo, [], Grid(("2 yd^3",), ("75 min",), (3,)), Day("B", 60, DAY.date), FEW)[0]
    assert short["impossible"] == []
    assert len(short["day"]["loads"]) == 3


def test_a_forecast_leaves_just_the_runs_with_such_a_day(demo: Scenario) -> None:
    grid = Grid(("3 yd^3",), ("135 min",), (3,))
    summary, rows = plan_day(demo, [], grid, Day("B", 16, DAY.date, "hot, dry"), FEW)
    assert summary["runs"] == 60
    assert rows[0]["run"] != list(range(60))
    told = summary["day"]["weather"]
    assert 5 <= told["days_in_class"] < told["days_near"] == 124


@pytest.mark.parametrize(
    ("day", "message"),
    [
        (Day("Z", 1, DAY.date), "there are A, B, C, D, E"),
        (Day("B", 99, DAY.date), "has layers 1 to 67"),
        (Day("B", 16, date(2027, 5, 1)), "not a working day of those who print; the next is 2027-05-03"),
        (Day("B", 16, DAY.date, "lovely"), "is not a class of weather"),
        (Day("B", 16, DAY.date, "-20 to -10 degC"), "only 0 are like that"),
    ],
)
def test_a_day_that_cannot_be_is_refused(demo: Scenario, day: Day, message: str) -> None:
    with pytest.raises(UserError, match=message):
        plan_day(demo, [], Grid(("3 yd^3",), ("135 min",), (3,)), day, FEW)


SHUT = "supply.outages=[{name: holiday, of: plant, on: ['2027-05-04']}]"
ROADWORKS = "supply.outages=[{name: roadworks, of: road, on: ['2027-05-04', '2027-05-05', '2027-05-06']}]"
MORNING_ONLY = "supply.outages=[{name: repair, of: plant, on: ['2027-05-04'], hours: 04:00-08:00}]"
OTHER_WEEK = "calendar.inspection={days: wed-fri, hours: ['05:00-18:00']}"


@pytest.mark.parametrize(
    ("sets", "message"),
    [
        ((SHUT,), r"2027-05-04: .* for want of the plant \(holiday\); the next is 2027-05-05"),
        ((ROADWORKS,), r"for want of the road \(roadworks\); the next is 2027-05-07"),
        ((OTHER_WEEK, "supply.calendar=inspection"), "is not a day on which the plant works; the next is 2027-05-05"),
    ],
)
def test_a_day_on_which_no_concrete_can_be_had_is_refused_before_anything_is_played(
    sets: tuple[str, ...], message: str
) -> None:
    def told(done: int, wanted: int) -> None:
        raise AssertionError("it is played")

    with pytest.raises(UserError, match=message):
        plan_day(load(DEMO, sets), sets, Grid(("3 yd^3",), ("135 min",), (3,)), DAY, FEW, told)


def test_a_plant_that_is_shut_for_a_part_of_the_day_is_no_reason_to_refuse_it() -> None:
    grid = Grid(("3 yd^3",), ("135 min",), (3,))
    few = StudySettings(runs=3, engine="here")
    assert plan_day(load(DEMO, (MORNING_ONLY,)), (MORNING_ONLY,), grid, DAY, few)[0]["runs"] == 3


def test_a_folder_with_something_else_is_left_alone(tmp_path: Path, demo: Scenario, weighed: dict[str, Any]) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    with pytest.raises(UserError, match="holds something else"):
        claim_folder(tmp_path)
    summary, rows = plan_deliveries(
        read_supplies(demo, None),
        [],
        Grid(("3 yd^3",), ("135 min",), (3,)),
        Playing(StudySettings(runs=2, engine="here")),
    )
    folder = claim_folder(tmp_path / "new")
    keep(folder, demo, None, summary, rows)
    assert claim_folder(folder) == folder
    import pandas as pd

    table = pd.read_parquet(folder / "print_days.parquet")
    assert table["run"].tolist() == [0, 1]
    assert (table["in_place_m3"] > 0).all()


def test_a_grid_that_grows_past_the_holding_hopper_says_so_and_keeps_what_was_played() -> None:
    hopper = load(DEMO.with_name("tern-quay-holding-hopper.yaml"))
    few = StudySettings(runs=1, engine="here")
    summary, _ = plan_deliveries(
        read_supplies(hopper, None), ["supply.load=4 yd^3"], Grid((), ("135 min",), (3,)), Playing(few)
    )
    assert summary["ways"]
    for one in summary["impossible"]:
        assert "could never go" in one["reason"]


def test_an_interrupted_study_keeps_the_ways_that_were_played_and_goes_on(tmp_path: Path, demo: Scenario) -> None:
    grid = Grid(("3 yd^3",), ("105 min", "135 min", "165 min"), (3,))
    few = StudySettings(runs=3, engine="here", block=3)
    asked = read_supplies(demo, None), [], grid

    def interrupt(done: int, wanted: int) -> None:
        if done >= 6:
            raise KeyboardInterrupt

    folder = claim_folder(tmp_path / "study")
    with pytest.raises(Interrupted) as stopped:
        plan_deliveries(*asked, Playing(few, interrupt, KeptPrintDays(folder, few.seed)))
    assert stopped.value.kept == 6
    assert f"6 runs are kept in {folder}" in str(stopped.value)

    told: list[int] = []
    kept = KeptPrintDays(claim_folder(folder), few.seed)
    gone_on = plan_deliveries(*asked, Playing(few, lambda done, _: told.append(done), kept))
    assert told == [6], "two of the three ways were played before"
    assert gone_on == plan_deliveries(*asked, Playing(few))
    kept.clear()
    assert list(folder.iterdir()) == []


def test_kept_print_days_of_another_seed_or_plan_or_a_broken_file_are_not_taken(tmp_path: Path, demo: Scenario) -> None:
    plan = printing_only(demo.plan())
    rows = play_print_days([plan], [range(2)], HERE)[0].rows
    kept = KeptPrintDays(tmp_path, 1)
    kept.keep(plan, range(2), rows)
    assert kept.find(plan, range(2)) == rows
    assert kept.find(plan, range(3)) is None
    assert KeptPrintDays(tmp_path, 2).find(plan, range(2)) is None
    assert kept.find(printing_only(load(MIXED).plan()), range(2)) is None
    (file,) = (tmp_path / "played").glob("*.parquet")
    file.write_bytes(file.read_bytes()[:100])
    assert kept.find(plan, range(2)) is None
