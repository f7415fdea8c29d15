"""Top floor: HTTP in, HTML out."""
