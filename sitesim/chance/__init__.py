"""Distributions as values, and uniforms keyed by what they are for."""

from __future__ import annotations

from sitesim.chance.distributions import (
    Distribution,
    Exponential,
    Fixed,
    Lognormal,
    Observed,
    Pert,
    Triangular,
)
from sitesim.chance.luck import Luck, stream

__all__ = [
    "Distribution",
    "Exponential",
    "Fixed",
    "Lognormal",
    "Luck",
    "Observed",
    "Pert",
    "Triangular",
    "stream",
]
