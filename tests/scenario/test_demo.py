"""The demo and its variants: they load clean, and their plans hold the figures worked out by hand."""

from __future__ import annotations

import pickle
from datetime import date
from math import ceil, exp, log

import pytest
from cases import DEMO, SCENARIOS

from sitesim.hours import TICKS_AN_HOUR
from sitesim.plan import DROP, Kind, Plan, ReadyMix, SiteMix, UnitKind
from sitesim.policies import FixedSpacing, SetUpOrder, TakeDown
from sitesim.scenario import load

YARD = 0.9144  # metres, exactly, since 1959
PATHS = [152.0] * 22 + [131.0] * 30 + [170.0] * 15  # metres of path by layer, as the demo gives them


@pytest.fixture(scope="module")
def plan() -> Plan:
    return load(DEMO).plan()


@pytest.mark.parametrize("path", sorted(SCENARIOS.glob("*.yaml")), ids=lambda path: path.stem)
def test_every_scenario_that_ships_loads_clean_and_makes_a_plan(path) -> None:  # type: ignore[no-untyped-def]
    scenario = load(path)
    plan = scenario.plan()
    assert len(plan.homes) == (60 if path.stem == "curlew-fields" else 15)
    for node in plan.nodes:
        assert all(other < node.index for other in node.after)
        assert plan.nodes[node.index] is node
    assert len({node.key for node in plan.nodes}) == len(plan.nodes)


def test_the_wall_has_the_layers_path_and_concrete_of_its_drawing(plan: Plan) -> None:
    shell = plan.buildings[1].shell
    assert shell is not None
    wall = shell.wall
    assert wall.layers == 67 == round(2.68 / 0.040)
    assert sum(PATHS) == 9824.0
    in_place = sum(wall.volume) / 1.04
    assert in_place == pytest.approx(9824 * 0.040 * 0.060, abs=67 * DROP)
    assert in_place == pytest.approx(23.6, abs=0.05)


def test_layers_take_19_4_and_16_7_and_21_7_minutes(plan: Plan) -> None:
    shell = plan.buildings[0].shell
    assert shell is not None
    for layer, (path, hours) in enumerate(zip(PATHS, shell.wall.nozzle_hours, strict=True), start=1):
        assert hours == pytest.approx(path / 0.150 * 1.15 / 3600, abs=0.5 / TICKS_AN_HOUR), layer
    minutes = {round(60 * hours, 1) for hours in shell.wall.nozzle_hours}
    assert minutes == {19.4, 16.7, 21.7}
    assert sum(shell.wall.nozzle_hours) == pytest.approx(20.9, abs=0.05)


def test_print_days_need_7_7_and_7_2_and_5_and_5_and_8_6_cubic_yards(plan: Plan) -> None:
    shell, day = plan.buildings[1].shell, plan.print_day
    assert shell is not None
    assert day is not None
    # 0.14 m³ to prime, 0.03 m³ of specimens, and a hose of π/4·0.05²·30 = 0.0589 m³
    assert day.day_extra == pytest.approx(0.14 + 0.03 + 0.0589, abs=1e-5)
    needs, done = [], 0
    while done < shell.wall.layers:
        target = shell.wall.day_target(done)
        needs.append(round((shell.wall.day_need(done, target) + day.day_extra) / YARD**3, 1))
        done = target
    assert needs == [7.7, 7.2, 5.0, 5.0, 8.6]


def test_the_first_row_prints_twelve_layers_a_day_at_most(plan: Plan) -> None:
    first, second = plan.buildings[0].shell, plan.buildings[1].shell
    assert first is not None
    assert second is not None
    assert first.wall.day_target(0) == 12
    assert second.wall.day_target(0) == 15


def test_planned_stops_are_joint_steel_every_ten_layers_and_lintels(plan: Plan) -> None:
    shell = plan.buildings[0].shell
    assert shell is not None
    told = {layer: [(stop.name, stop.hours) for stop in stops] for layer, stops in shell.wall.stops.items()}
    assert told == {
        **{layer: [("joint steel", 0.25)] for layer in (10, 20, 30, 40, 50, 60)},
        52: [("lintels set and bedded", 1.5)],
    }


def test_the_shortest_interval_follows_from_build_up(plan: Plan) -> None:
    assert plan.print_day is not None
    # ρgH/(√3·A) for 40 mm: twice the 475.8 s of 20 mm layers (Roussel 2006, recomputed)
    assert plan.print_day.shortest_interval == pytest.approx(2 * 475.8 / 3600, abs=1e-4)


