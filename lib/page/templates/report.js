"use strict";
(() => {
  const search = document.getElementById("search");
  const wanted = document.getElementById("wanted");
  const answered = document.getElementById("answered");

  // Read once, when it is first asked for: what can be found, with the words it is found by.
  let things = null;
  const read = () => [...document.querySelectorAll("main tbody tr, main .finding, main details")].map((element) => ({
    element,
    words: (element.tagName === "DETAILS" ? element.firstElementChild : element).textContent.toLowerCase(),
  }));

  const show = () => {
    things ??= read();
    const words = wanted.value.toLowerCase().split(/\s+/).filter((word) => word);
    let found = 0;
    for (const thing of things) {
      const fits = words.every((word) => thing.words.includes(word));
      found += fits ? 1 : 0;
      if (thing.element.hidden === fits) thing.element.hidden = !fits;
    }
    answered.textContent = words.length ? `${found} of ${things.length}` : "";
  };
  wanted.addEventListener("input", show);
  search.addEventListener("submit", (event) => event.preventDefault());
  search.hidden = false;

  // Columns sort by number where cells have one, else as text; a second press turns it round.
  const key = (row, column) => {
    const cell = row.cells[column];
    if (!cell) return "";
    if (cell.dataset.sort !== undefined) return Number(cell.dataset.sort);
    return cell.textContent.trim();
  };
  const compare = (a, b) => {
    if (typeof a === "number" && typeof b === "number") return a - b;
    if (typeof a === "number") return -1;
    if (typeof b === "number") return 1;
    return a.localeCompare(b, "en", { numeric: true });
  };
  const sort = (table, head) => {
    const falling = head.getAttribute("aria-sort") === "ascending";
    for (const other of table.querySelectorAll("th[aria-sort]")) other.removeAttribute("aria-sort");
    head.setAttribute("aria-sort", falling ? "descending" : "ascending");
    const body = table.tBodies[0];
    const rows = [...body.rows].map((row) => [key(row, head.cellIndex), row]);
    rows.sort((a, b) => (falling ? compare(b[0], a[0]) : compare(a[0], b[0])));
    body.append(...rows.map(([, row]) => row));
  };
  for (const head of document.querySelectorAll("table.figures thead th")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "sort";
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => sort(head.closest("table"), head));
  }

  // Drawings grow in their frame.
  for (const figure of document.querySelectorAll("figure.drawing")) {
    const svg = figure.querySelector("svg");
    let size = 1;
    const bar = document.createElement("div");
    bar.className = "zoom";
    const add = (text, label, change) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = text;
      button.setAttribute("aria-label", `${label}: ${svg.getAttribute("aria-label")}`);
      button.addEventListener("click", () => {
        size = change(size);
        figure.classList.toggle("zoomed", size > 1);
        svg.style.width = size > 1 ? `${size * 100}%` : "";
      });
      bar.append(button);
    };
    add("larger", "larger", (now) => Math.min(8, now * 1.5));
    add("smaller", "smaller", (now) => Math.max(1, now / 1.5));
    add("whole", "whole sheet", () => 1);
    figure.prepend(bar);
  }

  // A link into a closed working opens it, and brings back what a search has hidden.
  const open = () => {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (!target) return;
    const closed = target.closest("details");
    if (closed) {
      closed.hidden = false;
      closed.open = true;
    }
    const hidden = target.closest("[hidden]");
    if (hidden && hidden !== search) hidden.hidden = false;
    target.scrollIntoView();
  };
  addEventListener("hashchange", open);
  if (location.hash) open();

  const all = document.getElementById("open-all");
  all.addEventListener("click", () => {
    const opening = all.getAttribute("aria-pressed") !== "true";
    all.setAttribute("aria-pressed", String(opening));
    all.textContent = opening ? "close all workings" : "open all workings";
    for (const working of document.querySelectorAll("#workings details")) working.open = opening;
  });
})();
