"""Who acts: the perfect crew, edits of it, scripts."""
