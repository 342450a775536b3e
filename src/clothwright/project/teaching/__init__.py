"""Projects for others to weave: the list of a class, and a test weaver's own."""
