"""The metal of a set of points as joints between parts, and what joins its two rails."""
