"""The pages of a shared studio: signing in, who may see what, groups and members, sharing, and the letters that are sent."""
