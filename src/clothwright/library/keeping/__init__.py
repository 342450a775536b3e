"""Keeping the library whole: copies and archives of it, older ones brought up to date, one program at a time, files that wait for a word."""
