"""The book for the site, handbook.pdf: set by typst from `layout.typ` and what is in it."""
