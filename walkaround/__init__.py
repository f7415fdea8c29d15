"""Walkaround: the walk round a machine before the shift, recorded and decided."""
