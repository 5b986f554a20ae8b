"""The built-in methods and illustrative products, as TOML beside this file; a job file may add to or replace them."""
