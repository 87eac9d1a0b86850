"""The rules: one module a group, one function a rule, and an explicit list of all in `catalogue.py`."""
