"""How ways of supply are played, and what is known of them then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sitesim.answers.delivery_costs import Figures
from sitesim.errors import UserError
from sitesim.ledger.print_days import in_columns
from sitesim.plan import Plan
from sitesim.study.kept_print_days import KeptPrintDays
from sitesim.study.print_days import Told, play_print_days
from sitesim.study.runner import StudySettings
from sitesim.study.ways import Ways


@dataclass(frozen=True, slots=True)
class Playing:
    """How print days are played.

    Parameters: ``told`` after each block of runs; ``kept``, what an earlier attempt has played, and this one will.
    """

    settings: StudySettings
    told: Told | None = None
    kept: KeptPrintDays | None = None

    def columns_of(self, plans: Sequence[Plan]) -> list[dict[str, list[Any]]]:
        """Play the same runs of each plan; raises UserError where one of them places no concrete at all."""
        runs = [range(self.settings.runs)] * len(plans)
        played = play_print_days(plans, runs, self.settings, told=self.told, kept=self.kept)
        columns = [in_columns(one.rows) for one in played]
        if not all(any(each["in_place_m3"]) for each in columns):
            raise UserError("deliveries: no concrete is placed in any run of some of the combinations; play more runs")
        return columns


@dataclass(frozen=True, slots=True)
class PlayedWays:
    """Ways of ready-mix with the columns of their runs, and the same as arrays."""

    ways: Ways
    columns: tuple[dict[str, list[Any]], ...]
    figures: tuple[Figures, ...]
