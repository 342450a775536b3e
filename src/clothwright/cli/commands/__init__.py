"""The commands, by subject: a module registers its own on the group when it is imported, and imports rooms when one of them runs."""
