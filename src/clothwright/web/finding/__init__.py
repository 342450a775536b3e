"""Finding anything by its words: projects, records, what is on hand, chapters of the guide and words of the trade."""
