"""The board: facts, layout and display list are plain Python; only `paint` and `view` know Qt."""
