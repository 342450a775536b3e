"""What is kept for others: versions of leaflets as given out, their figures, and classes."""
