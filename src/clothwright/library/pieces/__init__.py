"""What is kept of pieces laid out: the layouts found so far, and the searches that wait for their turn."""
