#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Do the schemas refuse what they must? One sound output, one change at a time."""
import copy
import unittest

import validate

SOUND = {
    "schema": "doewright.inbreeding/1", "as_of": "2026-09-15", "herd": "herd", "warnings": [],
    "inputs": {}, "assumed": [],
    "animals": [{"id": "Alder", "inbreeding": 0.25, "generations": 2.5, "completeness": 0.5}],
}
PAIR = {
    "sire": "Alder", "rank": 1, "verdict": "go", "value": None, "kid_inbreeding": 0.0,
    "kid_inbreeding_used": 0.0625, "kid_inbreeding_unknowns_as_breed": 0.02,
    "kid_inbreeding_worst": 0.25, "worst_assumes": [], "common_ancestors": [], "completeness": 0.0,
    "reasons": [], "questions": [],
}


class Schemas(unittest.TestCase):
    def refused(self, change, words, sound=None):
        document = copy.deepcopy(sound or SOUND)
        change(document)
        self.assertIn(words, "\n".join(validate.complaints(document)))

    def test_a_sound_output_fits(self):
        self.assertEqual(validate.complaints(SOUND), [])

    def test_what_does_not_fit_is_named_with_its_place(self):
        self.refused(lambda d: d["animals"][0].update(inbreeding=1.5), "animals/0/inbreeding")
        self.refused(lambda d: d["animals"][0].update(inbreeding="0.25"), "animals/0/inbreeding")
        self.refused(lambda d: d["animals"][0].pop("completeness"), "'completeness' is a required")
        self.refused(lambda d: d["animals"][0].update(f=0.25), "'f' was unexpected")
        self.refused(lambda d: d.update(as_of="15.9.2026"), "as_of")

    def test_the_name_of_the_schema_comes_first_and_is_known(self):
        self.refused(lambda d: d.update(schema="doewright.milking/1"), "milking.schema.json is not there")
        self.refused(lambda d: d.update(schema="doewright.inbreeding/2"), "doewright.inbreeding/1")
        self.refused(lambda d: d.pop("schema"), "first key")
        self.refused(lambda d: d.update(schema=d.pop("schema")), "first key")

    def test_not_known_is_null_and_a_verdict_is_one_of_three(self):
        rank = {**SOUND, "schema": "doewright.rank/1", "does": [
            {"doe": "Bryony", "kids_for": "keep", "fate": {"doe_kept": 0.8, "buck_kept": 0.0},
             "fit": "go", "fit_reasons": [], "close_at": [], "sires": [PAIR]}]}
        rank.pop("animals")
        self.assertEqual(validate.complaints(rank), [])
        sire = lambda d: d["does"][0]["sires"][0]
        self.refused(lambda d: sire(d).update(verdict="good"), "'good' is not one of", rank)
        self.refused(lambda d: sire(d).update(value="none"), "sires/0/value", rank)
        self.refused(lambda d: sire(d).pop("kid_inbreeding_used"), "'kid_inbreeding_used'", rank)

    def test_not_looked_rests_on_no_record_and_a_finding_on_some(self):
        look = validate.validator_of("pairing").evolve(schema={"$ref": "#/$defs/look"})
        self.assertTrue(look.is_valid({"looked": "not looked", "records": []}))
        self.assertTrue(look.is_valid({"looked": "clear", "records": ["examinations.csv:6"]}))
        self.assertFalse(look.is_valid({"looked": "clear", "records": []}))
        self.assertFalse(look.is_valid({"looked": "not looked", "records": ["examinations.csv:6"]}))
        self.assertFalse(look.is_valid({"looked": "found", "records": ["examinations.csv"]}))

    def test_nan_is_no_json(self):
        with self.assertRaises(ValueError):
            validate.read_json(b'{"schema": NaN}')

    def test_every_schema_is_a_schema(self):
        for path in sorted(validate.HERE.glob("*.schema.json")):
            with self.subTest(path.name):
                self.assertIsNotNone(validate.validator_of(path.name.split(".")[0]))


if __name__ == "__main__":
    unittest.main()
