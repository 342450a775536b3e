"""What the samples measured tell of the plan, what its doubt comes from, and what to sample or measure next."""
