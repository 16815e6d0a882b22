"""One module a page, each with `build` (widgets) and `main` (what the notebook calls)."""
