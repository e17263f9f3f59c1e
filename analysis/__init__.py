"""Clip file in, tracks and readings out. Knows no web, no database, no network.

`analysis.watch` turns a clip into tracks (minutes of CPU); `analysis.read` turns tracks, corrections and the checkpoint
book into instants and readings (milliseconds). On the command line: `python -m analysis measure CLIP`.
"""
