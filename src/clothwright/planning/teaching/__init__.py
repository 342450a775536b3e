"""The same figures for others: the leaflet of a pattern with its tables, what its buyers reckon, and what each student of a class needs."""
