"""The sheets at the loom and off it: the log, the marks along the cloth, finishing; and the words for the forecast."""
