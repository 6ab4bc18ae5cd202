// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// watch --serve in a browser: a save shows itself, a file that cannot be read says so, and the end
// of the program is told.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { after, before, test } from "node:test";

import { command, example, folder, startBrowser } from "./page.mjs";

let browser;
let watching;
let address;
const car = path.join(folder, "car.yaml");
before(async () => {
  browser = await startBrowser();
  fs.copyFileSync(example("one-lamp"), car);
  watching = spawn(command, ["watch", car, "--serve"], { stdio: ["ignore", "ignore", "pipe"] });
  address = await new Promise((resolve, reject) => {
    let said = "";
    watching.stderr.on("data", (data) => {
      said += data;
      const found = /http:\/\/127\.0\.0\.1:\d+\//.exec(said);
      if (found) resolve(found[0]);
    });
    watching.on("exit", () => reject(new Error(`watch ended: ${said}`)));
  });
});
after(async () => {
  watching.kill("SIGTERM");
  await browser.close();
});

test("the page follows the file", async () => {
  const page = await (await browser.newContext()).newPage();
  const complaints = [];
  page.on("console", (message) => complaints.push(message.text()));
  page.on("pageerror", (error) => complaints.push(error.message));
  await page.goto(address);
  assert.match(await page.textContent(".car"), /\S/);
  const text = fs.readFileSync(car, "utf8");
  fs.writeFileSync(car, text.replace(/^title: .*$/m, "title: Saved once more"));
  await page.waitForFunction(() => document.querySelector(".car").textContent === "Saved once more", null, { timeout: 15000 });
  fs.writeFileSync(car, "loomwright: 1\ndevices: [\n");
  await page.waitForFunction(() => /cannot be read/.test(document.body.textContent), null, { timeout: 15000 });
  assert.match(await page.textContent("pre"), /bad-yaml/);
  fs.writeFileSync(car, text);
  await page.waitForSelector("#verdict", { timeout: 15000 });
  await page.waitForSelector("#protection-schedule", { timeout: 15000 });
  assert.deepEqual(complaints, []);
  watching.kill("SIGTERM");
  await page.waitForFunction(() => document.documentElement.dataset.watched === "no", null, { timeout: 15000 });
  await page.context().close();
});
