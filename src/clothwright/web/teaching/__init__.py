"""The pages for others: the leaflet of a pattern, its test weavers and buyers, and a class."""
