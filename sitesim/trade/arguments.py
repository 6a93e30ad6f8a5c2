"""What the arguments of a formula have to be."""

from __future__ import annotations


def require_positive(**values: float) -> None:
    """Raise ValueError for the first of the arguments that is not above 0."""
    for name, value in values.items():
        if not value > 0.0:
            raise ValueError(f"{name}: {value} is not above 0")


def require_not_negative(**values: float) -> None:
    """Raise ValueError for the first of the arguments that is below 0."""
    for name, value in values.items():
        if not value >= 0.0:
            raise ValueError(f"{name}: {value} is below 0")
