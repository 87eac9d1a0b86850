"""The documents a user writes: YAML text to trees of nodes with places, and the schemas they are held against."""
