"""Who shares a studio: members, groups, what is shared, tries to sign in, and what the environment asks."""
