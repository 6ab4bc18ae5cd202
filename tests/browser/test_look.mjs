// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The report on a screen: it loads in silence, is read without scripts, sorts, searches, is led
// through by links and keys, and passes an audit of accessibility (axe-core) and a validator
// (html-validate).
import assert from "node:assert/strict";
import fs from "node:fs";
import { after, before, test } from "node:test";

import { HtmlValidate, audit, checked, example, open, report, startBrowser } from "./page.mjs";

let browser;
let files;
let marlow; // the pages of two large cars are opened once: the tests leave them as they were
let asFound;
before(async () => {
  browser = await startBrowser();
  files = Object.fromEntries(["marlow", "marlow-as-found", "one-lamp"].map((name) => [name, report(example(name))]));
  marlow = await open(browser, files.marlow);
  asFound = await open(browser, files["marlow-as-found"]);
});
after(() => browser.close());

const column = (page, table, index) => page.$$eval(`#${table} tbody tr`,
  (rows, at) => rows.map((row) => ({ text: row.cells[at].textContent.trim(), sort: row.cells[at].dataset.sort })), index);

test("loads without a complaint and asks nothing of the network", async () => {
  const lamp = await open(browser, files["one-lamp"]);
  for (const page of [marlow, asFound, lamp]) assert.deepEqual(page.complaints, []);
  await lamp.context().close();
});

test("the verdict and the dangers stand first, and every finding of the check is there", async () => {
  const { findings, counts } = checked(example("marlow-as-found"));
  const page = asFound;
  const shown = await page.$$eval("article.finding", (all) => all.map((one) => one.className.replace("finding ", "")));
  assert.equal(shown.length, findings.length);
  const open_ = findings.filter((finding) => !finding.waived);
  assert.deepEqual(shown.slice(0, open_.length), open_.map((finding) => finding.severity));
  assert.equal(shown[0], "danger");
  const verdict = await page.textContent("#verdict .sentence");
  assert.match(verdict, new RegExp(`NOT READY: ${counts.danger} dangers and ${counts.fault} faults`));
  const places = await page.evaluate(() => ["verdict", "findings", "states"].map((id) => document.getElementById(id).offsetTop));
  assert.ok(places[0] < places[1] && places[1] < places[2], `${places}`);
});

test("is read without scripts: a link opens the working that it leads to", async () => {
  const page = await open(browser, files["one-lamp"], { javaScriptEnabled: false });
  assert.equal(await page.isVisible("#search"), false); // it would do nothing
  assert.equal(await page.isVisible("#protection-schedule"), true);
  const link = page.locator("#wires tbody tr td:nth-child(4) a").first();
  const target = (await link.getAttribute("href")).slice(1);
  assert.equal(await page.isVisible(`#${target}`), false);
  await link.click();
  await page.waitForSelector(`#${target}`, { state: "visible", timeout: 5000 });
  assert.match(await page.textContent(`#${target}`), /Conductor/);
  await page.context().close();
});

test("columns sort by number, and the other way round", async () => {
  const page = marlow;
  const heads = await page.$$eval("#wires thead th", (all) => all.map((head) => head.textContent));
  const amps = heads.indexOf("amps (A)");
  const asWritten = await column(page, "wires", amps);
  const sortBy = () => page.locator("#wires thead th").nth(amps).locator("button").click();
  await sortBy();
  const rising = (await column(page, "wires", amps)).map((cell) => Number(cell.sort));
  const numbers = asWritten.map((cell) => Number(cell.sort)).sort((a, b) => a - b);
  assert.deepEqual(rising, numbers);
  assert.equal(await page.locator("#wires thead th").nth(amps).getAttribute("aria-sort"), "ascending");
  await sortBy();
  const falling = (await column(page, "wires", amps)).map((cell) => Number(cell.sort));
  assert.deepEqual(falling, [...numbers].reverse());
  // What is not a number sorts as people count: 2 before 10.
  await page.locator("#wires thead th").first().locator("button").click();
  const wires = (await column(page, "wires", 0)).map((cell) => cell.text.replace("old wiring", ""));
  const key = (wire) => wire.split(".").map((part) => part.padStart(6, "0")).join(".");
  assert.deepEqual(wires.map(key), wires.map(key).sort());
});

test("a search leaves what fits, and says how much that is", async () => {
  const page = marlow;
  const all = await page.$$eval("main tbody tr, main .finding, main details", (found) =>
    found.map((one) => (one.tagName === "DETAILS" ? one.firstElementChild : one).textContent.toLowerCase()));
  for (const words of ["f10", "idle lamp", "nothing-of-this-name"]) {
    await page.fill("#wanted", words);
    const expected = all.filter((text) => words.split(" ").every((word) => text.includes(word))).length;
    assert.equal(await page.textContent("#answered"), `${expected} of ${all.length}`);
    const shown = await page.$$eval("main tbody tr, main .finding, main details",
      (found) => found.filter((one) => !one.hidden).length);
    assert.equal(shown, expected);
  }
  await page.fill("#wanted", "");
  assert.equal(await page.$$eval("main tbody tr[hidden]", (rows) => rows.length), 0);
});

