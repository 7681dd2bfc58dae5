"""What was measured and looked at, against which limits, and with what verdict."""
