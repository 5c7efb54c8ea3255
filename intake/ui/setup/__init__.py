"""Lab setup: how the laboratory works, page by page, changed by the person who runs reception."""
