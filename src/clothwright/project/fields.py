"""How a typed quantity becomes a field of the project document: text in, text out, checked between."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from clothwright.cloth import structure
from clothwright.measure import Grist, Length, Quantity, QuantityError, Ratio, Share, ThreadsPerLength, Weight
from clothwright.yarn import read_grist


@dataclass(frozen=True)
class Typed:
    """Marks a field that holds a quantity as typed; `read` makes the value from the text."""

    read: Callable[[str], Quantity]
    accepted: str

    def __get_pydantic_core_schema__(self, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self._validate, serialization=core_schema.plain_serializer_function_ser_schema(str)
        )

    def __get_pydantic_json_schema__(self, _schema: CoreSchema, _handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"type": "string", "description": f"as typed, for example {self.accepted}"}

    def _validate(self, value: Any) -> Quantity:
        return value if isinstance(value, Quantity) else self.read(_text(value))


def _text(value: Any) -> str:
    if isinstance(value, str | int | float) and not isinstance(value, bool):
        return str(value)
    raise ValueError(f'{value!r} is not a quantity; write it as text, as in "24 cm"')


def _structure_name(value: str) -> str:
    try:
        return structure(value).name
    except KeyError as error:
        raise ValueError(str(error.args[0])) from None


def _more_than_nothing(read: Callable[[str], Quantity]) -> Callable[[str], Quantity]:
    """Reads a quantity that must be there: a cloth has some width, a skein some weight."""

    def some(text: str) -> Quantity:
        quantity = read(text)
        if quantity.low <= 0:
            raise QuantityError(text, "it must be more than nothing", quantity.accepted)
        return quantity

    return some


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
GristField = Annotated[Grist, Typed(read_grist, "310 m/100 g, 8/2 cotton or 2/17 Nm")]
ShareField = Annotated[Share, Typed(Share.read, Share.accepted)]
RatioField = Annotated[Ratio, Typed(Ratio.read, Ratio.accepted)]
StructureField = Annotated[str, StructureName()]
