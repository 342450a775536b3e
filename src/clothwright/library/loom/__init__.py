"""What is kept of weaving: the log, and what was entered on phones."""
