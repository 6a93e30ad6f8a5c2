"""The weather of one run, and the hours that it leaves open."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import ceil
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from sitesim.chance import Luck, stream
from sitesim.hours import NEVER, Calendar, on_clock
from sitesim.plan import Law, Ripening, Shelter, Sides
from sitesim.site.stage import Stage, weather_stream
from sitesim.site.tent_sides import TentSides, tent_sides
from sitesim.weather import Sky

_FORECAST = stream("weather", "forecast")
_FORECAST_DAY = stream("weather", "forecast day")


class DayWeather(NamedTuple):
    """The weather of one civil day: temperatures [°C], rain [mm], highest gust [m/s]."""

    low: float
    high: float
    rain: float
    gust: float


class RunHours:
    """Calendars of one run by kind of work and crew; each is made when it is first asked for."""

    def __init__(self, stage: Stage, luck: Luck) -> None:
        self._stage = stage
        self._luck = luck
        self._made: dict[tuple[str, tuple[str, ...], bool], Calendar] = {}
        self._reached: dict[Ripening, npt.NDArray[np.float64]] = {}
        self._sides: dict[Sides, TentSides] = {}
        self._sides_over: dict[str, TentSides | None] = {}
        self._days: npt.NDArray[np.int64] | None = None
        if stage.blocks is not None:
            self._days = stage.blocks.draw(self._uniforms)

    def _uniforms(self, blocks: npt.NDArray[np.int64]) -> npt.NDArray[np.float64]:
        return self._luck.uniforms(np.full(len(blocks), weather_stream(), dtype=np.uint64), blocks)

    def open(self, limits: str, names: tuple[str, ...], through_breaks: bool = False) -> Calendar:
        """Give the hours in which work under ``limits`` may go on in the shared shifts of ``names``.

        Without limits, or where no weather holds, these are the shifts themselves. For work that goes on through breaks
        they are bridged.
        """
        stage = self._stage
        if not limits or stage.sky is None or self._days is None:
            return stage.through_breaks(names) if through_breaks else stage.shift(names)
        found = self._made.get((limits, names, through_breaks))
        if found is None:
            if through_breaks and not stage.has_breaks(names):
                found = self.open(limits, names)
            else:
                found = stage.slots(names, through_breaks).opened(stage.sky.hours(limits, self._days))
                sides = self.sides_over(limits)
                if sides is not None:
                    found = found.intersect(sides.up)
            self._made[limits, names, through_breaks] = found
        return found

    def measures(self, limits: str, instant: float) -> float:
        """Give the time [h] that keeping a layer wet takes in the hour of an instant [h]; 0 where it need not be."""
        sky = self._stage.sky
        day, hour = divmod(int(instant), 24)
        if not limits or sky is None or self._days is None or day >= len(self._days):
            return 0.0
        return sky.measures(limits, int(self._days[day]), hour)

    def sides_over(self, limits: str) -> TentSides | None:
        """Tell when the sides of the tent over work under ``limits`` are down; None without such a tent or weather."""
        if limits not in self._sides_over:
            sky = self._stage.sky
            shelter = None if not limits or sky is None or self._days is None else sky.shelter_of(limits)
            sides = None if shelter is None else shelter.sides
            self._sides_over[limits] = None if sides is None else self._seen_to(sides)
        return self._sides_over[limits]

    def _seen_to(self, sides: Sides) -> TentSides:
        found = self._sides.get(sides)
        if found is None:
            stage, days = self._stage, self._days
            assert stage.sky is not None
            assert days is not None
            gusts = stage.sky.gusts(days)
            handled = stage.slots((sides.hours,), through_breaks=False).opened(gusts <= sides.up_gust)
            found = self._sides[sides] = tent_sides(sides, gusts, handled)
        return found

    def temperature(self, instant: float) -> float:
        """Give the outside air temperature [°C] in the hour of ``instant`` [h]; 20 where no weather holds."""
        if self._stage.sky is None or self._days is None:
            return 20.0
        day, hour = divmod(int(instant), 24)
        record = self._stage.plan.climate.record
        if record is None or day >= len(self._days):
            return 20.0
        return record.temperature.item(self._days.item(day), hour)

    def ripened(self, ripening: Ripening, start: float) -> float:
        """Tell when [h] what begins at ``start`` [h] has reached what it has to, or `NEVER` within the horizon.

        Where no weather holds it stands at 20 °C and half of the vapour that air can hold.
        """
        sky = self._stage.sky
        if sky is None or self._days is None:
            rate = 20.0 - ripening.datum if ripening.law is Law.MATURITY else 1.0
            return on_clock(start + ripening.target / rate) if rate > 0.0 else NEVER
        reached = self._reached.get(ripening)
        if reached is None:
            rates = self._rates(sky, ripening, self._days)
            reached = np.concatenate(([0.0], np.cumsum(rates)))
            self._reached[ripening] = reached
        hour = int(start)
        if hour >= len(reached) - 1:
            return NEVER
        wanted = reached[hour] + (start - hour) * (reached[hour + 1] - reached[hour]) + ripening.target
        after = int(np.searchsorted(reached, wanted))
        if after >= len(reached):
            return NEVER
        before, until = reached[after - 1], reached[after]
        return max(start, on_clock(after - 1 + float((wanted - before) / (until - before))))

    def _rates(self, sky: Sky, ripening: Ripening, days: npt.NDArray[np.int64]) -> npt.NDArray[np.float64]:
        """Give what each hour counts of what has to be reached; under a tent with its sides down that of outside."""
        rates = sky.rate(ripening, days)
        shelter = ripening.shelter
        if shelter is None or shelter.sides is None:
            return rates
        unheated = replace(ripening, shelter=replace(shelter, rise=0.0))
        return np.where(self._seen_to(shelter.sides).down, sky.rate(unheated, days), rates)

    def heated(self, shelter: Shelter, spans: Iterable[tuple[float, float]]) -> float:
        """Give the hours [h] at full power for which a shelter is heated over some spans [h]."""
        sky = self._stage.sky
        if sky is None or self._days is None or shelter.rise <= 0.0:
            return 0.0
        heating = sky.heating(shelter, self._days)
        if shelter.sides is not None:
            heating = np.where(self._seen_to(shelter.sides).down, 0.0, heating)
        return sum(float(heating[int(start) : ceil(end)].sum()) for start, end in spans)

    def weather_of(self, day: int) -> DayWeather | None:
        """Give the weather of a day of the run, counted from 0; None where no weather holds."""
        sky = self._stage.sky
        if sky is None or self._days is None or not 0 <= day < len(self._days):
            return None
        record, row = sky.hourly, self._days[day]
        return DayWeather(
            float(record.temperature[row].min()),
            float(record.temperature[row].max()),
            float(record.rain[row].sum()),
            sky.highest_gust(row),
        )

    def forecast(self, limits: str, names: tuple[str, ...], since: float) -> float:
        """Tell how many hours [h] the morning's forecast leaves open for printing from an instant [h] to midnight.

        The forecast is right with the stated skill; when it is wrong it shows the record's weather of one to seven days
        later.
        """
        day = int(since // 24)
        midnight = 24.0 * day
        sky = self._stage.sky
        date = self._stage.plan.start.toordinal() + day
        if not limits or sky is None or self._days is None:
            return self._stage.through_breaks(names).worked(since, midnight + 24.0)
        if self._luck.uniform(_FORECAST, date) <= self._stage.plan.climate.forecast_skill:
            return self.open(limits, names, through_breaks=True).worked(since, midnight + 24.0)
        away = 1 + int(self._luck.uniform(_FORECAST_DAY, date) * 7)
        row = (self._days[day : day + 1] + away) % len(sky.hourly.days)
        hours = sky.hours(limits, row)
        return sum(
            max(0.0, min(end, midnight + hour + 1) - max(start, midnight + hour))
            for start, end in self._stage.through_breaks(names).within(since, midnight + 24.0)
            for hour in np.flatnonzero(hours).tolist()
        )
