"""How a typed quantity becomes a field of the project document: text in, text out, checked between."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from clothwright.cloth import Threading, read_threading, structure
from clothwright.measure import Grist, Length, Quantity, QuantityError, Ratio, Share, ThreadsPerLength, Weight
from clothwright.measure.numbers import NumberError
from clothwright.yarn import Turns, read_grist, read_turns


@dataclass(frozen=True)
class Typed:
    """Marks a field that holds a quantity as typed; `read` makes the value from the text."""

    read: Callable[[str], Any]
    accepted: str

    def __get_pydantic_core_schema__(self, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self._validate, serialization=core_schema.plain_serializer_function_ser_schema(str)
        )

    def __get_pydantic_json_schema__(self, _schema: CoreSchema, _handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"type": "string", "description": f"as typed, for example {self.accepted}"}

    def _validate(self, value: Any) -> Any:
        return value if isinstance(value, Quantity | Turns | CoreName | Threading) else self.read(_text(value))


def _text(value: Any) -> str:
    if isinstance(value, str | int | float) and not isinstance(value, bool):
        return str(value)
    raise ValueError(f'{_told(value)} is not a quantity; write it as text, as in "24 cm"')


def _told(value: Any) -> str:
    """What came, in the words of the file and not of this program."""
    if isinstance(value, bool):
        return f"“{str(value).lower()}”"
    if isinstance(value, datetime.date | datetime.time):
        return f"“{value.isoformat()}”"
    return "a table" if isinstance(value, Mapping) else "a list" if isinstance(value, list) else f"“{value}”"


def _structure_name(value: str) -> str:
    try:
        return structure(value).name
    except KeyError as error:
        raise ValueError(str(error.args[0])) from None


def _more_than_nothing(read: Callable[[str], Any]) -> Callable[[str], Any]:
    """Reads a quantity that must be there: a cloth has some width, a skein some weight."""

    def some(text: str) -> Any:
        quantity = read(text)
        if isinstance(quantity, Quantity) and quantity.low <= 0:
            raise QuantityError(text, "it must be more than nothing", quantity.accepted)
        return quantity

    return some


@dataclass(frozen=True)
class CoreName:
    """The name of a core in the weaver's own list."""

    name: str

    def __str__(self) -> str:
        return self.name


def read_core(text: str) -> Weight | CoreName:
    """What a core weighs, or the name of one in the list: a name begins with a letter, a weight does not."""
    text = text.strip()
    return (
        CoreName(text) if text[:1].isalpha() and not re.match(r"(about|around|ca\.?)\s*\d", text) else Weight.read(text)
    )


def read_length_or_turns(text: str) -> Length | Turns:
    """A length, or so many turns of a tool in the weaver's own list: 48 turns of the niddy-noddy."""
    try:
        turns = read_turns(text)
    except NumberError as error:
        raise QuantityError.because(text, error, "48 turns of the niddy-noddy") from None
    return turns or Length.read(text)


def read_length_or_weight(text: str) -> Length | Weight:
    """A length or a weight, whichever its unit says."""
    try:
        return Weight.read(text)
    except QuantityError:
        return Length.read(text)


@dataclass(frozen=True)
class StructureName:
    """Marks a field that holds a weave structure by name."""

    def __get_pydantic_core_schema__(self, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_after_validator_function(_structure_name, core_schema.str_schema())


LengthField = Annotated[Length, Typed(Length.read, Length.accepted)]
SomeLengthField = Annotated[Length, Typed(_more_than_nothing(Length.read), Length.accepted)]
WeightField = Annotated[Weight, Typed(Weight.read, Weight.accepted)]
SomeWeightField = Annotated[Weight, Typed(_more_than_nothing(Weight.read), Weight.accepted)]
ThreadsField = Annotated[ThreadsPerLength, Typed(ThreadsPerLength.read, ThreadsPerLength.accepted)]
HeddleField = Annotated[Threading, Typed(read_threading, "30/10 cm, 7.5/in, 12/in reed, 1-2")]
GristField = Annotated[Grist, Typed(read_grist, "310 m/100 g, 8/2 cotton or 2/17 Nm")]
ShareField = Annotated[Share, Typed(Share.read, Share.accepted)]
RatioField = Annotated[Ratio, Typed(Ratio.read, Ratio.accepted)]
CoreField = Annotated[Weight | CoreName, Typed(read_core, "25 g, or the name of a core")]
_TURNS = "10 m, or 48 turns of the niddy-noddy"
LengthOrTurnsField = Annotated[Length | Turns, Typed(read_length_or_turns, _TURNS)]
SomeLengthOrTurnsField = Annotated[Length | Turns, Typed(_more_than_nothing(read_length_or_turns), _TURNS)]
SomeLengthOrWeightField = Annotated[
    Length | Weight, Typed(_more_than_nothing(read_length_or_weight), "100 m, or 3.1 g")
]
StructureField = Annotated[str, StructureName()]


def as_text(value: object) -> object:
    """A date written without quotes, as text."""
    return value.isoformat() if isinstance(value, datetime.date | datetime.time) else value


def _a_day(text: str) -> str:
    """A day as 2026-03-14, which puts what was measured in its order."""
    try:
        return datetime.date.fromisoformat(text).isoformat() if text else ""
    except ValueError:
        raise ValueError(f"“{text}”: write a day as year-month-day, as 2026-03-14") from None


DayField = Annotated[str, BeforeValidator(as_text), AfterValidator(_a_day)]
