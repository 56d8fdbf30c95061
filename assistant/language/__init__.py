"""Numbers and prompts in words: one engine over a data file and a Fluent file per language."""
