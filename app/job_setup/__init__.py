"""The Job set-up view: what the job is made of, seen and changed without a text editor."""
