"""The sheets of a finished garment: its record and its label, and the words for what came of the plan."""
