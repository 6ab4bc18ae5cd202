# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Writes a dictionary for libFuzzer: every key and word of the schema, units, and the signs of YAML and of
tables that mean something.

    make_dictionary.py schemas/vehicle.schema.json words.dict
"""

import json
import pathlib
import sys

UNITS = ["mm2", "AWG", "SAE", "mm", "m", "ft", "in", "A", "mA", "kA", "V", "mV", "W", "kW", "Ah", "ohm", "mohm", "C",
         "F", "K", "s", "ms", "min", "h", "d", "%"]
SIGNS = [": ", "- ", "? ", "[", "]", "{", "}", ", ", "\n", "\n  ", "\r\n", "#", "&a ", "*a", "!t ", "!!str ", "<<: ", "|", ">",
         "|+", ">-", "\"", "'", "---", "...", "%YAML 1.2", "\\x00", "\\u202e", "\ufeff", " > ", " at ", " for ", " +- ", ";",
         "sep=", "\t", "~", "null", "\"\"", "-> "]
NUMBERS = ["0", "-1", "1e999", "1e-999", ".nan", "inf", "0x10", "010", "1,5", "1/0", "4/0", "99999999999999999999",
           "1e308", "4.9e-324", "-0"]
COLUMNS = ["device", "place", "watts", "amps", "volts", "fuse", "length", "note", "kind", "state", "reading", "to", "accuracy",
           "millivolts", "Length (mm)"]


def words_of(schema):
    """Keys and fixed words, in the order of the file."""
    if isinstance(schema, dict):
        yield from schema.get("properties", {})
        yield from (word for word in schema.get("enum", []) if isinstance(word, str))
        if isinstance(schema.get("const"), str):
            yield schema["const"]
        for part in schema.values():
            yield from words_of(part)
    elif isinstance(schema, list):
        for part in schema:
            yield from words_of(part)


def written(word):
    return '"' + "".join(f"\\x{byte:02x}" if byte < 0x20 or byte > 0x7E or byte in b'"\\' else chr(byte)
                         for byte in word.encode()) + '"'


def main():
    schema = json.loads(pathlib.Path(sys.argv[1]).read_text(encoding="utf-8"))
    words = [*words_of(schema), *UNITS, *SIGNS, *NUMBERS, *COLUMNS]
    pathlib.Path(sys.argv[2]).write_text("".join(written(word) + "\n" for word in dict.fromkeys(words)),
                                         encoding="ascii")


if __name__ == "__main__":
    main()
