"""The risk view: how sure each gap, each reopening and the finish are over many weathers."""
