"""The pages of records: one garment beside its plan, all of them searched, how true forecasts were, and using one again."""
