"""A start in another month: as a stress among others, and of a whole scenario."""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated, Any

from pydantic import BeforeValidator, ConfigDict, Field, RootModel

from sitesim.scenario.loading import written
from sitesim.scenario.model import SITE_CALENDAR
from sitesim.scenario.quantities import number_and_unit, wrong
from sitesim.scenario.scenario import Scenario
from sitesim.scenario.sections.calendar import WorkingWeek
from sitesim.scenario.variants.draft import Draft, SiteFacts
from sitesim.scenario.variants.laying import draft_of, renamed

_DAYS_A_WEEK = 7


def _months(value: Any) -> Any:
    split = number_and_unit(value) if isinstance(value, str) else None
    if split is None or not split[1]:
        return value
    number, unit = split
    months = number * {"year": 12.0, "years": 12.0}.get(unit, 1.0)
    if unit not in ("month", "months", "year", "years") or months != int(months):
        raise wrong(f"{value}: a start is moved by whole months; write it like 3 months")
    return int(months)


Months = Annotated[int, BeforeValidator(_months, json_schema_input_type=int | str), Field(strict=True, ge=-24, le=24)]
"""A number of months, with or without their name."""


class StartLater(RootModel[Months]):
    """Another month of start: so many months later, slabs, promises and all; on the same weekday if the site works."""

    model_config = ConfigDict(frozen=True)

    def changed(self, draft: Draft) -> Draft:
        """Move the start, and the dates of slabs and promises."""
        wanted = moved_start(draft.start, self.root)
        begins = working_day_near(draft.scenario.model.calendars[SITE_CALENDAR], wanted) if self.root else draft.start
        moved = begins - draft.start
        draft = draft.with_value(("site", "start"), (draft.start + moved).isoformat())
        for section, keys in ((("site", "buildings"), ("slab", "promised")), (("promise", "dates"), ("by",))):
            for name, entry in (draft.document.get(section) or {}).items():
                for key in keys:
                    if isinstance(entry, dict) and entry.get(key) is not None:
                        day = date.fromisoformat(str(entry[key])) + moved
                        draft = draft.with_value((*section, name, key), day.isoformat())
        return draft


def moved_start(start: date, months: int) -> date:
    """Give the day of the week of ``start`` nearest to its day of the month, so many months later, in that month."""
    year, month = divmod(12 * start.year + start.month - 1 + months, 12)
    month += 1
    last = calendar.monthrange(year, month)[1]
    wanted = date(year, month, min(start.day, last))
    back = timedelta(days=(wanted.weekday() - start.weekday()) % _DAYS_A_WEEK)
    earlier, later = wanted - back, wanted - back + timedelta(days=_DAYS_A_WEEK)
    candidates = [day for day in (earlier, later) if day.month == month]
    return min(candidates, key=lambda day: abs((day - wanted).days))


def working_day_near(week: WorkingWeek, wanted: date) -> date:
    """Give the first working day of the site from ``wanted`` on in its month, the last one before it if there is none.

    ``wanted`` itself where the site works on no day of that month.
    """
    month = [wanted.replace(day=day) for day in range(1, calendar.monthrange(wanted.year, wanted.month)[1] + 1)]
    closed = week.pattern(month[0], month[-1]).closed
    works = [day for day in month if day.weekday() in week.days and day.toordinal() not in closed]
    earlier, later = [day for day in works if day < wanted], [day for day in works if day >= wanted]
    return later[0] if later else earlier[-1] if earlier else wanted


@dataclass(frozen=True, slots=True)
class Restarted:
    """A scenario begun in another month: ``wanted``, the day on which it would begin if the site worked on it."""

    scenario: Scenario
    wanted: date


def restarted(scenario: Scenario, sets: Iterable[str], months: int, facts: SiteFacts) -> Restarted:
    """Give the scenario begun so many months later, on a working day."""
    document, _ = written(scenario.path, sets)
    before = draft_of(document, scenario, facts)
    draft = StartLater(months).changed(before)
    return Restarted(renamed(draft, f"started {draft.start.isoformat()}"), moved_start(before.start, months))
