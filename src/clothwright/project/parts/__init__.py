"""The parts of the project document, each as it is typed. Nothing here knows the whole document."""
