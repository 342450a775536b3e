"""The pages of a pattern: its pieces, drawn by hand, made from measures, changed to fit."""
