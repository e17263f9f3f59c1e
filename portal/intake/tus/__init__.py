"""Clips that come in pieces over lines that break: the server of the tus resumable upload protocol 1.0.0.

`protocol` reads and writes its headers, `parts` holds the bytes, `uploads` knows what an upload is and when it becomes a
clip, `room` asks the disk. The addresses are in portal/intake/views/uploading.py.
"""
