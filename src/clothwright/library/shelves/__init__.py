"""What is on hand outside any project: yarns, looms and samples, their photos, yarn as a table, and samples found again."""
