"""From plain content to the checked model, with every fault in plain words at its line."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from sitesim.scenario.document import Document, Trail, holds
from sitesim.scenario.faults import Fault, closest, nearest
from sitesim.scenario.keys import field_at, known_keys
from sitesim.scenario.model import SITE_CALENDAR, ScenarioModel
from sitesim.scenario.quantities import USUAL_DAY_HOURS, Quantity
from sitesim.scenario.sections.calendar import Calendar, WorkingWeek
from sitesim.scenario.sections.supply import MODES
from sitesim.scenario.task_tables import as_in_a_cell

_MENDINGS = 4


def validated(document: Document) -> tuple[ScenarioModel | None, list[Fault], set[Trail]]:
    """Check the content of a scenario.

    Returns the model, its faults, and the trails of what was mended. Where there are faults the wrong values are
    mended, by an example or by leaving them out, so that the rest can still be looked at; the model is None where
    that fails.
    """
    context = {"day_hours": _day_hours(document)} | _units(document)
    faults: list[Fault] = []
    mended: set[Trail] = set()
    draft = document
    for _ in range(_MENDINGS):
        try:
            return ScenarioModel.model_validate(draft.data, context=context), faults, mended
        except ValidationError as error:
            errors = error.errors(include_url=False)
        if not mended:
            mended |= _meant(document, errors, ScenarioModel)
            faults = _faults(document, errors, mended, ScenarioModel)
        before, draft = draft, draft.copied()
        in_this_round: list[Trail] = []
        for detail in errors:
            at = trail_of(before, detail)
            if any(at[: len(done)] == done for done in in_this_round):
                continue  # a second fault of one value, which would mend what is around it
            trail = _mend(draft, detail)
            if trail is None:
                return None, faults, mended
            in_this_round.append(trail)
            mended.add(trail)
    return None, faults, mended


def _units(document: Document) -> dict[str, bool]:
    return {"metric": document.get(("units",)) != "us"}


def _day_hours(document: Document) -> float:
    written = document.get(("calendar", SITE_CALENDAR))
    if written is None:
        return WorkingWeek().longest_day
    try:
        week: WorkingWeek = TypeAdapter(Calendar).validate_python(written)
    except ValidationError:
        return USUAL_DAY_HOURS
    return week.longest_day


def trail_of(document: Document, detail: ErrorDetails) -> Trail:
    """Give the trail of an error within the content: without the names that pydantic adds for its own use."""
    trail: Trail = ()
    value: Any = document.data
    last = len(detail["loc"]) - 1
    for position, part in enumerate(detail["loc"]):
        if holds(value, part):
            trail, value = (*trail, part), value[part]
        elif position == last and detail["type"] == "missing":
            trail = (*trail, part)
    if detail["type"] == "union_tag_invalid":
        return (*trail, _discriminator(detail))
    return trail


def _meant(document: Document, errors: list[ErrorDetails], model: Any) -> set[Trail]:
    """Give the trails of the keys that unknown keys are taken to mean; they are not missing besides."""
    trails = [trail_of(document, detail) for detail in errors if detail["type"] == "extra_forbidden"]
    return {
        (*trail[:-1], close) for trail in trails if (close := closest(str(trail[-1]), known_keys(model, trail[:-1])))
    }


def _is_misspelt(document: Document, detail: ErrorDetails, meant: set[Trail]) -> bool:
    return detail["type"] == "missing" and trail_of(document, detail) in meant


def _is_long_enough(detail: ErrorDetails) -> bool:
    """Tell whether a list is too short only because some of its entries are wrong, which are told by themselves."""
    return detail["type"] == "too_short" and len(detail["input"]) >= detail["ctx"]["min_length"]


def faults_of(document: Document, error: ValidationError, model: Any) -> list[Fault]:
    """Give the faults of a document that is not a scenario, in the same words.

    Parameters: ``model``, the annotation that says which keys are known.
    """
    errors = error.errors(include_url=False)
    return _faults(document, errors, _meant(document, errors, model), model)


def _faults(document: Document, errors: list[ErrorDetails], meant: set[Trail], model: Any) -> list[Fault]:
    """Give the faults, but for keys that are missing because they are misspelt, and lists short of wrong entries."""
    told = [detail for detail in errors if not (_is_misspelt(document, detail, meant) or _is_long_enough(detail))]
    return [_fault(document, detail, model) for detail in told]


def _fault(document: Document, detail: ErrorDetails, model: Any) -> Fault:
    trail = trail_of(document, detail)
    message = _in_words(detail, trail, model, _units(document))
    return document.fault(trail, as_in_a_cell(message) if document.place(trail).file in document.tables else message)


def _in_words(detail: ErrorDetails, trail: Trail, model: Any, units: Mapping[str, bool]) -> str:
    value = detail.get("input")
    context: Mapping[str, Any] = detail.get("ctx", {})
    shown = repr(value) if isinstance(value, str) and not value else _short(value)
    match detail["type"]:
        case "scenario":
            return str(context["message"])
        case "missing":
            example = _example(trail, model, units)
            return f"is missing; write it like {example}" if example else "is missing"
        case "extra_forbidden":
            return _unknown(trail, model)
        case "literal_error" | "enum":
            return f"{shown} should be {context['expected'].replace(chr(39), '')}"
        case "union_tag_not_found":
            return f"has no mode; write {_discriminator(detail)}: {' or '.join(_modes(trail))}"
        case "union_tag_invalid":
            return f"{context['tag']} should be {' or '.join(_modes(trail))}"
        case "int_type" | "int_parsing" | "int_from_float":
            return f"{shown} is not a whole number"
        case "bool_type" | "bool_parsing":
            return f"{shown} should be true or false"
        case "string_type":
            return f"{shown} is not a text"
        case "path_type":
            return f"{shown} is not the name of a file"
        case "less_than_equal":
            return f"{shown} is too much, it should be at most {context['le']}"
        case "greater_than_equal":
            return f"{shown} is too little, it should be at least {context['ge']}"
        case "dict_type" | "model_type" | "model_attributes_type":
            keys = ", ".join(known_keys(model, trail))
            return f"{shown} should be a mapping with {keys}" if keys else f"{shown} should be a mapping"
        case "tuple_type" | "list_type":
            return f"{shown} should be a list"
        case "too_short":
            return "should have at least one entry"
        case "value_error":
            return f"{shown}: {context['error']}"
        case _:
            return f"{shown}: {detail['msg']}"


def _discriminator(detail: ErrorDetails) -> str:
    return str(detail["ctx"]["discriminator"]).strip("'")


def _modes(trail: Trail) -> list[str]:
    return list(MODES[str(trail[0])][1])


def _unknown(trail: Trail, model: Any) -> str:
    key = str(trail[-1])
    for mode, keys in MODES.get(str(trail[0]), ("", {}))[1].items():
        if len(trail) == 2 and key in keys:
            return f"belongs to mode {mode}, which is not the one in play"
    return f"is not known here: {nearest(key, known_keys(model, trail[:-1]))}"


def _short(value: Any) -> str:
    text = str(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _example(trail: Trail, model: Any, units: Mapping[str, bool]) -> str:
    field = field_at(model, trail)
    quantities = [part for part in (field.metadata if field else ()) if hasattr(part, "example")]
    if not quantities:
        return ""
    first = quantities[0]
    return first.like(units) if isinstance(first, Quantity) else str(first.example)


def _mend(draft: Document, detail: ErrorDetails) -> Trail | None:
    """Put an example in place of a wrong value, or leave it out; give its trail, or None if that cannot help."""
    trail = trail_of(draft, detail)
    if detail["type"] == "extra_forbidden":
        draft.remove(trail)
        return trail
    field = field_at(ScenarioModel, trail) if trail else None
    while field is None and len(trail) > 1:
        trail = trail[:-1]
        field = field_at(ScenarioModel, trail)
    if field is None:
        return None
    place = draft.place(trail)
    if not field.is_required():
        draft.remove(trail)
        return trail
    stand_in = _stand_in(trail)
    if stand_in is None:
        return None
    draft.put(trail, stand_in, place)
    return trail


def _stand_in(trail: Trail) -> Any:
    """Give a value that the field at a trail takes, or None if none is known."""
    field = field_at(ScenarioModel, trail)
    for part in field.metadata if field else ():
        if isinstance(part, Quantity):
            return part.example
        if hasattr(part, "example"):
            return "1 h"
    return _STAND_INS.get(str(trail[-1]))


_STAND_INS: Mapping[str, Any] = {
    "name": "no name",
    "start": "2027-03-01",
    "layers": "1",
    "layer": 1,
    "every": 10,
    "trucks": 1,
    "crew": "no crew",
    "by": "no inspector",
    "tasks": {},
    "sequences": {},
    "per": "pumped",
    "first_arrival": "07:00",
    "ordered_after": [],
    "path": "100 m",
    "mode": "ready-mix",
    "record": "no record",
}
"""Values for what is required but has no example, by its key."""
