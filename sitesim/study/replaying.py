"""One run of a study played again, with its diary."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from sitesim.answers.printed_day import print_days_of
from sitesim.errors import UserError
from sitesim.hours import civil_date
from sitesim.plan import Plan
from sitesim.site import Played, Stage, play
from sitesim.study.answering import scenario_of
from sitesim.study.folder import NO_RUN_KEPT, StudyFolder, StudyFolderError
from sitesim.study.runner import versions

_FEW = 3

Day = int | date
"""A day as it is asked for: the day of the run from 1, or a civil date."""


@dataclass(frozen=True, slots=True)
class Replayed:
    """A run played again: its plan, the run with its diary kept, and the scenario's cautions."""

    plan: Plan
    played: Played
    cautions: tuple[str, ...] = ()

    def day_of_run(self, day: Day, building: str = "") -> int:
        """Give the day of the run, from 1, that is asked for.

        Parameters: ``building``, whose print days are named where the run has no such day. Raises UserError then.
        """
        number = day if isinstance(day, int) else (day - self.plan.start).days + 1
        last = self._last_day()
        if not 1 <= number <= last:
            raise UserError(
                f"--day {day}: is not a day of run {self.played.run}, which goes from {self._named(1)} to "
                f"{self._named(last)}; {self.nearest_print_days(number, building)}"
            )
        return number

    def nearest_print_days(self, number: int, building: str = "") -> str:
        """Name the print days next to a day of the run, of one building or of all."""
        days = {day for day, of in print_days_of(self.played.ledger) if building in ("", of)}
        whose = f" of {building}" if building else ""
        if not days:
            return f"there are no print days{whose} in this run"
        nearest = sorted(sorted(days, key=lambda day: (abs(day - number), day))[:_FEW])
        return f"the nearest print days{whose} are {', '.join(map(self._named, nearest))}"

    def _last_day(self) -> int:
        end = max((entry.end for entry in self.played.ledger.entries), default=0.0)
        return (civil_date(self.plan.start, end) - self.plan.start).days + 1

    def _named(self, number: int) -> str:
        return f"day {number} ({self.plan.start + timedelta(days=number - 1)})"


def parse_day(written: str) -> Day:
    """Read a day of the run or a civil date; raises UserError if it is neither."""
    try:
        return int(written) if written.isascii() and written.isdigit() else date.fromisoformat(written)
    except ValueError:
        raise UserError(
            f"--day {written}: is not a day; write the day of the run from 1, such as 12, or a date, such as 2027-04-12"
        ) from None


def run_meant(path: Path, written: str) -> int:
    """Read which run is meant: its number, or the confidence that it stands for, such as P80.

    Raises StudyFolderError if the folder holds no finished study and a confidence is asked for, UserError for what is
    neither.
    """
    if written.isascii() and written.isdigit():
        return int(written)
    standing: dict[str, int] = StudyFolder(path).summary().get("standing_for", {}) if written[:1] in "Pp" else {}
    if written.upper() in standing:
        return standing[written.upper()]
    named = f", or {', '.join(standing)}" if standing else ", or the confidence that it stands for, such as P80"
    raise UserError(f"{written}: is not a run; write its number, such as 12{named}")


def replay_run(path: Path, run: int, building: str = "") -> Replayed:
    """Play one run of a folder of runs again.

    Parameters: ``building``, one that is asked about, if any. Raises StudyFolderError if the folder holds no runs,
    UserError if it does not hold this one or there is no such building.
    """
    manifest = StudyFolder(path).manifest()
    runs = int(manifest.get("runs", 0)) or StudyFolder(path).run_count()
    if not runs:
        raise StudyFolderError(f"{path}: {NO_RUN_KEPT}")
    if not 0 <= run < runs:
        raise UserError(f"{path}: there is no run {run}; the runs are 0 to {runs - 1}")
    played_with = manifest["versions"]
    others = [name for name, here in versions().items() if played_with.get(name) != here]
    if others:
        raise StudyFolderError(
            f"{path}: was played with another version of {', '.join(others)}, which may tell another run; "
            f"install {', '.join(f'{name} {played_with.get(name)}' for name in others)}, or run the scenario again"
        )
    scenario = scenario_of(path)
    plan = scenario.plan()
    buildings = [one.name for one in plan.buildings]
    if building and building not in buildings:
        raise UserError(f"{path}: there is no building {building}; there are {', '.join(buildings)}")
    played = play(Stage(plan), int(manifest["seed"]), run, keep_diary=True)
    return Replayed(plan, played, tuple(scenario.cautions()))
