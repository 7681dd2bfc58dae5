"""Developers' tools: an invented railway of any size, and the pictures of the README."""
