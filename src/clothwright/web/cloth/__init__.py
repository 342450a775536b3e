"""The pages on how the cloth is threaded and how it will look."""
