"""How long measuring takes: `python -m tests.bench [CLIP]`."""
