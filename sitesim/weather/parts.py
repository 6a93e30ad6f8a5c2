"""Several files that are one record: read each, laid end to end; what overlaps is refused, what is missing is told."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Generic, TypeVar

from sitesim.weather.findings import Findings, hole_in
from sitesim.weather.record import RecordFault, WeatherRecordError

When = TypeVar("When", date, datetime)
Read = TypeVar("Read")

_DAY = timedelta(days=1)


@dataclass(frozen=True, kw_only=True)
class Part(Generic[When]):
    """What one file of a record says.

    path: the file. findings: what was found wrong with it. origin: where it says it comes from. values: by day or hour
    of civil time, each quantity, nan where it is missing. lines: where each stands. quantities: those that the file
    has. last_line: the last one with content. remarks: what was done to it. place: latitude and longitude [degrees],
    None where the file does not give them.
    """

    path: Path
    findings: Findings
    origin: str
    values: Mapping[When, Mapping[str, float]]
    lines: Mapping[When, int]
    quantities: tuple[str, ...]
    last_line: int
    remarks: tuple[str, ...] = ()
    place: tuple[float | None, float | None] = (None, None)

    @property
    def first(self) -> When:
        """The first day or hour."""
        return min(self.values)

    @property
    def last(self) -> When:
        """The last day or hour."""
        return max(self.values)


def read_each(files: Path | Sequence[Path], read: Callable[[Path], Read]) -> list[Read]:
    """Read one file or several; raises WeatherRecordError with what is wrong in any of them."""
    paths = [files] if isinstance(files, Path) else list(files)
    found: list[Read] = []
    faults: list[RecordFault] = []
    for path in paths:
        try:
            found.append(read(path))
        except WeatherRecordError as error:
            faults += error.found if len(paths) == 1 else [fault.of(error.path) for fault in error.found]
    if faults:
        raise WeatherRecordError(paths[0], faults)
    return found


def end_to_end(parts: Sequence[Part[When]], step: timedelta) -> list[Part[When]]:
    """Give parts in the order of their time.

    step: from one line to the next. Raises WeatherRecordError where two have the same days or hours, with the lines.
    """
    ordered = sorted(parts, key=lambda part: part.first)
    faults: list[RecordFault] = []
    for place, later in enumerate(ordered):
        for earlier in ordered[:place]:
            shared = sorted(later.values.keys() & earlier.values.keys())
            if shared:
                many = _several(len(shared), step)
                message = (
                    f"{_told(shared[0])} is there already, on line {earlier.lines[shared[0]]} of {earlier.path.name}; "
                    f"the files overlap in {many}, up to {_told(shared[-1])}: leave one of them out, or cut it"
                )
                faults.append(RecordFault(later.lines[shared[0]], message, later.path))
    if faults:
        raise WeatherRecordError(ordered[0].path, faults)
    return ordered


def breaks(parts: Sequence[Part[When]], step: timedelta) -> tuple[str, ...]:
    """Tell what is missing between the end of one part and the beginning of the next."""
    told = []
    for earlier, later in pairwise(parts):
        missing = (later.first - earlier.last) // step - 1
        if missing > 0:
            told.append(
                f"Between {_place(earlier, earlier.last)} and {_place(later, later.first)} {_several(missing, step)} "
                f"{'is' if missing == 1 else 'are'} missing."
            )
    return tuple(told)


def refuse_holes(parts: Sequence[Part[When]], days: Sequence[date]) -> None:
    """Refuse sorted days with too many missing; between two files it is told where the later one begins."""
    hole = hole_in(days)
    if hole is None:
        return
    message, _, after = hole
    for part in parts[1:]:
        if _day_of(part.first) == after:
            part.findings.refuse_unless(False, part.lines[part.first], message)
    parts[0].findings.refuse_at_header(message)


def shared_quantities(parts: Sequence[Part[When]]) -> tuple[str, ...]:
    """Give the quantities that every file has, in the order of the first."""
    return tuple(name for name in parts[0].quantities if all(name in part.quantities for part in parts))


def _day_of(when: date) -> date:
    return when.date() if isinstance(when, datetime) else when


def name_of(parts: Sequence[Part[When]]) -> str:
    """Name the record: by its file, or by the first and the last of several."""
    first, last = parts[0].path.stem, parts[-1].path.stem
    return first if len(parts) == 1 else f"{first} to {last}"


def origin_of(parts: Sequence[Part[When]]) -> str:
    """Say where the record comes from, each origin once."""
    return " ".join(dict.fromkeys(part.origin for part in parts if part.origin))


def remarks_of(parts: Sequence[Part[When]], step: timedelta) -> tuple[str, ...]:
    """Say what was done to the files and what is missing between them; of several their number is told."""
    if len(parts) == 1:
        return parts[0].remarks
    own: list[str] = [f"{part.path.name}: {remark}" for part in parts for remark in part.remarks]
    return (f"One record of {len(parts)} files.", *breaks(parts, step), *own)


def doubts_of(parts: Sequence[Part[When]]) -> tuple[str, ...]:
    """Give what looks wrong about units and is let be, file by file and of one file against the others."""
    doubts: list[str] = [doubt for part in parts for doubt in part.findings.doubts()]
    means: dict[str, dict[str, float]] = {part.path.name: part.findings.means() for part in parts}
    return (*doubts, *_other_units(means))


def _other_units(means: Mapping[str, Mapping[str, float]]) -> list[str]:
    """Name the files whose mean wind [m/s] or temperature [°C] is so far from that of all that the unit is another."""
    doubts: list[str] = []
    for quantity, is_far in (("wind", _is_other_speed), ("temperature", _is_other_warmth)):
        values = {name: each[quantity] for name, each in means.items() if quantity in each}
        if len(values) < 2:
            continue
        usual = sorted(values.values())[(len(values) - 1) // 2]
        unit = "m/s" if quantity == "wind" else "°C"
        doubts += [
            f"{name}: a mean {quantity} of {value:.1f} {unit}, where the files usually have {usual:.1f}: is it in "
            "another unit than they? Columns and units are those of all files."
            for name, value in values.items()
            if is_far(value, usual)
        ]
    return doubts


def _is_other_speed(value: float, usual: float) -> bool:
    return max(value, usual) > 1.8 * min(value, usual)


def _is_other_warmth(value: float, usual: float) -> bool:
    return abs(value - usual) > 15.0


def _place(part: Part[When], when: When) -> str:
    return f"{part.path.name}:{part.lines[when]} ({_told(when)})"


def _told(when: date) -> str:
    return when.isoformat(" ", "minutes") if isinstance(when, datetime) else when.isoformat()


def _several(count: int, step: timedelta) -> str:
    unit = "day" if step == _DAY else "hour"
    return f"{count:,} {unit}{'' if count == 1 else 's'}"
