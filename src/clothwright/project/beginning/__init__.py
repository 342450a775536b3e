"""Projects begun with a few answers, and yarn in the weaver's words."""
