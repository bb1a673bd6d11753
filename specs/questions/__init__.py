"""One file, one question. See `specs.question`."""
