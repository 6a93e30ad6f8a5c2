"""The times of a record on the clock of the site: naive civil time, 24 hours a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

_SUNDAY = 6
_LATEST_CHANGE = 3


@dataclass(frozen=True)
class CivilClock:
    """Puts the times of a file on the clock of the site.

    kind, what the times of the file are: ``civil`` with its daylight saving, ``standard`` time all year, or ``utc``.
    zone: rules of the site's civil time, or None where they are not known: then civil and standard times are taken as
    they stand.
    """

    kind: str = "civil"
    zone: ZoneInfo | None = None

    def civil(self, moment: datetime) -> datetime:
        """Give a time of the file as civil time; its ``fold`` is 1 for an hour's second copy in autumn.

        Raises ValueError when the time says its offset from UTC, or is UTC, and no zone is known.
        """
        if moment.tzinfo is None and (self.kind == "civil" or (self.kind == "standard" and self.zone is None)):
            return moment
        if self.zone is None:
            raise ValueError("is not civil time; name the site's time zone in weather.time_zone, like Europe/London")
        if moment.tzinfo is not None:
            instant = moment
        elif self.kind == "utc":
            instant = moment.replace(tzinfo=UTC)
        else:
            instant = (moment - self._standard_offset(moment)).replace(tzinfo=UTC)
        return instant.astimezone(self.zone).replace(tzinfo=None)

    def skips(self, hour: datetime) -> bool:
        """Tell whether civil time jumps over an hour that a file does not have.

        Without a zone, any lone hour before three o'clock on a Sunday is taken for that of daylight saving.
        """
        if self.zone is None:
            return hour.weekday() == _SUNDAY and hour.hour <= _LATEST_CHANGE
        there = hour.replace(tzinfo=self.zone)
        return there.astimezone(UTC).astimezone(self.zone).replace(tzinfo=None) != hour

    def repeats(self, hour: datetime) -> bool:
        """Tell whether civil time has an hour twice; without a zone, as `skips` does."""
        if self.zone is None:
            return hour.weekday() == _SUNDAY and hour.hour <= _LATEST_CHANGE
        first, second = (hour.replace(tzinfo=self.zone, fold=fold).utcoffset() for fold in (0, 1))
        return first is not None and second is not None and first > second

    def _standard_offset(self, moment: datetime) -> timedelta:
        there = moment.replace(tzinfo=self.zone)
        return (there.utcoffset() or timedelta()) - (there.dst() or timedelta())
