"""Built-in load cases, one module for each phase of a well's life."""
