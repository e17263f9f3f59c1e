"""The whole site in one file, and back: rows, media and the signing key (`manage.py backup`, `manage.py restore`)."""
