"""Clothwright: from yarn in hand to handwoven cloth for garments, with a verdict that says how sure it is."""

__version__ = "0.1.0"
