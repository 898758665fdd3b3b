"""Static pictures, one question per file: table in, axes out."""
