// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The report on paper: size, heads on every page and over every table, nothing wider than the page.
import assert from "node:assert/strict";
import path from "node:path";
import { after, before, test } from "node:test";

import { example, folder, open, pdfPages, pdfText, report, startBrowser } from "./page.mjs";

let browser;
before(async () => { browser = await startBrowser(); });
after(() => browser.close());

// Lying, in points; with the car that is printed.
const papers = { A4: [841.9, 595.3, "six-volt", 3], Letter: [792, 612, "split-lights", 0] };

for (const [paper, [width, height, car, least]] of Object.entries(papers)) {
  test(`prints on ${paper}: heads on every page, heads of columns over every part of a table`, async () => {
    const page = await open(browser, report(example(car), "--paper", paper));
    const pdf = path.join(folder, `${paper}.pdf`);
    await page.pdf({ path: pdf, preferCSSPageSize: true });
    const pages = pdfPages(pdf);
    assert.ok(Math.abs(pages.width - width) < 1.5 && Math.abs(pages.height - height) < 1.5, JSON.stringify(pages));
    const texts = pdfText(pdf).split("\f").slice(0, pages.count);
    texts.forEach((text, i) => {
      assert.match(text, /Inspector's report: \S/, `page ${i + 1}`);
      assert.match(text, new RegExp(`${i + 1} / ${pages.count}\\s*$`), `page ${i + 1}`);
    });
    // A part of the table of wires has its running head and the heads of its columns. (Of the first
    // the running head is under the caption.)
    const wires = texts.filter((text) => /^\s*Wires: \S/m.test(text));
    assert.ok(wires.length > least, `${wires.length}`);
    for (const text of wires) assert.match(text, /wire\s.*from\s.*to\s.*size\s.*colour/s);
    // Closed workings stay away from paper.
    assert.ok(!texts.some((text) => text.includes("Heat at its largest lasting current")));
    await page.context().close();
  });
}

test("no table of a real car is wider than the paper", async () => {
  const page = await open(browser, report(example("marlow")), { viewport: { width: 1046, height: 700 } });
  await page.emulateMedia({ media: "print" });
  const wide = await page.$$eval(".wide", (all) => all.filter((one) => one.scrollWidth > one.clientWidth + 1)
    .map((one) => `${one.getAttribute("aria-label")}: ${one.scrollWidth} > ${one.clientWidth}`));
  assert.deepEqual(wide, []);
  await page.context().close();
});

test("opened workings are printed", async () => {
  const page = await open(browser, report(example("relay-fan")));
  await page.click("#open-all");
  const pdf = path.join(folder, "open.pdf");
  await page.pdf({ path: pdf, preferCSSPageSize: true });
  assert.match(pdfText(pdf), /Heat at its largest lasting current/);
  await page.context().close();
});
