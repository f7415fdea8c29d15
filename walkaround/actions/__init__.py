"""Second floor: what people do. One verb, one file; only actions commit."""
