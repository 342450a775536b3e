"""Sheets for others: the leaflet of a pattern, what its buyers and test weavers take along, and a class."""
