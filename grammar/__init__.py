"""Language: from the brewer's sentence to a typed command."""
