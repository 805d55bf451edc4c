"""Values and physics, pure."""
