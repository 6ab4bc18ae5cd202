// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// How soon a report can be used: from the page's load event, and from the moment it is asked for, to
// the answer of the first search. Prints one line of JSON for each page given.
//     node tests/bench/time_report.mjs WORD PAGE.html...
import fs from "node:fs";
import path from "node:path";

import { open, startBrowser } from "../browser/page.mjs";

const [, , word, ...pages] = process.argv;
const browser = await startBrowser();
for (const file of pages) {
  const runs = [];
  for (let i = 0; i < 3; ++i) {
    const began = performance.now();
    const page = await open(browser, file);
    const found = await page.evaluate((text) => new Promise((answer) => {
      const loaded = performance.getEntriesByType("navigation")[0].loadEventEnd;
      const started = performance.now();
      const input = document.getElementById("wanted");
      input.value = text;
      input.dispatchEvent(new Event("input"));
      // The answer is there when it has been painted.
      requestAnimationFrame(() => setTimeout(() => answer({
        loadMs: loaded, searchMs: performance.now() - started,
        answered: document.getElementById("answered").textContent }), 0));
    }), word);
    runs.push({ ...found, wholeMs: performance.now() - began, complaints: page.complaints.length });
    await page.context().close();
  }
  runs.sort((a, b) => a.searchMs - b.searchMs);
  console.log(JSON.stringify({ file: path.basename(file), bytes: fs.statSync(file).size, ...runs[1] }));
}
await browser.close();
