"""What the models know at a place of a scenario: the keys, and the field that stands there."""

from __future__ import annotations

from collections.abc import Iterator
from types import NoneType, UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, RootModel
from pydantic.fields import FieldInfo

from sitesim.scenario.document import Trail


def known_keys(model: Any, trail: Trail) -> tuple[str, ...]:
    """List the keys that a mapping at a trail may have, as far as the models name them."""
    return tuple(dict.fromkeys(key for kind in _kinds_at(model, trail) for key in _fields(kind)))


def names_are_free(model: Any, trail: Trail) -> bool:
    """Tell whether the mapping at a trail has names that the user chooses, such as those of buildings."""
    return any(get_origin(kind) is dict for kind in _kinds_at(model, trail))


def places_are_counted(model: Any, trail: Trail) -> bool:
    """Tell whether a list may stand at a trail, whose entries are counted from 0."""
    return any(get_origin(kind) is tuple for kind in _kinds_at(model, trail))


def field_at(model: Any, trail: Trail) -> FieldInfo | None:
    """Give the field of a model that holds the value at a trail, or None for an entry of a list or a free mapping."""
    for kind in _kinds_at(model, trail[:-1]):
        field = _fields(kind).get(str(trail[-1]))
        if field is not None:
            return field
    return None


def _fields(kind: Any) -> dict[str, FieldInfo]:
    is_model = isinstance(kind, type) and issubclass(kind, BaseModel) and not issubclass(kind, RootModel)
    return kind.model_fields if is_model else {}


def _kinds_at(model: Any, trail: Trail) -> list[Any]:
    """Follow a trail through the annotations; a union is followed along all its members."""
    kinds = list(_members(model))
    for part in trail:
        kinds = [inner for kind in kinds for inner in _inside(kind, part)]
    return kinds


def _inside(kind: Any, part: str | int) -> Iterator[Any]:
    if get_origin(kind) is dict:
        yield from _members(get_args(kind)[1])
    elif get_origin(kind) is tuple and isinstance(part, int):
        yield from _members(get_args(kind)[0])
    elif (field := _fields(kind).get(str(part))) is not None:
        yield from _members(field.annotation)


def _members(annotation: Any) -> Iterator[Any]:
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from _members(get_args(annotation)[0])
    elif origin in (Union, UnionType):
        for member in get_args(annotation):
            yield from _members(member)
    elif annotation is not NoneType:
        yield annotation
