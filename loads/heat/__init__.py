"""Temperature of what flows along a well."""
