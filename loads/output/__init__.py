"""What is shown and written: the terminal table, lists, ratings, JSON and CSV."""
