#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Holds every JSON output among the golden files against its JSON Schema.

    validate.py GOLDEN-FOLDER

An output whose first key is "schema": "doewright.NAME/1" must fit NAME.schema.json beside this
script. An output without a schema, and a schema that no golden output uses, are failures: nobody
would notice if either were wrong. --program-missing allows the second (nothing is built to be run).
"""
import argparse
import json
import pathlib
import re
import sys

HERE = pathlib.Path(__file__).resolve().parent
SHARED = ("common.schema.json", "pairing.schema.json")  # definitions only, no command's output
sys.path.insert(0, str(HERE.parent))
from skip import skip  # noqa: E402

try:
    import jsonschema
except ImportError:
    skip("JSON Schemas cannot be checked", "python3-jsonschema")


def refuse_constant(word):
    raise ValueError(f"{word} is no JSON")


def read_json(data):
    return json.loads(data, parse_constant=refuse_constant)


def validator_of(name):
    """The validator of one command; its schema may refer to the shared ones."""
    path = HERE / f"{name}.schema.json"
    if not path.is_file():
        return None
    kind = jsonschema.Draft202012Validator
    schemas = {file: read_json((HERE / file).read_bytes()) for file in {path.name, *SHARED}}
    for each in schemas.values():
        kind.check_schema(each)
    resolver = jsonschema.RefResolver(path.name, schemas[path.name], store=schemas)
    return kind(schemas[path.name], resolver=resolver)


def complaints(document):
    """Everything in a parsed output that its schema does not allow."""
    if not isinstance(document, dict) or next(iter(document), None) != "schema":
        return ["the first key must be \"schema\""]
    word = re.fullmatch(r"doewright\.([a-z_]+)/(\d+)", str(document["schema"]))
    if not word:
        return [f"schema is {document['schema']!r}, not doewright.NAME/NUMBER"]
    validator = validator_of(word[1])
    if validator is None:
        return [f"{word[1]}.schema.json is not there"]
    return [f"{'/'.join(map(str, e.absolute_path)) or 'document'}: {e.message[:300]}"
            for e in sorted(validator.iter_errors(document), key=lambda e: list(map(str, e.path)))]


def json_files(golden):
    """Golden files that claim to be JSON: {"schema"... up front, or named .json."""
    for path in sorted(golden.rglob("*")):
        inside = "expected.files" in path.parts
        if path.is_file() and (path.name == "expected.stdout" or inside):
            data = path.read_bytes()
            if path.suffix == ".json" or re.match(rb'\s*\{\s*"', data):
                yield path, data


def main():
    parser = argparse.ArgumentParser(description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("golden", type=pathlib.Path)
    parser.add_argument("--program-missing", action="store_true")
    options = parser.parse_args()
    used, bad, seen = set(), [], 0
    for path, data in json_files(options.golden):
        seen += 1
        try:
            document = read_json(data)
            found = complaints(document)
            used.add(str(document.get("schema")))
        except ValueError as error:
            found = [str(error)]
        bad += [f"{path.relative_to(options.golden)}: {what}" for what in found]
    for path in sorted(HERE.glob("*.schema.json")):
        name = path.name.split(".")[0]
        if path.name in SHARED or options.program_missing:
            continue
        if not any(word.startswith(f"doewright.{name}/") for word in used):
            bad.append(f"{path.name}: no golden output uses this schema")
    print("\n".join(bad) if bad else f"{seen} JSON outputs fit their schemas")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
