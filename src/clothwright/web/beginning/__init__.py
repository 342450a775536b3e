"""Beginning: one question that leads to a verdict, and the example of every page."""
