"""The rig as the rules see it: devices, links and settings whose every field is a fact with its place."""
