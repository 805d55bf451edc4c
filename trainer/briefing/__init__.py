"""The procedure sheet: what to know by heart before the approach, computed and laid out."""
