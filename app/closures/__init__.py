"""The Closures view: which closures the job needs, what each buys, and what is lost if one is refused."""
