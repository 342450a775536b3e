"""What is told when something goes wrong: the page, the reference, the log, and the answer to whoever asks whether all is well."""
