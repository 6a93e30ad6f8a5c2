"""The table of inspectors on the page: one row each, that becomes a short list on a phone."""

from __future__ import annotations

import re

from page_parts import rows_of

from sitesim.report.sections.inspectors import of_each_inspector

_COUNTED = ("visits", "failed", "lost", "moved", "waited_days", "waited_for_lost_days", "waited_for_moved_days")


def test_each_inspector_is_a_list_on_a_phone_that_names_every_value() -> None:
    values = {key: {"value": float(place + 1)} for place, key in enumerate((*_COUNTED, "witnessed", "not_witnessed"))}
    told = of_each_inspector({"inspectors": [{"inspector": "fire_marshal", **values}]})
    heads, cells = rows_of(told)
    assert cells == ["fire marshal", *(f"{place:.1f}" for place in range(1, 10))]
    assert re.search(r'class="[^"]*\bfolds\b', told)
    assert re.findall(r'data-head="([^"]*)"', told) == heads[1:]


def test_where_nobody_was_called_there_is_none() -> None:
    assert of_each_inspector({}) == of_each_inspector({"inspectors": []}) == ""
