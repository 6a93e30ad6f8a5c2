"""What all sections of a scenario have in common."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainValidator, WithJsonSchema

from sitesim.scenario.quantities import listed, wrong


class Section(BaseModel):
    """A section, or a part of one: cannot be changed, and knows its keys."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True, use_attribute_docstrings=True)


def _name(value: Any) -> str:
    text = str(value) if isinstance(value, str | int | float) and not isinstance(value, bool) else ""
    if not text.strip() or "/" in text or "+" in text:
        raise wrong(f"{value!r} is not a name; a name is not empty and has no / or +")
    return text.strip()


Name = Annotated[str, PlainValidator(_name), WithJsonSchema({"type": ["string", "number"]})]
"""A name that a user gives to something; numbers are taken as names."""

Names = Annotated[tuple[Name, ...], BeforeValidator(listed, json_schema_input_type=Name | list[Name])]
"""One name or a list of them."""


def names_in(value: Any) -> list[str]:
    """Give the names among what may be one name or a list of them, unchecked; what cannot be a name is left out."""
    return [str(one).strip() for one in listed(value) if isinstance(one, str | int | float) and str(one).strip()]


def or_a_table(written: Any) -> BeforeValidator:
    """Let an editor know that the name of a comma-separated file may stand in place of what is ``written``.

    The rows have been taken in by the time that the content is checked.
    """
    return BeforeValidator(_as_it_is, json_schema_input_type=written | str)


def _as_it_is(value: Any) -> Any:
    return value


Count = Annotated[int, Field(strict=True, ge=1, le=10_000)]
LayerNumber = Annotated[int, Field(strict=True, ge=1)]
