"""Checks of the layout room."""
