"""The way in: `python -m portal.web` serves the portal by waitress, which takes many slow lines in one loop.

Only what is whole goes to one of a few threads, so nobody's bad line holds up anybody else. What waitress leaves open is
here: how long a header and a body may take (`channel`), how many lines one address may hold (`crowd`), whose large body is
taken at all (`leave`), where it lies meanwhile (`body`), and an end within seconds that loses nothing (`server`).
"""
