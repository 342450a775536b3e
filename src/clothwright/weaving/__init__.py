"""Weaving: the log read, the forecast at the loom, and ways to finish well from half way."""

from clothwright.weaving.answer import (
    FirstPlan,
    LoomForecast,
    Rate,
    Sessions,
    SoFar,
    StopLine,
    Trend,
    WarpAtLoom,
    WayThrough,
    YarnAtLoom,
)
from clothwright.weaving.forecasting import forecast, forecast_of
from clothwright.weaving.logged import Logged, logged, made_in_order
from clothwright.weaving.recording import filled_in, record_from_log
from clothwright.weaving.repeats import PanelCount, RepeatPlan, RepeatsTold, even_picks, panel_count, repeat_plan
from clothwright.weaving.standing import Standing, standing

__all__ = [
    "FirstPlan",
    "Logged",
    "LoomForecast",
    "PanelCount",
    "Rate",
    "RepeatPlan",
    "RepeatsTold",
    "Sessions",
    "SoFar",
    "Standing",
    "StopLine",
    "Trend",
    "WarpAtLoom",
    "WayThrough",
    "YarnAtLoom",
    "even_picks",
    "filled_in",
    "forecast",
    "forecast_of",
    "logged",
    "made_in_order",
    "panel_count",
    "record_from_log",
    "repeat_plan",
    "standing",
]
