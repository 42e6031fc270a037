"""Records of numbers as arrays by name, and back: what a file can hold without running anything when it is read."""

from __future__ import annotations

import io
import json
import types
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import lru_cache
from typing import Any, get_args, get_origin, get_type_hints

import numpy as np


def packed(value: Any) -> bytes:
    """A dataclass, and what is in it, as the bytes of a file: all numbers in a row, and an index to them."""
    arrays = dict(flat(value))
    texts = {name: array.tolist() for name, array in arrays.items() if array.dtype.kind == "U"}
    numbers = {name: array for name, array in arrays.items() if name not in texts}
    shapes = {name: [array.dtype.str, *array.shape] for name, array in numbers.items()}
    row = np.concatenate([np.empty(0), *(array.ravel().astype(float) for array in numbers.values())])
    file = io.BytesIO()
    np.savez_compressed(file, index=np.array(json.dumps([texts, shapes])), numbers=row)
    return file.getvalue()


def unpacked(kind: Any, data: bytes) -> Any:
    """The value of this type out of the bytes of a file, arrays of the shape they had.

    >>> unpacked(dict[str, float], packed({"a": 1.5}))
    {'a': 1.5}
    """
    with np.load(io.BytesIO(data), allow_pickle=False) as file:
        (texts, shapes), row = json.loads(str(file["index"])), file["numbers"]
    arrays = {name: np.array(text, dtype=str) for name, text in texts.items()}
    for name, (dtype, *shape) in shapes.items():
        count = int(np.prod(shape))
        arrays[name], row = row[:count].reshape(shape).astype(dtype), row[count:]
    return unflat(kind, arrays)


def flat(value: Any, path: str = "") -> Iterator[tuple[str, np.ndarray]]:
    """Every array and number of a dataclass, of dictionaries and tuples in it, by its path; each keeps its shape, unit.

    >>> [name for name, _ in flat({"a": 1.0})]
    ['.keys', '.0']
    """
    if is_dataclass(value):
        for f in fields(value):
            yield from flat(getattr(value, f.name), f"{path}.{f.name}")
    elif isinstance(value, dict):
        yield f"{path}.keys", np.array(list(value), dtype=str)
        for number, item in enumerate(value.values()):
            yield from flat(item, f"{path}.{number}")
    elif isinstance(value, tuple):
        yield f"{path}.length", np.asarray(len(value))
        for number, item in enumerate(value):
            yield from flat(item, f"{path}.{number}")
    elif value is not None:
        yield path, np.asarray(value)


def unflat(kind: Any, arrays: Mapping[str, np.ndarray], path: str = "") -> Any:
    """The value of this type, as annotations write it, out of arrays by path. Raises KeyError where one is missing.

    >>> unflat(dict[str, float], dict(flat({"a": 1.0})))
    {'a': 1.0}
    """
    if isinstance(kind, type) and is_dataclass(kind):
        return kind(**{name: unflat(of, arrays, f"{path}.{name}") for name, of in _hints(kind).items()})
    if get_origin(kind) is dict:
        keys = arrays[f"{path}.keys"].tolist()
        return {key: unflat(get_args(kind)[1], arrays, f"{path}.{i}") for i, key in enumerate(keys)}
    if get_origin(kind) is tuple:
        length = int(arrays[f"{path}.length"])
        return tuple(unflat(get_args(kind)[0], arrays, f"{path}.{i}") for i in range(length))
    if get_origin(kind) is types.UnionType:
        there = any(name.startswith(f"{path}.") for name in arrays)
        return unflat(get_args(kind)[0], arrays, path) if there else None
    return arrays[path] if kind is np.ndarray else kind(arrays[path].item())


@lru_cache
def _hints(kind: type) -> dict[str, Any]:
    hints = get_type_hints(kind)
    return {f.name: hints[f.name] for f in fields(kind)}
