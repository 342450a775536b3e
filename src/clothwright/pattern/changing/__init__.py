"""Changes to pieces: what an alteration does (`altering`, by the `moves` of a line), dated `steps`, and sizes between two (`grading`)."""
