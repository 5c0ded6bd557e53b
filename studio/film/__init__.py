"""What goes with the film: overlays, captions, chapters, and burning them into the master.

Nothing here computes: every text comes ready from the ``Episode``. Modules import Pillow, PyAV
and moviepy only where they are used, so that a command that needs no film starts quickly.
"""
