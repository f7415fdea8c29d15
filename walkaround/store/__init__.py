"""First floor: what is kept."""
