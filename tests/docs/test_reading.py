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

    def test_a_block_is_left_out_only_with_a_reason(self):
        page = "<!-- not run: it would build -->\n\n```sh\nmake\n```\n\nWords.\n\n```sh\necho\n```\n"
        self.assertEqual([block.reason for block in pages.blocks_of(page)], ["it would build", None])

    def test_fences_that_no_test_would_see(self):
        self.assertEqual(list(pages.odd_fences(PAGE)), [])
        for page in ("  ```sh\necho\n  ```\n", "```bash\necho\n```\n", "~~~sh\necho\n~~~\n", "```\necho\n```\n",
                     "```sh title\necho\n```\n"):
            self.assertNotEqual(list(pages.odd_fences(page)), [], page)


if __name__ == "__main__":
    unittest.main()
