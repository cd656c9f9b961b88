"""Built-in load cases, one module for each kind of thing that happens."""
