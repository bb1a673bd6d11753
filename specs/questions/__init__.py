"""One file, one question. See `specs.engine.question`."""
