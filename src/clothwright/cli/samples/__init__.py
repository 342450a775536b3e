"""A sample first, and what samples tell, on the command line."""
