"""The pages on what was measured: what samples told, what stands behind each number, and which sample to weave first."""
