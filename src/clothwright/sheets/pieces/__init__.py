"""The sheets of pieces: at true size, cut from the cloth, joined where it is narrow; and the words for ways to cut them."""
