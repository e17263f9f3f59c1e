"""A real person, seen by four calibrated cameras at once: what each view alone says, held against all four together."""