test("every finding on a wire leads to it in the feeds drawing, and to its working", async () => {
  const page = asFound;
  const subjects = new Set(await page.$$eval("#wires tbody tr td:first-child", (cells) =>
    cells.map((cell) => cell.firstChild.textContent.trim())));
  const findings = await page.$$eval("article.finding", (all) => all.map((one) => ({
    subject: one.querySelector("h3").childNodes[1].textContent.trim(),
    links: [...one.querySelectorAll(".links a")].map((link) => link.hash.slice(1)),
  })));
  const onWires = findings.filter((finding) => subjects.has(finding.subject));
  assert.ok(onWires.length > 10, `${onWires.length}`);
  for (const { subject, links } of onWires) {
    const marks = await page.evaluate((ids) => ids.map((id) => {
      const there = document.getElementById(id);
      return there?.closest("svg") ? there.textContent : there ? "working" : "nothing";
    }), links);
    assert.ok(marks.includes(subject), `${subject}: ${marks}`);
    assert.ok(marks.includes("working"), `${subject}: ${marks}`);
  }
});

test("works by keys alone", async () => {
  const page = await open(browser, files["one-lamp"]);
  await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement.className), "skip");
  await page.focus("#wires thead th button");
  await page.keyboard.press("Enter");
  assert.equal(await page.getAttribute("#wires thead th", "aria-sort"), "ascending");
  const outline = await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle);
  assert.equal(outline, "solid");
  await page.focus("#workings summary");
  await page.keyboard.press("Enter");
  assert.equal(await page.$eval("#workings details", (details) => details.open), true);
  await page.context().close();
});

test("a drawing grows in its frame", async () => {
  const page = await open(browser, files["one-lamp"]);
  const width = () => page.$eval("#feeds svg", (svg) => svg.getBoundingClientRect().width);
  const was = await width();
  await page.click("#feeds button >> text=larger");
  assert.ok(await width() > 1.3 * was);
  await page.click("#feeds button >> text=whole");
  assert.ok(Math.abs(await width() - was) < 1);
  await page.context().close();
});

test("is read on a phone: no page wider than the screen, no letter under 10 pixels", async () => {
  const page = asFound;
  await page.setViewportSize({ width: 390, height: 844 });
  const { width, least } = await page.evaluate(() => {
    let least = Infinity;
    for (const one of document.querySelectorAll("main p, main td, main th, main small, main pre, main summary, main li")) {
      least = Math.min(least, parseFloat(getComputedStyle(one).fontSize));
    }
    return { width: document.documentElement.scrollWidth, least };
  });
  assert.ok(width <= 390, `${width}`);
  assert.ok(least >= 10, `${least}`);
});

test("follows the light and the dark of the machine", async () => {
  const colours = [];
  for (const colorScheme of ["light", "dark"]) {
    const page = await open(browser, files["one-lamp"], { colorScheme });
    colours.push(await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor));
    await page.context().close();
  }
  assert.notEqual(colours[0], colours[1]);
});

test("passes an audit of accessibility, light and dark, wide and narrow", async () => {
  for (const [colorScheme, width] of [["light", 1400], ["dark", 390]]) {
    const page = await open(browser, files["one-lamp"], { colorScheme, viewport: { width, height: 900 }, bypassCSP: true });
    const { faults, passes } = await audit(page);
    assert.deepEqual(faults, []);
    assert.ok(passes > 15, `${passes}`);
    await page.context().close();
  }
});

test("a large report with findings passes it too, its repeated rows and drawings taken out", async () => {
  // The audit looks at each element against each other: of rows that are alike it gets some.
  const page = await open(browser, files["marlow-as-found"], { bypassCSP: true });
  await page.evaluate(() => {
    for (const row of document.querySelectorAll("tbody tr:nth-child(n+5), .plots figure:nth-child(n+2), #workings details:nth-of-type(n+5)")) row.remove();
    for (const text of document.querySelectorAll("svg text")) text.remove();
  });
  const { faults } = await audit(page, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"] });
  // A link to what was taken out is the test's doing.
  assert.deepEqual(faults.filter((fault) => !fault.startsWith("skip-link")), []);
  await page.context().close();
});

test("is valid HTML", async () => {
  const validator = new HtmlValidate({ extends: ["html-validate:standard"] });
  for (const file of [files["one-lamp"], files["marlow-as-found"]]) {
    const { valid, results } = await validator.validateString(fs.readFileSync(file, "utf8"));
    const said = results.flatMap((result) => result.messages.map((message) => `${message.ruleId} ${message.line}: ${message.message}`));
    assert.ok(valid, said.slice(0, 10).join("\n"));
  }
  // And the validator does find faults.
  const { valid } = await validator.validateString("<!DOCTYPE html><html lang=en><head><title>x</title></head><body><p id=a><b id=a></p></body></html>");
  assert.equal(valid, false);
});
