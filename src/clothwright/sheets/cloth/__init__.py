"""The sheets on how the cloth is threaded and how it will look, and the words for both."""
