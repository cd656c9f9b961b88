"""The commands, one a file: `add` declares its options, `run` does it. Each imports what it needs when it runs."""
