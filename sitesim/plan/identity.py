"""Telling whether two plans are the same, in this process or in another."""

from __future__ import annotations

import hashlib
from array import array
from collections.abc import Iterator, Mapping, Set
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from typing import Any

import numpy as np

from sitesim.plan.site import Plan


def digest_of(plan: Plan) -> str:
    """Digest every value of a plan: two plans with the same digest play the same runs."""
    digest = hashlib.sha256()
    for piece in _pieces(plan):
        digest.update(piece)
        digest.update(b"\0")
    return digest.hexdigest()


def _pieces(value: Any) -> Iterator[bytes]:
    """Write a value down piece by piece, each container with its kind and length, so that no two look alike.

    Raises TypeError for a value whose text would not tell it from others.
    """
    if isinstance(value, Enum) or value is None or isinstance(value, str | int | float | np.generic):
        yield f"{type(value).__name__} {value!r}".encode()
    elif isinstance(value, np.ndarray | array):
        numbers = np.ascontiguousarray(value)
        yield f"array {numbers.dtype} {numbers.shape}".encode()
        yield numbers.tobytes()
    elif isinstance(value, Mapping):
        yield f"mapping {len(value)}".encode()
        for key, each in value.items():
            yield from _pieces(key)
            yield from _pieces(each)
    elif isinstance(value, Set):
        yield f"set {len(value)}".encode()
        yield from sorted(b"\0".join(_pieces(each)) for each in value)
    elif isinstance(value, tuple | list):
        yield f"{type(value).__name__} {len(value)}".encode()
        for each in value:
            yield from _pieces(each)
    elif is_dataclass(value):
        yield f"{type(value).__name__} of {len(fields(value))}".encode()
        for field in fields(value):
            yield from _pieces(getattr(value, field.name))
    elif isinstance(value, date):
        yield f"date {value.isoformat()}".encode()
    else:
        raise TypeError(f"a {type(value).__name__} in a plan cannot be told from another")
