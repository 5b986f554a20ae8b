"""The built-in library, read once."""

from __future__ import annotations

import tomllib
from importlib.resources import files

import pytest

from planner.model import Method, Product


@pytest.fixture(scope="session")
def methods() -> dict[str, Method]:
    """Return the built-in methods by id."""
    read = tomllib.loads(files("planner.library").joinpath("methods.toml").read_text("utf-8"))
    return {method.id: method for method in map(Method.model_validate, read["methods"])}


@pytest.fixture(scope="session")
def products() -> dict[str, Product]:
    """Return the built-in products by id."""
    read = tomllib.loads(files("planner.library").joinpath("products.toml").read_text("utf-8"))
    return {product.id: product for product in map(Product.model_validate, read["products"])}
