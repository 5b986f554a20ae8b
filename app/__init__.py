"""The desktop: the only place where Qt is used."""
