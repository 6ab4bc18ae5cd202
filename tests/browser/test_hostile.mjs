// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Names that would be markup, script or style are shown as what they are.
import assert from "node:assert/strict";
import fs from "node:fs";
import path from "node:path";
import { after, before, test } from "node:test";

import { HtmlValidate, audit, folder, open, report, source, startBrowser } from "./page.mjs";

let browser;
let file;
before(async () => {
  browser = await startBrowser();
  file = report(path.join(source, "tests/browser/hostile.yaml"));
});
after(() => browser.close());

test("hostile names do no harm and are shown as text", async () => {
  const page = await open(browser, file);
  await page.waitForTimeout(200);
  assert.deepEqual(page.complaints, []);
  assert.equal(await page.evaluate(() => window.hurt), undefined);
  const text = await page.textContent("body");
  for (const shown of ["</title></style><script>window.hurt = 1</script>{{{style}}}", "<svg onload=alert(1)>",
    "<b>bold</b> & \"quoted\" 'so'", "<iframe src=//example.invalid></iframe>", "\\u202edesrever"]) {
    assert.ok(text.includes(shown), shown);
  }
  assert.equal(await page.$$eval("img, iframe, h1 ~ h1, [onerror], [onload], [ontoggle], a[href^='javascript']", (all) => all.length), 0);
  assert.equal(await page.$$eval("h1", (all) => all.length), 1);
  // The revision is on the head of printed pages: it is a string of a style there.
  assert.equal(await page.isVisible("#verdict"), true);
  assert.equal(await page.$$eval("style", (all) => all.length), 1);
  await page.context().close();
});

test("its style stays whole on paper too", async () => {
  const page = await open(browser, file);
  const pdf = path.join(folder, "hostile.pdf");
  await page.pdf({ path: pdf, preferCSSPageSize: true });
  await page.emulateMedia({ media: "print" });
  assert.equal(await page.isVisible("#verdict"), true);
  await page.context().close();
});

test("the page is valid and passes the audit", async () => {
  const { valid, results } = await new HtmlValidate({ extends: ["html-validate:standard"] }).validateString(fs.readFileSync(file, "utf8"));
  assert.ok(valid, JSON.stringify(results[0]?.messages.slice(0, 5)));
  const page = await open(browser, file, { bypassCSP: true });
  assert.deepEqual((await audit(page)).faults, []);
  await page.context().close();
});
