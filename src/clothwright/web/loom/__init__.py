"""The pages at the loom and off it: the log, the forecast, the ways out, the cloth measured and finished."""
