"""Numbers of the plan in the units of the page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from sitesim.chance import Distribution, Fixed

_FOOT = 0.3048
_YARD = 0.9144
_POUND = 0.45359237


@dataclass(frozen=True, slots=True)
class Measures:
    """Writes SI numbers in US customary units, if ``us``, or in metric ones."""

    us: bool

    def volume(self, cubic_metres: float) -> str:
        """Write a volume [m³]."""
        return f"{cubic_metres / _YARD**3:.1f} yd³" if self.us else f"{cubic_metres:.2f} m³"

    def length(self, metres: float) -> str:
        """Write a length [m]."""
        return f"{metres / _FOOT:,.0f} ft" if self.us else f"{metres:,.0f} m"

    def height(self, metres: float) -> str:
        """Write a height [m]."""
        return f"{metres / _FOOT:.2f} ft" if self.us else f"{metres:.2f} m"

    def thickness(self, metres: float) -> str:
        """Write the height or width of a bead [m]."""
        return f"{metres / _FOOT * 12:.2f} in" if self.us else f"{1000 * metres:.0f} mm"

    def wind(self, metres_a_second: float, digits: int | None = None) -> str:
        """Write a wind speed [m/s]; to the usual digits unless given."""
        if self.us:
            return f"{metres_a_second / (1609.344 / 3600):.{digits or 0}f} mph"
        return f"{metres_a_second:.{1 if digits is None else digits}f} m/s"

    def temperature(self, degrees: float, digits: int = 0) -> str:
        """Write a temperature [°C]."""
        return f"{degrees * 1.8 + 32:.{digits}f} °F" if self.us else f"{degrees:.{digits}f} °C"

    def warming(self, degrees: float) -> str:
        """Write a difference of temperature [°C]."""
        return f"{degrees * 1.8:.0f} °F" if self.us else f"{degrees:.0f} °C"

    def rain(self, millimetres_an_hour: float) -> str:
        """Write a rate of rain [mm/h]."""
        if millimetres_an_hour == 0.0:
            return "dry"
        if self.us:
            return f"rain up to {millimetres_an_hour / 25.4:.2f} in/h"
        return f"rain up to {millimetres_an_hour:g} mm/h"

    def rainfall(self, millimetres: float) -> str:
        """Write a depth of rain [mm]."""
        if not self.us:
            return f"{millimetres:,.0f} mm" if millimetres >= 10.0 else f"{millimetres:.2g} mm"
        inches = millimetres / 25.4
        return f"{inches:.1f} inches" if inches >= 10.0 else f"{inches:.2f} inches"

    def evaporation(self, rate: float) -> str:
        """Write a rate of evaporation [kg/m²/h]."""
        return f"{rate * _FOOT**2 / _POUND:.2f} lb/ft²/h" if self.us else f"{rate:.2f} kg/m²/h"


def minutes(hours: float) -> str:
    """Write a short time [h]."""
    return f"{60 * hours:.0f} min"


def share(value: float) -> str:
    """Write a share as a percentage."""
    return f"{100 * value:g} %"


def day(value: date) -> str:
    """Write a date in words."""
    return f"{value.day} {value:%B %Y}"


def time_of_day(hours: float) -> str:
    """Write hours after midnight."""
    whole = round(60 * hours)
    return f"{whole // 60:02d}:{whole % 60:02d}"


def working_days(duration: Distribution, day_hours: float) -> str:
    """Write a duration of open hours in working days."""
    if isinstance(duration, Fixed):
        return f"{duration.mean / day_hours:.3g} wd"
    return f"{duration.mean / day_hours:.3g} wd on average"


def together(names: Iterable[str]) -> str:
    """Write names one after the other, with an ``and`` before the last."""
    listed = list(names)
    if len(listed) < 2:
        return "".join(listed)
    return f"{', '.join(listed[:-1])} and {listed[-1]}"


def several(count: int, thing: str) -> str:
    """Write a count with its noun."""
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def each_once(lines: Iterable[str]) -> list[str]:
    """Keep the first of equal lines, and drop empty ones."""
    return [line for line in dict.fromkeys(lines) if line]
