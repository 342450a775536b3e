"""What is kept of records beside their projects: numbers, later notes, photos, and the address that labels lead to."""