def test_orders_are_whole_half_yards(plan: Plan) -> None:
    supply = plan.supply
    assert isinstance(supply, ReadyMix)
    ordering = supply.ordering
    assert isinstance(ordering, FixedSpacing)
    assert ordering.sizes.load == 6 * ordering.sizes.step
    assert ordering.sizes.step == pytest.approx(0.5 * YARD**3, abs=DROP)
    assert ordering.first_arrival == 7.0
    assert supply.short_under == 8 * ordering.sizes.step  # a load of just 4 yd³ is not under 4 yd³
    assert supply.price == pytest.approx(205 / YARD**3)
    assert supply.standby_free == pytest.approx(7 / 60 / YARD**3)
    assert supply.haul.inverse(0.5) == pytest.approx(1.0)
    assert supply.haul.inverse(0.9) == pytest.approx(1.2)


def test_times_that_do_not_vary_lie_on_the_clock(plan: Plan) -> None:
    day = plan.print_day
    assert day is not None
    times = [day.align, day.prime, day.wash_out, day.open_time, day.working_life, day.joint_time, day.least_hours]
    shell = plan.buildings[0].shell
    assert shell is not None
    for hours in [*times, *shell.wall.nozzle_hours, *(node.not_before for node in plan.nodes)]:
        assert hours * TICKS_AN_HOUR == int(hours * TICKS_AN_HOUR)
    for volume in [*shell.wall.volume, day.hose, day.priming, day.hopper, day.specimens]:
        assert volume / DROP == int(volume / DROP)


def test_a_rows_story_is_told_in_the_order_in_which_it_is_performed(plan: Plan) -> None:
    story = [node.key for node in plan.nodes if node.building == 0 and node.told]
    assert story == [
        f"A/{step}"
        for step in (
            "gantry_up",
            "tent_up",
            "calibrate",
            "bars",
            "grout_lift",
            "walls",
            "cage",
            "beam",
            "cure",
            "tent_down",  # struck first, since a crane lifts the gantry out
            "gantry_down",
            "released",
        )
    ]
    keys = {node.key: node for node in plan.nodes}
    for before, after in zip(["A/slab", *story], story, strict=False):
        assert [plan.nodes[index].key for index in keys[after].after] == [before]
    kinds = {key: keys[f"A/{key}"].task.kind for key in ("slab", "gantry_up", "tent_up", "walls", "cure", "cage")}
    assert kinds == {
        "slab": Kind.HANDED_IN,
        "gantry_up": Kind.GANTRY,
        "tent_up": Kind.TENT,
        "walls": Kind.MILESTONE,
        "cure": Kind.CURE,
        "cage": Kind.WORK,
    }
    shell = plan.buildings[0].shell
    assert shell is not None
    assert [plan.nodes[index].key for index in (shell.ready, shell.beam, shell.released)] == [
        "A/slab",
        "A/beam",
        "A/released",
    ]
    assert {layer: [plan.nodes[i].key for i in held] for layer, held in shell.holds.items()} == {
        30: ["A/bars", "A/grout_lift"]
    }


def test_slabs_are_handed_in_at_midnight_of_their_date(plan: Plan) -> None:
    keys = {node.key: node for node in plan.nodes}
    # 1 to 22 March is three weeks of 168 h
    assert (keys["A/slab"].not_before, keys["B/slab"].not_before) == (0.0, 504.0)


def test_the_gantrys_moves_need_riggers_and_crane_but_not_the_gantry(plan: Plan) -> None:
    keys = {node.key: node for node in plan.nodes}
    needed = [[plan.units[index].name for index in group] for group in keys["A/gantry_up"].task.needs]
    assert needed == [["shell"], ["crane"]]
    assert [[plan.units[i].name for i in group] for group in keys["A/calibrate"].task.needs] == [["shell"]]


def test_units_are_gangs_then_crane_printer_and_tent(plan: Plan) -> None:
    names = [unit.name for unit in plan.units]
    assert names[0] == "shell"
    assert names[-3:] == ["crane", "printer", "tent"]
    kinds = [unit.kind for unit in plan.units]
    assert kinds == [UnitKind.GANG] * (len(kinds) - 3) + [UnitKind.CRANE, UnitKind.PRINTER, UnitKind.TENT]
    crane, printer, tent = plan.units[-3:]
    assert (crane.on_call, crane.hours) == (True, "site")
    assert (printer.hours, tent.hours) == ("shell", "shell")


