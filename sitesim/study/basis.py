"""What the figures of a study of variants stand on."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Basis:
    """What was played, of which scenario and with which luck, and what goes with its figures wherever they are told.

    Parameters: ``left_out``, names of variants that do not apply, with the reason; ``played``, for each that does what
    is told of it besides; ``folder`` that holds a folder of runs for each.
    """

    left_out: tuple[tuple[str, str], ...]
    played: tuple[tuple[str, tuple[str, ...]], ...]
    units: str
    currency: str
    seed: int
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]
    folder: Path
