"""Small things templates need."""
