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
from clothwright.weaving.flawed import (
    AsFinished,
    Happened,
    counted_from_the_other_side,
    flaw_of,
    flaws_from_log,
    happened,
    is_marked,
)
from clothwright.weaving.forecasting import forecast, forecast_of
from clothwright.weaving.logged import Logged, logged, made_in_order
from clothwright.weaving.looked_back import LookedBack, looked_back
from clothwright.weaving.recording import filled_in, record_from_log
from clothwright.weaving.repeats import PanelCount, RepeatPlan, RepeatsTold, even_picks, panel_count, repeat_plan
from clothwright.weaving.standing import Standing, standing

__all__ = [
    "AsFinished",
    "FirstPlan",
    "Happened",
    "Logged",
    "LookedBack",
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
    "counted_from_the_other_side",
    "even_picks",
    "filled_in",
    "flaw_of",
    "flaws_from_log",
    "forecast",
    "forecast_of",
    "happened",
    "is_marked",
    "logged",
    "looked_back",
    "made_in_order",
    "panel_count",
    "record_from_log",
    "repeat_plan",
    "standing",
]
