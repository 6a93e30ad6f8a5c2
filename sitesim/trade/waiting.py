"""Waiting behind other people's work at one server."""

from __future__ import annotations

import math


def wait_behind_others(uniform: float, busy_share: float, service: float) -> float:
    """Return the wait of a newcomer at a server that others keep busy for a share of its time [h].

    Parameters: uniform, in (0, 1), the rank of the wait among all waits; busy_share, from 0 to below 1; service, the
    mean time that one of the others takes [h]. Raises ValueError for a share outside that range or a service below 0.
    Source: waiting time of the queue M/M/1, P(W > t) = ρ exp(−(1 − ρ) t/s), put the other way round; its mean is
    ρ s/(1 − ρ).
    """
    _check(busy_share, service)
    if uniform <= 1.0 - busy_share:
        return 0.0
    return -math.log((1.0 - uniform) / busy_share) * service / (1.0 - busy_share)


def mean_wait_behind_others(busy_share: float, service: float) -> float:
    """Return the mean of `wait_behind_others` [h]; parameters, errors and source as there."""
    _check(busy_share, service)
    return busy_share * service / (1.0 - busy_share)


def _check(busy_share: float, service: float) -> None:
    if not 0.0 <= busy_share < 1.0:
        raise ValueError(f"busy_share: {busy_share} is not from 0 to below 1")
    if not service >= 0.0:
        raise ValueError(f"service: {service} is below 0")
