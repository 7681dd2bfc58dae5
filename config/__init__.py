"""Puts the three apps together: settings, addresses, who may do what, the home page."""
