"""What is tried on the demo railway, which is loaded once for all of it."""
