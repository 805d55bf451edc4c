"""What to drill next, from what was flown."""
