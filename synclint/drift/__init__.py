"""Drift for people: how far apart the devices are through the days, when to jam again, and the lines of its picture."""
