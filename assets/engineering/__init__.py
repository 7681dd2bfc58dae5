"""Pure arithmetic and rules of the switch: dataclasses in, dataclasses out, no Django."""
