// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What the tests of the report in a browser share: making a page, opening it, and looking for
// anything that a browser complains of.
import { execFileSync, spawnSync } from "node:child_process";
import fs from "node:fs";
import { createRequire } from "node:module";
import os from "node:os";
import path from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

export const source = process.env.LOOMWRIGHT_SOURCE_DIR ?? path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../..");
export const command = process.env.LOOMWRIGHT ?? path.join(source, "build/ci/cli/loomwright");

const require = createRequire(path.join(source, "build/browser/package.json"));
const { chromium } = require("playwright-core");
export const axeSource = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
export const { HtmlValidate } = require("html-validate");

export const folder = fs.mkdtempSync(path.join(os.tmpdir(), "loomwright-browser-"));
process.on("exit", () => fs.rmSync(folder, { recursive: true, force: true }));

export const example = (name) => path.join(source, "examples", name, `${name}.yaml`);

/** Writes the report of a vehicle file; its path. */
export function report(vehicle, ...words) {
  const out = path.join(folder, `${path.basename(vehicle, ".yaml")}${words.join("")}.html`);
  const done = spawnSync(command, ["report", vehicle, "-o", out, ...words], { encoding: "utf8" });
  if (done.status !== 0) throw new Error(`report ${vehicle}: ${done.status}\n${done.stderr}`);
  return out;
}

export function checked(vehicle) {
  const done = spawnSync(command, ["check", vehicle, "--faults", "--json"], { encoding: "utf8", maxBuffer: 1 << 28 });
  return JSON.parse(done.stdout);
}

export function pdfText(file, ...words) {
  return execFileSync("pdftotext", ["-layout", ...words, file, "-"], { encoding: "utf8", maxBuffer: 1 << 28 });
}

export function pdfPages(file) {
  const info = execFileSync("pdfinfo", [file], { encoding: "utf8" });
  const [, width, height] = /Page size:\s+([\d.]+) x ([\d.]+)/.exec(info);
  return { count: Number(/Pages:\s+(\d+)/.exec(info)[1]), width: Number(width), height: Number(height) };
}

export function startBrowser() {
  return chromium.launch({
    executablePath: "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
      "--disable-component-update", "--disable-sync"],
  });
}

/** Opens a file; whatever the browser complains of, asks of the network or asks the user is kept in `complaints`. */
export async function open(browser, file, options = {}) {
  const { hash = "", ...context } = options;
  const page = await (await browser.newContext({ viewport: { width: 1400, height: 900 }, ...context })).newPage();
  page.complaints = [];
  page.on("console", (message) => page.complaints.push(`${message.type()}: ${message.text()}`));
  page.on("pageerror", (error) => page.complaints.push(`error: ${error.message}`));
  page.on("dialog", (dialog) => { page.complaints.push(`dialog: ${dialog.message()}`); dialog.dismiss(); });
  page.on("request", (request) => {
    if (!request.url().startsWith("file://")) page.complaints.push(`asked for ${request.url()}`);
  });
  await page.goto(pathToFileURL(file).href + hash);
  return page;
}

/** What the audit finds, in words; options as for axe.run. */
export async function audit(page, options = {}) {
  await page.evaluate(axeSource);
  const { violations, passes } = await page.evaluate((given) => globalThis.axe.run(document, given),
    { resultTypes: ["violations", "passes"], ...options });
  return {
    passes: passes.length,
    faults: violations.flatMap((rule) => rule.nodes.map((node) => `${rule.id}: ${node.html.slice(0, 200)}: ${node.failureSummary}`)),
  };
}
