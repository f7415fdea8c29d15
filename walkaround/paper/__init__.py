"""Rows in, PDF bytes out."""
