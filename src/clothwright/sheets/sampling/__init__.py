"""The sheets of yarn, sett and samples: measured, compared, kept on a card, and what a sample tells in words."""
