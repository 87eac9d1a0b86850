"""Check the timecode and sync of a film shoot's rig on paper, before anyone pulls a cable."""

__version__ = "0.1.0"
