"""Tracing a paper piece in a photograph: `markers` laid round it, `seeing` them, the `camera` they tell of, `tracing` the outline."""
