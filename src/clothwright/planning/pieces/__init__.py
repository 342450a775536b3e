"""How the pieces lie on the cloth: joined where they are too wide, kept to the selvedge, laid out, moved by hand, cut in order."""
