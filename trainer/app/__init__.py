"""The terminal app: everything that imports textual."""
