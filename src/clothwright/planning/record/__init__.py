"""The plan beside what came of it: figure by figure, what was learned, and what was made again beside last time."""
