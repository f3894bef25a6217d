"""Searching the catalogue by words: what the texts of parts are cut into, its tables, words that come near, the search itself."""
