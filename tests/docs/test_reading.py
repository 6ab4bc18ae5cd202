# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The reader of pages itself: it must see a wrong answer, or the test of the pages proves nothing."""

import unittest

import pages

PAGE = """\
Words.

```yaml
# car.yaml
loomwright: 1
```

```sh
echo one
echo two
```

```text
one
two
```

```sh
echo three
```

More words.

```text
not its answer
```
"""


class Reading(unittest.TestCase):
    def test_blocks(self):
        self.assertEqual([b.language for b in pages.blocks_of(PAGE)], ["yaml", "sh", "text", "sh", "text"])
        self.assertEqual(pages.blocks_of(PAGE)[1].lines, ["echo one", "echo two"])
        with self.assertRaises(ValueError):
            pages.blocks_of("```sh\nx\n")

    def test_an_answer_stands_right_after_its_commands(self):
        found = list(pages.outputs_of(PAGE))
        self.assertEqual(found[0][1].lines, ["one", "two"])
        self.assertIsNone(found[1][1])

    def test_agreement(self):
        printed = ["a", "b", "c", "d"]
        for expected in (["a", "b", "c", "d"], ["a", "...", "d"], ["..."], ["...", "c", "d"],
                         ["a", "..."], ["...", "b", "...", "d"], ["a", "b", "...", "c", "d"]):
            self.assertTrue(pages.agrees(expected, printed), expected)
        for expected in (["a", "b", "c"], [], ["a", "...", "c"], ["...", "x", "..."], ["b", "..."],
                         ["...", "d", "...", "d"], ["...", "c", "...", "b", "..."], ["a", "b", "c", "d", "e"]):
            self.assertFalse(pages.agrees(expected, printed), expected)

    def test_trailing_spaces_do_not_count_and_leading_ones_do(self):
        self.assertTrue(pages.agrees(["a"], ["a  "]))
        self.assertFalse(pages.agrees(["a"], [" a"]))

    def test_the_two_commands_of_the_house_are_not_run_from_here(self):
        self.assertFalse(pages.is_run("tests/run"))
        self.assertFalse(pages.is_run("examples/run"))
        self.assertTrue(pages.is_run("loomwright check car.yaml"))


if __name__ == "__main__":
    unittest.main()
