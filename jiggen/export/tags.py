"""Tags as writers put them into a file's own metadata."""

from dataclasses import fields

from jiggen.shop.tag import Tag


def tag_fields(tag: Tag) -> dict[str, str | float]:
    """Returns every field of a tag by name, in the order in which `Tag` lists them."""
    return {field.name: getattr(tag, field.name) for field in fields(tag)}
