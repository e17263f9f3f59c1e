"""Pages of what is kept: having it erased, taking it along, and reading how it is."""
