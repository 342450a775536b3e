"""The log of a project as it grows at the loom."""
