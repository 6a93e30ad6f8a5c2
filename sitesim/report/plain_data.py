"""Answers as plain data for programs: text, whole and finite numbers, lists and mappings."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date
from typing import Any


def plain_mapping(data: Mapping[str, Any]) -> dict[str, Any]:
    """Give a mapping as plain data; what is not finite becomes None, a date its ISO text."""
    return {key: _plain(one) for key, one in data.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return plain_mapping(value)
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
