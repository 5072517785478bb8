"""How a plugin declares the fields of its table: once, with everything known about them.

The form, the validator, the JSON Schema and the draws all derive from this one declaration.
All of it is plain text, so that the schema shows an editor what the console itself reads.
"""

from __future__ import annotations

from contextvars import ContextVar
from functools import partial
from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ModelWrapValidatorHandler,
    PrivateAttr,
    ValidationError,
    WithJsonSchema,
    model_validator,
)

from console.quantities import Measure, QuantityError, parse_measure

SPEC = "quantity"
FILE = "file"

Quantity = Annotated[Measure | None, WithJsonSchema({"type": "string"})]
"""The type of every numeric field: what the owner wrote, or None when the file is silent."""


def quantity(
    style: str,
    default: str | None,
    *,
    help: str,
    hard: tuple[str, str],
    usual: tuple[str, str] | None = None,
    given: str = "",
    compute: str = "",
    reading: str = "",
    measured: bool = False,
) -> Any:
    """Declare a numeric field.

    ``style`` is a key of `console.quantities.STYLES` (it fixes the dimension and how the
    number is shown). ``default`` is a quantity with spread, used when the file is silent; with
    ``compute`` (``"module:function"`` of the run's inputs, SI out) the default is computed on
    the draws instead, and ``default`` holds only its spread (``"± 20 %"``). ``default=None``
    without ``compute`` makes the field optional: no input exists until the owner states it.
    ``given`` is the spread of a value stated without one (none: taken as exact). ``hard``
    limits are an error outside, ``usual`` limits a warning. ``help`` says in one sentence what
    it is and how to find it on the boat. ``reading`` names the reading that replaces it;
    ``measured`` marks a field that is itself a reading.
    """
    spec: Any = {
        "style": style, "default": default, "hard": list(hard), "usual": list(usual or ()),
        "given": given, "compute": compute, "reading": reading, "measured": measured,
    }  # fmt: skip
    made: Any = Field(default=None, description=help, json_schema_extra={SPEC: spec})
    made.metadata.append(BeforeValidator(partial(_parsed, style)))
    return made


def _parsed(style: str, value: Any) -> Measure | None:
    if value is None or isinstance(value, Measure):
        return value
    try:
        return parse_measure(value, style)
    except QuantityError as error:
        raise ValueError(str(error)) from None


def choice(default: str, *, help: str) -> Any:
    """Declare a field that is one of a few words (annotate it with ``Literal[...]``)."""
    return Field(default=default, description=help)


def text(default: Any, *, help: str) -> Any:
    """Declare a text, date, true/false or list-of-texts field."""
    return Field(default=default, description=help)


def file_name(default: str, *, help: str) -> Any:
    """Declare a field that names a file; a relative name is taken from the boat file's folder."""
    return Field(default=default, description=help, json_schema_extra={FILE: True})


def table(model: type[Table], *, help: str, when_absent: str = "assumed") -> Any:
    """Declare a table inside a table; ``"not_aboard"`` when a silent file means there is none.

    Annotate it with ``Model | None`` when it may be absent.
    """
    extra: dict[str, Any] = {"when_absent": when_absent}
    if when_absent == "not_aboard":
        return Field(default=None, description=help, json_schema_extra=extra)
    return Field(default_factory=model, description=help, json_schema_extra=extra)


def tables(*, help: str) -> Any:
    """Declare a list of tables (``[[section.name]]``); annotate it with ``list[Model]``."""
    return Field(default_factory=list, description=help)


REFUSED: ContextVar[list[Any]] = ContextVar("REFUSED")
"""The tables of the file that were refused, innermost first, for the one who reads it."""


class Table(BaseModel):
    """Base of every table of the boat file: no unknown fields, quantities parsed by us."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)

    # Lines of the keys in the owner's file; None for a table nobody wrote.
    _lines: dict[str, int] | None = PrivateAttr(default=None)

    @model_validator(mode="wrap")
    @classmethod
    def _remember_lines(cls, value: Any, handler: ModelWrapValidatorHandler[Table]) -> Table:
        lines = getattr(value, "lines", None)
        try:
            made = handler(value)
        except ValidationError:
            if lines is not None:
                REFUSED.get().append(value)
            raise
        if lines is not None:
            made._lines = lines
        return made

    def stated(self, field: str) -> bool:
        """Whether the owner's file states this field."""
        return self._lines is not None and field in self._lines and field in self.model_fields_set

    def line_of(self, field: str) -> int:
        """The line of the file the field stands on; 0 when it does not."""
        return (self._lines or {}).get(field, 0)
