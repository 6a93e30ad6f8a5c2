"""Lifts with a large face, drying lags, maturity of a pour and the tent's heat, from the scenario into the plan."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import DEMO, changed, lines_of

from sitesim.plan import Law
from sitesim.scenario import load


def test_a_large_face_lowers_the_wind_of_a_lift(tmp_path: Path) -> None:
    # √(1.2 · 2 t/(1.0 · 9 m²)) = 0.516, form of EN 13000
    (tmp_path / "weather").symlink_to(DEMO.parent / "weather")
    path = tmp_path / "site.yaml"
    text = DEMO.read_text().replace(
        "    lift: {gust: 20 mph} ", "    lift: {gust: 20 mph, lift: {mass: 2 t, sail_area: 9 m^2, drag: 1}} "
    )
    path.write_text(text)
    gust = load(path).plan().climate.limits["lift"].gust
    assert gust == pytest.approx(0.516 * 20 * 0.44704, rel=1e-3)


def test_a_drying_lag_goes_by_the_air_indoors(tmp_path: Path) -> None:
    (tmp_path / "weather").symlink_to(DEMO.parent / "weather")
    path = tmp_path / "site.yaml"
    path.write_text(DEMO.read_text().replace("[tape + 3 d] ", "[tape + 3 d drying] "))
    plan = load(path).plan()
    lags = [node.task for node in plan.nodes if node.task.ripening is not None]
    assert len(lags) == 15
    ripening = lags[0].ripening
    assert ripening is not None
    assert (ripening.law, ripening.target) == (Law.DRYING, 72.0)
    assert ripening.shelter is not None
    assert ripening.shelter.set_point == 15.0
    assert lags[0].duration.mean == 0.0


def test_drying_is_no_working_time(tmp_path: Path) -> None:
    (tmp_path / "weather").symlink_to(DEMO.parent / "weather")
    path = tmp_path / "site.yaml"
    path.write_text(DEMO.read_text().replace("[tape + 3 d] ", "[tape + 3 wd drying] "))
    assert any("drying goes on day and night; write it like + 3 d drying" in line for line in lines_of(path))


def test_a_cure_may_have_to_reach_a_maturity(tmp_path: Path) -> None:
    path = changed(tmp_path)
    text = path.read_text()
    cure = next(line for line in text.splitlines() if line.strip().startswith("cure: {after: beam"))
    more = cure.replace("{after: beam", "{maturity: {reached: 1400 delta_degC*h, datum: -5 degC}, after: beam")
    path.write_text(text.replace(cure, more))
    plan = load(path).plan()
    cures = [node.task for node in plan.nodes if node.task.name == "cure"]
    assert cures
    for task in cures:
        assert task.ripening is not None
        assert (task.ripening.target, task.ripening.datum) == (1400.0, -5.0)
        assert task.ripening.shelter is not None


def test_the_heater_is_paid_by_its_power_and_the_price_of_heat() -> None:
    assert load(DEMO).plan().costs.heater_hour == pytest.approx(150 * 0.10)
