"""The days of a shoot, run through: what each device's time is worth at every moment."""
