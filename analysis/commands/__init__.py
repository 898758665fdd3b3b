"""The commands, one per file: each turns what was typed into a call of the module that does the work."""
