"""The pages of the sheets: what each is drawn from, how it is shown and printed, and how one filled in by hand is typed in."""
