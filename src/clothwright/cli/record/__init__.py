"""Records on the command line: told, found, used again, and how right forecasts were."""