def test_homes_wait_for_their_own_tasks_lags_and_deliveries(plan: Plan) -> None:
    keys = {node.key: node for node in plan.nodes}

    def after(key: str) -> set[str]:
        return {plan.nodes[index].key for index in keys[key].after}

    assert after("A/trusses") == {"A/released", "A/beam + 5 wd"}
    assert after("A2/boards") == {"A2/foam + 24 h"}
    assert after("A2/foam + 24 h") == {"A2/foam"}
    assert after("A2/windows") == {"A/deck", "A2/windows delivery"}
    assert "A2/utility meter" in after("A2/services_finals")
    lag, drying = keys["A2/foam + 24 h"].task, keys["A/beam + 5 wd"].task
    assert (lag.kind, lag.hours, lag.duration.mean) == (Kind.CURE, "", 24.0)
    assert (drying.hours, drying.duration.mean) == ("site", 40.0)  # five days of eight hours
    delivery = keys["A2/windows delivery"].task
    assert (delivery.kind, delivery.needs, delivery.hours) == (Kind.DELIVERY, (), "site")
    assert not delivery.shares_fortune


def test_durations_are_betas_in_hours_of_eight_hour_days(plan: Plan) -> None:
    keys = {node.key: node for node in plan.nodes}
    # (3 + 4·4 + 6)/6 wd of 8 h
    assert keys["A/deck"].task.duration.mean == pytest.approx(8 * 25 / 6)


def test_the_weather_is_four_years_with_limits_in_si(plan: Plan) -> None:
    climate = plan.climate
    assert climate.record is not None
    assert climate.record.years == 4
    mile_an_hour = 1609.344 / 3600
    assert climate.limits["lift"].gust == pytest.approx(20 * mile_an_hour)
    assert climate.limits["roof"].rain == 0.0
    tent = climate.limits["printing"].shelter
    assert tent is not None
    assert tent.rated_gust == pytest.approx(38 * 0.6 * mile_an_hour)
    assert (tent.rise, tent.set_point, tent.wind_share) == (12.0, 15.0, 0.1)
    indoors = climate.limits["foam"].shelter
    assert indoors is not None
    assert (indoors.wind_share, indoors.rise, indoors.set_point) == (0.0, 10.0, 15.0)


def test_holidays_are_closed_on_the_days_on_which_they_are_kept(plan: Plan) -> None:
    closed = plan.calendars["site"].closed
    # 4 July 2027 is a Sunday and kept on Monday the 5th; Memorial Day is 31 May (US federal holidays)
    assert {date(2027, 7, 5).toordinal(), date(2027, 5, 31).toordinal()} <= closed
    assert date(2027, 7, 6).toordinal() not in closed


def test_lognormal_stops_have_the_quantiles_given(plan: Plan) -> None:
    assert plan.print_day is not None
    blockage = next(stop for stop in plan.print_day.stops if stop.name == "full hose blockage")
    sigma = log(240 / 90) / 1.2815515655446004
    assert blockage.time.mean == pytest.approx(1.5 * exp(sigma**2 / 2))
    assert (blockage.measure, blockage.every.mean, blockage.loses_hose) == ("pumped", 60.0, True)


def test_the_plan_can_be_pickled_and_is_the_same_after(plan: Plan) -> None:
    again = pickle.loads(pickle.dumps(plan))
    assert again.nodes == plan.nodes
    assert again.buildings == plan.buildings
    assert again.print_day == plan.print_day
    assert again.supply == plan.supply


def test_mixing_on_site_extends_ready_mix_without_its_keys() -> None:
    supply = load(SCENARIOS / "tern-quay-site-mixing.yaml").plan().supply
    assert isinstance(supply, SiteMix)
    assert supply.batch == pytest.approx(0.25, abs=DROP)
    assert supply.cycle.mean == pytest.approx((7 + 4 * 8 + 12) / 6 / 60)


def test_a_second_tent_goes_ahead_and_the_gantry_leaves_after_the_beam() -> None:
    plan = load(SCENARIOS / "tern-quay-second-tent.yaml").plan()
    relocation = plan.relocation
    assert relocation is not None
    assert (relocation.order, relocation.gantry_leaves) == (SetUpOrder.TENT_FIRST, TakeDown.BEAM)
    assert [unit.name for unit in plan.units if unit.kind is UnitKind.TENT] == ["tent 1", "tent 2"]
    story = [node.task.name for node in plan.nodes if node.building == 0 and node.told]
    assert story[:4] == ["tent_up", "ballast", "gantry_up", "calibrate"]
    assert story[story.index("beam") :] == ["beam", "gantry_down", "ballast_off", "cure", "tent_down", "released"]


def test_the_other_sequence_leaves_the_second_visit_out() -> None:
    names = {node.task.name for node in load(SCENARIOS / "tern-quay-framing-first.yaml").plan().nodes}
    assert "services_once" in names
    assert not names & {"services_second", "partition_boards", "services_rough"}


def test_the_largest_day_takes_as_many_loads_as_there_are_trucks(plan: Plan) -> None:
    # 8.6 yd³ in loads of 3 yd³: so that no truck has to come round twice
    assert isinstance(plan.supply, ReadyMix)
    assert ceil(8.62 / 3) == 3 <= plan.supply.trucks
