# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Parts files that are links, pipes and devices: nothing outside the folder of the vehicle file is read by
way of them, and nothing is waited for that never ends."""

import os
import pathlib
import subprocess
import tempfile
import unittest

HERE = pathlib.Path(__file__).resolve().parent
COMMAND = pathlib.Path(os.environ.get("LOOMWRIGHT", HERE.parents[1] / "build/ci/cli/loomwright")).resolve()
SECRET = "note: what nobody may see\nsecret-key: 1\n"


class Links(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory(prefix="loomwright-")
        self.addCleanup(folder.cleanup)
        self.outside = pathlib.Path(folder.name) / "outside"
        self.car_folder = pathlib.Path(folder.name) / "car"
        self.outside.mkdir()
        self.car_folder.mkdir()
        (self.outside / "secret.yaml").write_text(SECRET, encoding="utf-8")

    def told(self, included, status=2):
        car = self.car_folder / "car.yaml"
        car.write_text(f"loomwright: 1\ninclude: [{included}]\n", encoding="utf-8")
        done = subprocess.run([COMMAND, "check", "car.yaml"], cwd=self.car_folder, stdin=subprocess.DEVNULL,
                              capture_output=True, timeout=20, check=False)
        told = done.stderr.decode()
        self.assertEqual(done.returncode, status, told)
        self.assertNotIn("secret-key", told)
        self.assertNotIn("nobody may see", told)
        return told

    def check_refused(self, included, why):
        told = self.told(included)
        self.assertIn("car.yaml:2:11: error[bad-include]", told)
        self.assertIn(why, told)

    def test_a_link_out_of_the_folder(self):
        (self.car_folder / "parts.yaml").symlink_to(self.outside / "secret.yaml")
        self.check_refused("parts.yaml", "it lies outside the vehicle file's own folder")

    def test_a_link_out_of_the_folder_by_a_relative_way(self):
        (self.car_folder / "parts.yaml").symlink_to("../outside/secret.yaml")
        self.check_refused("parts.yaml", "it lies outside the vehicle file's own folder")

    def test_a_folder_that_is_a_link_out(self):
        (self.car_folder / "parts").symlink_to(self.outside)
        self.check_refused("parts/secret.yaml", "it lies outside the vehicle file's own folder")

    def test_a_link_by_way_of_another(self):
        (self.car_folder / "a.yaml").symlink_to("b.yaml")
        (self.car_folder / "b.yaml").symlink_to(self.outside / "secret.yaml")
        self.check_refused("a.yaml", "it lies outside the vehicle file's own folder")

    def test_a_folder_whose_name_only_begins_like_ours(self):
        beside = self.car_folder.parent / "car-of-another"
        beside.mkdir()
        (beside / "secret.yaml").write_text(SECRET, encoding="utf-8")
        (self.car_folder / "parts.yaml").symlink_to(beside / "secret.yaml")
        self.check_refused("parts.yaml", "it lies outside the vehicle file's own folder")

    def test_links_in_a_circle(self):
        (self.car_folder / "a.yaml").symlink_to("b.yaml")
        (self.car_folder / "b.yaml").symlink_to("a.yaml")
        self.check_refused("a.yaml", "cannot be read")

    def test_a_link_to_nothing(self):
        (self.car_folder / "a.yaml").symlink_to("nowhere.yaml")
        self.check_refused("a.yaml", "cannot be read")

    def test_a_link_to_an_endless_device(self):
        (self.car_folder / "a.yaml").symlink_to("/dev/zero")
        self.check_refused("a.yaml", "it lies outside the vehicle file's own folder")

    def test_a_pipe_that_nobody_writes_to(self):
        os.mkfifo(self.car_folder / "a.yaml")
        self.check_refused("a.yaml", "a pipe or a device")

    def test_the_vehicle_file_included_under_another_name(self):
        (self.car_folder / "a.yaml").symlink_to("car.yaml")
        told = self.told("a.yaml")
        self.assertIn("a.yaml:1:1: error[unknown-key]", told)

    def test_a_link_inside_the_folder_is_followed(self):
        (self.car_folder / "parts").mkdir()
        (self.car_folder / "parts" / "real.yaml").write_text("notes: x\n", encoding="utf-8")
        (self.car_folder / "a.yaml").symlink_to("parts/real.yaml")
        self.assertIn("a.yaml:1:1: error[unknown-key]", self.told("a.yaml"))

    def test_an_endless_vehicle_file_is_given_up(self):
        done = subprocess.run([COMMAND, "check", "/dev/zero"], capture_output=True, timeout=20, check=False)
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"larger than 32 MiB", done.stderr)


if __name__ == "__main__":
    unittest.main()
