"""The register: what exists, where it is fitted, what suits what."""
