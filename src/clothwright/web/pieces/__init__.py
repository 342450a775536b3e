"""The pages about pieces on the cloth: laid by hand, joined for narrow cloth, cut from cloth in hand, and what can be chosen."""
