"""One deterministic flight."""
