"""How a project becomes fields on a page and comes back as typed: the tables of fields, the form bound to them, the typed tree."""
